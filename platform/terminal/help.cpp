#include "platform/terminal/help.h"

namespace restand {
namespace {

constexpr std::string_view all = R"(restand: after a part swap, what to set so that the bike stands as before

  restand                      open the app
  restand solve CASE.json      answer one swap ('-' reads standard input; --text: a page for people)
  restand bikes                list the bikes of the workshop file
  restand baselines BIKE       list a bike's baselines, newest first (BIKE: name or start of its id)
  restand show BASELINE        every number of a baseline: who, when, from which swap
  restand export FILE          write the whole workshop as a bundle for another device
  restand import FILE          add what is in a bundle; what is known already stays as it is
  restand check FILE           is this workshop file, bundle or case whole?
  restand FILE.restand         open the app on that workshop file
  restand --demo FILE          make the demo team's workshop file where there is none
  restand --screenshot DIR     write every screen as PNG, with the demo data
  restand --help, --version    'restand help COMMAND' says more about one

Options
  --file WORKSHOP   the workshop file to use; else the one in RESTAND_WORKSHOP, else your own
  --json            bikes, baselines, show: as JSON instead of text
  --text            solve: a page for people instead of JSON
  --replace         export: may replace FILE

Exit codes: 0 done; 2 bad input, nothing was changed; 3 sound case, but the baseline cannot be held
)";

constexpr std::string_view solve = R"(restand solve CASE.json [--text]

Answers one swap from a case file: what to set on the new unit, how the bike will stand, what is in the way.
'-' reads the case from standard input. The result is JSON; --text prints a page in the order of doing.
The keys of case and result are in the README, 'Reference'.

Exit codes: 0 the baseline is held; 3 it is not (the result is printed, 'limits' says why);
2 bad input (the message names the field and what is allowed there)
)";

constexpr std::string_view bikes = R"(restand bikes [--json] [--file WORKSHOP]

Lists the bikes of the workshop file with the day of their newest baseline. Nothing is written.
)";

constexpr std::string_view baselines = R"(restand baselines BIKE [--json] [--file WORKSHOP]

Lists the baselines of a bike, newest first, with day, person and reason.
BIKE is the bike's name, or the start of its name or id as long as only one bike fits.
)";

constexpr std::string_view show = R"(restand show BASELINE [--json] [--file WORKSHOP]

Prints every number of a baseline as it was typed, with who read it, when, and in which swap.
BASELINE is the start of its id, as 'restand baselines' prints it.
)";

constexpr std::string_view export_text = R"(restand export FILE [--replace] [--file WORKSHOP]

Writes everything in the workshop file as one bundle, to be imported on another device.
FILE must not be there yet unless --replace is given; it is complete or not there at all.
)";

constexpr std::string_view import_text = R"(restand import FILE [--file WORKSHOP]

Adds the entries of a bundle to the workshop file; a damaged bundle is refused whole. What is known already stays as it is;
where two devices disagree both are kept and shown side by side. Makes the workshop file if needed.
)";

constexpr std::string_view check = R"(restand check FILE

Says what FILE is (workshop file, bundle or case) and whether it is whole. Nothing is written.
Exit codes: 0 whole; 2 damaged, not Restand's, or from a newer Restand
)";

}  // namespace

std::string_view help_text(std::string_view command) {
    if (command == "solve") return solve;
    if (command == "bikes") return bikes;
    if (command == "baselines") return baselines;
    if (command == "show") return show;
    if (command == "export") return export_text;
    if (command == "import") return import_text;
    if (command == "check") return check;
    return all;
}

}  // namespace restand
