#include "platform/terminal/help.h"

#include <array>

#include "platform/terminal/reference.h"

namespace restand {
namespace {

constexpr std::string_view overview_text =
    R"(restand: after a part swap, what to set so that the bike stands as before

  restand                      open the app
  restand FILE.restand         open the app on that workshop file
  restand solve CASE.json      answer one swap ('-' reads standard input; --text: a page for people)

The whole bike, from a case file (--text for people; --csv for the tables)
  restand stance CASE.json     how it stands, alone and with its rider: loads, heights, rake, trail …
  restand linkage CASE.json    unit length, motion ratio and wheel rate over the travel
  restand chain CASE.json      length, slack over the travel, tight spot, where the axle goes

Bikes and baselines
  restand bikes                list the bikes of the workshop file
  restand baselines BIKE       list a bike's baselines, newest first (BIKE: name or start of its id)
  restand show BASELINE        every number of a baseline: who, when, from which swap
  restand history BIKE         what happened with a bike, newest first (--words TEXT, --part NAME)
  restand compare A B          every difference of two baselines ('now:BIKE': as a bike is now)
  restand way BIKE BASELINE    what to do so that the bike stands as in that baseline
  restand jobs BIKE            what is to be done, first what is needed first
  restand ready BIKE           what is written down that speaks against taking it out (--before MILESTONE)
  restand sheet BASELINE -o FILE.pdf   a baseline on one page for the toolbox

Several devices
  restand export FILE          write the whole workshop as a bundle for another device
  restand import FILE          add what is in a bundle or another workshop file; what is known stays as it is
  restand exchange FOLDER      put and take on a stick or in a shared folder, and say who lacks what
  restand exchange --postgres CONNECTION   the same through a PostgreSQL server
  restand devices              the devices whose entries are in the workshop file
  restand retire DEVICE        a device that is lost, sold or a clone is listed no more

Copies and tables
  restand case BIKE            a bike as a case file, for solve and for another workshop
  restand backup [FOLDER]      a verified copy of the workshop file
  restand backups [FOLDER]     list the copies, newest first
  restand restore BACKUP       put a copy in the workshop file's place
  restand table FILE.csv       all readings as a table
  restand lines FILE.jsonl     all entries as JSON, one a line
  restand take FILE.csv --bike BIKE   older readings from a table: shows what it would take; --yes takes it
  restand check FILE           is this workshop file, bundle or case whole?

  restand --demo FILE          make the demo team's workshop file where there is none
  restand --screenshot DIR     every screen as PNG, with the demo data
  restand --help, --version    'restand help COMMAND' says more about one; 'restand help case', 'tables',
                               'exchange' and 'commands' are the reference

Options
  --file WORKSHOP   the workshop file to use; else the one in RESTAND_WORKSHOP, else your own
  --json            bikes, baselines, show, history, compare, way, jobs, ready: as JSON instead of text
  --text            solve: a page for people instead of JSON
  --replace         export, table, lines: may replace FILE

RESTAND_PLACES names a folder in place of the machine's sticks and documents: its folder 'documents', and
its other folders as sticks

Exit codes: 0 done; 2 bad input, nothing was changed; 3 sound case, but the baseline cannot be held
)";

constexpr std::string_view solve_text = R"(restand solve CASE.json [--text]

Answers one swap from a case file: what to set on the new unit, how the bike will stand, what is in the
way. '-' reads the case from standard input. The result is JSON; --text prints a page in the order of
doing. 'restand help case' lists the keys of case and result. A bike of the workshop with a "swap" in the case
('restand case BIKE' writes the bike) is answered from whatever was read, as in the app; with what was set and
checked: is it restored, and if not, what to correct.

Exit codes: 0 the baseline is held; 3 it is not (the result is printed, 'limits' or 'check' says why);
2 bad input (the message names the field and what is allowed there)
)";

constexpr std::string_view jobs_text = R"(restand jobs BIKE [--json]

What is to be done on a bike, one job a line: what it must be done before, who does it, what it waits for (a
part that has not come, another job). First what is needed first. A job that another one waits for is needed
as early as that one. With --json also what is done, and what need not be done any more.
)";

constexpr std::string_view ready_text = R"(restand ready BIKE [--before MILESTONE] [--json]

What is written down that speaks against taking the bike out, and what to do about it: open jobs, an open swap,
a swap that was not found restored, heights older than a setting, coils that touch, a chain that is too short,
new or worn, a part beyond its limit. MILESTONE is one of start_up, dyno, shakedown (as without it),
scrutineering, wet_session and season; what counts for one counts for all that follow. It is a list of what is
recorded: the licensed person and the event's rules decide.

Exit codes: 0 nothing is recorded against it; 3 something is; 2 bad input
)";

constexpr std::string_view stance_text = R"(restand stance CASE.json [--text]

