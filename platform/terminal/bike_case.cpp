#include "platform/terminal/bike_case.h"

#include "app/sentences.h"
#include "platform/terminal/solve.h"

namespace restand {

Result<BikeCase> case_of(const Request& request) {
    const std::string_view name = request.operands.front();
    const Result<std::string> text = read_bytes(name, case_cap);
    if (!text) return text.error();
    if (!is_bike_case(*text) && read_case(*text))
        return in_case(name, Error{ErrorCode::missing, "bike", "this is a swap case of one end"});
    auto read = read_bike_case(*text, Aims::as_typed);
    if (!read) return in_case(name, read.error());
    return read;
}

int no_answer(const Request& request, const BikeCase& c, const Error& error, std::ostream& out,
              std::ostream& err) {
    const Error shown = of_bike(error, c);
    if (error.code != ErrorCode::no_solution) return complain(err, in_case(request.operands.front(), shown));
    if (request.csv)
        complain(err, in_case(request.operands.front(), shown));
    else if (request.text)
        out << "NO ANSWER: " << sentence(shown) << "\n";
    else
        out << no_answer_json(request.command == "solve" ? "result" : request.command, shown);
    return exit_not_held;
}

bool no_table(const Request& request, std::ostream& err) {
    if (request.csv) err << "restand: --csv is for the tables of linkage and chain\n";
    return request.csv;
}

}  // namespace restand
