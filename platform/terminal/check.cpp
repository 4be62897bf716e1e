#include "platform/terminal/check.h"

#include <filesystem>

#include "app/sentences.h"
#include "core/casefile/bike_json.h"
#include "core/casefile/case_json.h"
#include "core/casefile/ledger_case.h"
#include "core/codec/bundle.h"
#include "core/files/file.h"
#include "core/store/store.h"
#include "core/sync/sync_bundle.h"
#include "platform/terminal/plain_out.h"

namespace restand {
namespace {

Error of_file(Error error, const std::string& name) {
    if (error.subject == "file" || error.subject == "case")
        error.subject = name;
    else if (error.subject.find(name) == std::string::npos)
        error.subject = name + ": " + error.subject;
    return error;
}

int check_workshop(const std::string& name, std::ostream& out, std::ostream& err) {
    const Result<Store> store = Store::open(name, Store::Mode::read);
    if (!store) return complain(err, of_file(store.error(), name));
    const Result<Health> health = store->check();
    if (!health) return complain(err, of_file(health.error(), name));
    for (const Error& found : health->found) complain(err, of_file(found, name));
    if (!health->whole) return exit_bad_input;
    out << name << ": workshop file, " << health->entries << " entries, whole\n";
    for (const Error& gap : health->gaps)
        out << "  not here yet, of another device: " << gap.detail << " (before " << gap.subject << ")\n";
    for (const Error& one : health->doubles)
        out << "  kept both, of a device whose file was copied: " << one.detail << " (" << one.subject
            << ")\n";
    return exit_done;
}

int check_bundle(const std::string& name, std::ostream& out, std::ostream& err) {
    const Result<std::string> bytes = read_bytes(name, bundle_cap, bundle_start);
    if (!bytes) return complain(err, bytes.error());
    const auto sync_bundle = read_sync_bundle(*bytes);
    if (!sync_bundle) return complain(err, of_file(sync_bundle.error(), name));
    out << name << ": bundle, " << sync_bundle->entries.size() << " entries, whole\n";
    return exit_done;
}

int check_case(const std::string& name, std::ostream& out, std::ostream& err) {
    const Result<std::string> text = read_bytes(name, case_cap);
    if (!text) return complain(err, text.error());
    if (is_ledger_case(*text)) {
        const auto c = read_ledger_case(*text);
        if (!c) return complain(err, of_file(c.error(), name));
        if (c->swap) {
            out << name << ": case of a swap on " << plain_line(c->bike.name) << ", "
                << c->swap->stored_readings.size() << " readings, whole\n";
            return exit_done;
        }
        if (!c->asks) {
            out << name << ": case of " << plain_line(c->bike.name) << ", " << c->set_up.size()
                << " values, whole\n";
            return exit_done;
        }
    }
    if (is_bike_case(*text)) {
        Result<BikeCase> whole = read_bike_case(*text, Aims::as_typed);
        if (!whole) return complain(err, of_file(whole.error(), name));
        // A bike without an equilibrium is a result, not an error in the case.
        const Outcome aims = measure_aims(*whole);
        if (!aims && aims.error().code != ErrorCode::no_solution)
            return complain(err, of_file(aims.error(), name));
        out << name << ": case of a bike, whole\n";
        return exit_done;
    }
    const Result<CaseFile> file = read_case(*text);
    if (!file) return complain(err, of_file(file.error(), name));
    out << name << ": case of a " << key(file->swap.end) << " end, whole\n";
    return exit_done;
}

}  // namespace

int check_file(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string name(request.operands.front());
    std::error_code failed;
    const auto status = std::filesystem::status(name, failed);
    if (!std::filesystem::exists(status)) return complain(err, {ErrorCode::not_found, name, ""});
    if (std::filesystem::is_directory(status))
        return complain(err, {ErrorCode::wrong_type, name, "a file, this is a folder"});

    const std::string start = first_bytes(name);
    if (start.empty()) return complain(err, {ErrorCode::not_ours, name, "it is empty"});
    if (start == database_start) return check_workshop(name, out, err);
    if (start.starts_with(bundle_start)) return check_bundle(name, out, err);
    const std::size_t text = start.find_first_not_of(" \t\r\n");
    if (text != std::string::npos && start[text] == '{') return check_case(name, out, err);
    return complain(err, {ErrorCode::not_ours, name, "neither workshop file, bundle nor case"});
}

}  // namespace restand