How the bike of a case stands on its wheels, alone and with its rider: what each wheel carries, how far
both ends are pushed in, ride heights, rake, trail, wheelbase, swingarm angle, pivot height, centre of
mass, anti-squat, forces of shock and fork, and of a stop an end stands on. Needs the bike's masses (the
frame's own, or what the wheels weigh on scales, level and with the front lifted: "masses.scales"; then the
centre of mass they give is printed too), or of a bike of the workshop its measured ride heights. With a "new" in the case: the bike with it. With a "pose" in the
case, which needs no masses: the bike at that shock length and fork travel, too.

Exit codes: 0 done; 2 bad input; 3 sound case, but the bike finds no place to stand (the result says why)
)";

constexpr std::string_view linkage_text = R"(restand linkage CASE.json [--text | --csv]

The rear end over its travel, every 10 mm of wheel travel: droop of the arm, unit length, motion ratio
and its slope, wheel force and wheel rate. A linkage that cannot close says where in the travel. With
"linkage_table" in the case, a table measured with a strut: by how much the points miss each pair, and the
points that fit best within what they were measured to (not with --csv).

Exit codes: 0 done; 2 bad input; 3 sound case, but the linkage does not reach through the travel (the result
says where)
)";

constexpr std::string_view chain_text = R"(restand chain CASE.json [--text | --csv]

The chain of a case: its length, the tight spot, slack over the travel, and the slack to set with the
wheel hanging so that "wanted_slack_mm" is left at the tight spot; where the axle goes for it.

Exit codes: 0 done; 2 bad input; 3 the axle would have to go outside its slot
)";

constexpr std::string_view bikes_text = R"(restand bikes [--json] [--file WORKSHOP]

Lists the bikes of the workshop file with the day of their newest baseline. Nothing is written.
)";

constexpr std::string_view baselines_text = R"(restand baselines BIKE [--json] [--file WORKSHOP]

Lists the baselines of a bike, newest first, with day, person and reason.
BIKE is the bike's name, or the start of its name or id as long as only one bike fits.
)";

constexpr std::string_view show_text = R"(restand show BASELINE [--json] [--file WORKSHOP]

Prints every number of a baseline as it was typed, with who read it, when, and in which swap.
BASELINE is the start of its id, as 'restand baselines' prints it.
)";

constexpr std::string_view history_text =
    R"(restand history BIKE [--words TEXT] [--part NAME] [--json] [--file WORKSHOP]

Lists what happened with a bike, newest first: baselines, swaps, single changes, events, ways back,
records. --words: only moments with all these words (beginnings are enough); --part: only those that
name the part or tyre. What was taken back or replaced is marked 'set aside'.
)";

constexpr std::string_view compare_text = R"(restand compare A B [--json] [--file WORKSHOP]

Prints every difference between two set-ups, with its unit and whether it is more than the readings can
tell. A and B are the start of a baseline's id, or 'now:BIKE' for a bike as it is now. Equal values are
counted.
)";

constexpr std::string_view plan_text = R"(restand way BIKE BASELINE [--json] [--file WORKSHOP]

Lists what to do, in a workable order, so that the bike stands as in that baseline again. Where another
part is fitted now, its settings are computed anew; what cannot be had, and which reading is missing, is
said at the end.
Exit codes: 0 the baseline can be held; 3 it cannot (the list is printed, with what is in the way)
)";

constexpr std::string_view sheet_text =
    R"(restand sheet BASELINE -o FILE.pdf [--letter] [--replace] [--file WORKSHOP]

Writes a baseline as one A4 page (--letter: Letter): the bike with its numbers, tables, blanks for
today's readings. BASELINE is the start of its id, as 'restand baselines' prints it.
)";

constexpr std::string_view export_text = R"(restand export FILE [--replace] [--file WORKSHOP]

Writes everything in the workshop file as one bundle, to be imported on another device.
FILE must not be there yet unless --replace is given; it is complete or not there at all.
)";

constexpr std::string_view import_text = R"(restand import FILE [--file WORKSHOP]

Adds the entries of a bundle, or of another workshop file, to the workshop file; a damaged one is refused
whole. What is known already stays as it is; where two devices disagree both are kept and shown side by side. Makes the
workshop file if needed.
)";

constexpr std::string_view exchange_text = R"(restand exchange FOLDER [--file WORKSHOP]
restand exchange --postgres CONNECTION [--file WORKSHOP]
restand exchange --schema

Puts what FOLDER (a stick, a share, a synchronised directory) does not hold yet, takes what the workshop
file lacks, and lists the other devices: what each lacks, what each has. Everything lies in
FOLDER/restand-exchange, each device's files in a folder of its own. Half-written and damaged files are
named and passed over. CONNECTION is in libpq's form: "host=pit.example dbname=team user=laptop"; a
password comes from PGPASSWORD or the user's password file. A server silent for 60 s is given up.
--schema prints the SQL that makes the tables; the devices' role needs the rights to select and to
insert, no others. Makes the workshop file if needed.
Exit codes: 0 done; 2 nothing was changed here
)";

constexpr std::string_view retire_text = R"(restand retire DEVICE [--file WORKSHOP]

