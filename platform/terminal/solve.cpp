#include "platform/terminal/solve.h"

#include "app/sentences.h"
#include "core/casefile/bike_json.h"
#include "core/casefile/ledger_swap.h"
#include "platform/terminal/answer_json.h"
#include "platform/terminal/machine.h"
#include "platform/terminal/page.h"
#include "platform/terminal/swap_page.h"

namespace restand {

Error in_case(std::string_view name, Error error) {
    const std::string shown = name == "-" ? "standard input" : std::string(name);
    if (error.subject == "case" || error.subject == shown)
        error.subject = shown;
    else
        error.subject = shown + ": " + error.subject;
    return error;
}

int solve(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string_view name = request.operands.front();
    const Result<std::string> text = read_bytes(name, case_cap);
    if (!text) return complain(err, text.error());
    if (is_ledger_swap(*text)) return solve_ledger_swap(request, *text, out, err);
    if (is_bike_case(*text)) return solve_whole(request, *text, out, err);
    const Result<CaseFile> file = read_case(*text);
    if (!file) return complain(err, in_case(name, file.error()));

    const Result<UncertainAnswer> uncertain = uncertain_answer(file->swap, file->inputs, file->remake);
    if (!uncertain) {
        // Sound input without an answer still gets its result; any other failure is bad input.
        if (uncertain.error().code != ErrorCode::no_solution)
            return complain(err, in_case(name, uncertain.error()));
        if (request.text)
            out << "DO NOT FIT IT SO: " << sentence(uncertain.error()) << "\n";
        else
            out << no_solution_json(*file, uncertain.error());
        return exit_not_held;
    }
    out << (request.text ? page(*file, *uncertain) : answer_json(*file, *uncertain));
    return uncertain->answer.held ? exit_done : exit_not_held;
}

}  // namespace restand
