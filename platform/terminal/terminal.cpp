#include "platform/terminal/terminal.h"

#include <algorithm>
#include <array>

#include "app/sentences.h"
#include "core/codec/nearest.h"
#include "platform/terminal/backup.h"
#include "platform/terminal/case.h"
#include "platform/terminal/check.h"
#include "platform/terminal/devices.h"
#include "platform/terminal/exchange.h"
#include "platform/terminal/help.h"
#include "platform/terminal/jobs.h"
#include "platform/terminal/machine.h"
#include "platform/terminal/plain_out.h"
#include "platform/terminal/request.h"
#include "platform/terminal/season.h"
#include "platform/terminal/sheet.h"
#include "platform/terminal/solve.h"
#include "platform/terminal/stance.h"
#include "platform/terminal/table.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

struct Command {
    std::string_view name, operands;  // the operands it needs; "[…]": optional
    int (*run)(const Request&, std::ostream&, std::ostream&);
};
constexpr std::array commands = {
    Command{"solve", "CASE.json", solve},
    Command{"stance", "CASE.json", stance_of},
    Command{"linkage", "CASE.json", linkage_of},
    Command{"chain", "CASE.json", chain_of},
    Command{"case", "BIKE", case_of_bike},
    Command{"bikes", "", bikes},
    Command{"baselines", "BIKE", baselines},
    Command{"show", "BASELINE", show},
    Command{"history", "BIKE", history},
    Command{"compare", "A B", compare_two},
    Command{"way", "BIKE BASELINE", plan},
    Command{"jobs", "BIKE", jobs},
    Command{"ready", "BIKE", ready},
    Command{"sheet", "BASELINE", sheet},
    Command{"export", "FILE", export_bundle},
    Command{"import", "FILE", import_bundle},
    Command{"exchange", "[FOLDER]", exchange},
    Command{"devices", "", devices},
    Command{"retire", "DEVICE", retire},
    Command{"backup", "[FOLDER]", backup},
    Command{"backups", "[FOLDER]", list_backups},
    Command{"restore", "BACKUP", restore},
    Command{"table", "FILE.csv", table},
    Command{"lines", "FILE.jsonl", lines},
    Command{"take", "FILE", take},
    Command{"check", "FILE", check_file},
};

int unknown_command(std::string_view word, std::ostream& err) {
    std::vector<std::string_view> names;
    for (const Command& command : commands) names.push_back(command.name);
    const std::string near = nearest(word, names);
    err << "restand: there is no command '" << word.substr(0, 80) << "'";
    err << (near.empty() ? "; see restand --help" : "; did you mean '" + near + "'?") << "\n";
    return exit_bad_input;
}

// Checks the count of operands after the command; nullopt when it is right.
std::optional<int> wrong_operands(const Command& command, const Request& request, std::ostream& err) {
    const std::string_view list = command.operands;
    const std::size_t most = list.empty() ? 0 : 1 + static_cast<std::size_t>(std::ranges::count(list, ' '));
    const std::size_t least = list.starts_with("[") ? 0 : most;
    const std::size_t given = request.operands.size();
    if (given >= least && given <= most) return std::nullopt;
    const std::string usage = "restand " + std::string(command.name) + (most ? " " : "") + std::string(list);
    if (given < least)
        err << "restand: " << command.name << " needs " << list << " behind it: " << usage << "\n";
    else
        err << "restand: too many words behind " << command.name << ", from '"
            << request.operands[most].substr(0, 80) << "' on; usage: " << usage << "\n";
    return exit_bad_input;
}

}  // namespace

int terminal(std::span<const std::string_view> args, std::ostream& to_out, std::ostream& to_err) {
    PlainOut out(to_out), err(to_err);
    const Result<Request> request = read_request(args);
    if (!request) {
        const Error& e = request.error();
        if (e.code == ErrorCode::missing) return complain(err, e);
        err << "restand: there is no option '" << e.subject.substr(0, 80) << "'";
        err << (e.detail.empty() ? "; see restand --help" : "; did you mean '" + e.detail + "'?") << "\n";
        return exit_bad_input;
    }
    if (request->version) return out << "restand " RESTAND_VERSION "\n", exit_done;
    if (request->command == "help") {
        const bool about = !request->operands.empty();
        return out << help_text(about ? request->operands.front() : std::string_view()), exit_done;
    }
    if (request->help || request->command.empty()) return out << help_text(request->command), exit_done;

    const auto command = std::find_if(commands.begin(), commands.end(),
                                      [&](const Command& c) { return c.name == request->command; });
    if (command == commands.end()) return unknown_command(request->command, err);
    if (const auto wrong = wrong_operands(*command, *request, err)) return *wrong;
    const int code = command->run(*request, out, err);
    out.flush();
    if (out) return code;
    err << "restand: the output could not be written\n";
    return exit_bad_input;
}

}  // namespace restand