Lays a device to rest that will not come by again: lost, sold, or a clone that nobody uses. It is listed no
more among those who lack something, on every device that takes this entry. Its own entries stay. If it takes
part again, it says so itself and is listed again. DEVICE is its name, or the start of its number as 'restand
devices' and 'restand exchange' print it; this device itself is refused.
)";

constexpr std::string_view devices_text = R"(restand devices [--file WORKSHOP]

Lists the devices whose entries are in the workshop file: name, number, how many entries, how many are
missing. A device that was restored from a backup goes on under a new number.
)";

constexpr std::string_view backup_text = R"(restand backup [FOLDER] [--file WORKSHOP]

Makes a copy of the workshop file in FOLDER (without it: 'backups' beside the workshop file), opens and
checks it. Older copies go only after that: kept are the 10 newest, one a day for a week, one a week for
12 weeks.
)";

constexpr std::string_view backups_text = R"(restand backups [FOLDER] [--file WORKSHOP]

Lists the copies of the workshop file, newest first, whether each is whole, and the device that made it.
A copy marked 'partial' holds what could be read of a workshop that had damage.
)";

constexpr std::string_view restore_text = R"(restand restore BACKUP [--other] [--file WORKSHOP]

Checks a copy and puts it in the workshop file's place; the file that was there is kept beside it. Close
the app first. The device then counts as a new one, so nothing it wrote before is mistaken for something
else. A copy of another workshop is refused unless --other is given.
)";

constexpr std::string_view table_text = R"(restand table FILE.csv [--replace] [--file WORKSHOP]

Writes every reading of the workshop file as a table, one a line; '-' prints it. The columns: 'restand help
tables'.
)";

constexpr std::string_view lines_text = R"(restand lines FILE.jsonl [--replace] [--file WORKSHOP]

Writes every entry of the workshop file as JSON, one a line; '-' prints them.
)";

constexpr std::string_view case_text = R"(restand case BIKE [-o FILE.json] [--replace] [--file WORKSHOP]

Prints a bike of the workshop as a case file of format 2 (below): its description and its set-up as it
stands now. solve, stance, linkage and chain compute with it; 'restand take' puts it in another workshop.

)";

constexpr std::string_view take_text =
    R"(restand take CASE.json [--yes] [--file WORKSHOP]
restand take FILE.csv --bike BIKE [--month-first] [--yes] [--file WORKSHOP]

A case file of format 2 is a bike: says what it would take; --yes writes the bike with its set-up as its
baseline. A bike of that name that is there already stays as it is; the new one gets a number behind it.

Reads older readings from a table (RFC 4180; comma, semicolon or tab): shows what its columns are taken
for and what each line would become. --yes writes the good lines as records of the bike; they never
change what stands on it. A column's name says its point, end and unit: "rear free length [mm]". Or one
reading a line: day, end, point, value, unit. Days: 2025-09-02, 02.09.2025, 2/9/2025 (--month-first:
9/2/2025). Taking a table twice adds nothing.
)";

constexpr std::string_view check_text = R"(restand check FILE

Says what FILE is (workshop file, bundle or case) and whether it is whole. Nothing is written.
Exit codes: 0 whole; 2 damaged, not Restand's, or from a newer Restand
)";

struct Page {
    std::string_view command, text;
};
constexpr std::array pages = {
    Page{"solve", solve_text},       Page{"stance", stance_text},   Page{"linkage", linkage_text},
    Page{"chain", chain_text},       Page{"bikes", bikes_text},     Page{"baselines", baselines_text},
    Page{"show", show_text},         Page{"history", history_text}, Page{"compare", compare_text},
    Page{"way", plan_text},          Page{"jobs", jobs_text},       Page{"ready", ready_text},
    Page{"sheet", sheet_text},       Page{"export", export_text},   Page{"import", import_text},
    Page{"exchange", exchange_text}, Page{"devices", devices_text}, Page{"retire", retire_text},
    Page{"backup", backup_text},     Page{"backups", backups_text}, Page{"restore", restore_text},
    Page{"table", table_text},       Page{"lines", lines_text},     Page{"take", take_text},
    Page{"check", check_text},       Page{"case", case_text},
};

struct ReferencePage {
    std::string_view name;
    std::span<const unsigned char> (*bytes)();
};
constexpr std::array reference = {ReferencePage{"commands", commands_page}, ReferencePage{"case", case_page},
                                  ReferencePage{"tables", tables_page},
                                  ReferencePage{"exchange", exchange_page},
                                  ReferencePage{"licences", licences_page}};

}  // namespace

std::string help_text(std::string_view about) {
    std::string text;
    for (const Page& page : pages)
        if (page.command == about) text = page.text;
    for (const ReferencePage& page : reference) {
        if (page.name != about) continue;
        if (!text.empty()) text += "\n";
        text.append(page.bytes().begin(), page.bytes().end());
    }
    return text.empty() ? std::string(overview_text) : text;
}

}  // namespace restand
