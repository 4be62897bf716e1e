#include "platform/terminal/table.h"

#include <filesystem>
#include <set>

#include "app/sentences.h"
#include "core/codec/body_json.h"
#include "core/files/file.h"
#include "core/tables/csv.h"
#include "core/tables/tables.h"
#include "platform/terminal/case.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

constexpr std::uint64_t table_cap = 16u << 20;
constexpr std::size_t shown_lines = 20;

struct All {
    std::vector<Entry> entries;
    Ledger ledger;
};
Result<All> read_all(const Request& request) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return at.error();
    const Result<Store> store = Store::open(at->path, Store::Mode::read);
    if (!store) return as_shown(store.error(), *at);
    auto entries = store->all();
    if (!entries) return as_shown(entries.error(), *at);
    All all{std::move(*entries), {}};
    read_into(all.ledger, all.entries);
    return all;
}

// To a file, or to the output for '-'.
int write_text(const Request& request, const std::string& text, const std::string& what, std::ostream& out,
               std::ostream& err) {
    const std::string name(request.operands.front());
    if (name == "-") return out << text, exit_done;
    if (const auto there = may_write(request, name, err)) return *there;
    if (const Outcome written = write_file_durably(name, text); !written)
        return complain(err, written.error());
    out << name << ": " << what << " written\n";
    return exit_done;
}

std::string meaning(const ColumnUse& use) {
    using Is = ColumnUse::Is;
    switch (use.is) {
        case Is::nothing:
            return "not used";
        case Is::day:
            return "day";
        case Is::point:
            return "what was read";
        case Is::value:
            return "value";
        case Is::end:
            return "front or rear";
        case Is::unit:
            return "unit";
        case Is::where:
            return "where it was read";
        case Is::source:
            return "source";
        case Is::value_of_point:
            break;
    }
    const std::string unit(symbol(use.unit));
    return std::string(use.end_of == End::rear ? "rear " : "front ") + point_name(use.point) +
           (unit.empty() ? "" : ", " + unit);
}

void print_preview(const Table& table, const std::vector<ColumnUse>& uses,
                   const std::vector<PreviewLine>& lines, std::ostream& out) {
    for (std::size_t i = 0; i < uses.size(); ++i)
        out << "  " << padded(table.head[i].empty() ? "column " + std::to_string(i + 1) : table.head[i], 30)
            << meaning(uses[i]) << "\n";
    std::size_t shown = 0;
    for (const PreviewLine& line : lines) {
        if (!line.record) continue;
        if (++shown > shown_lines) break;
        out << "  line " << line.line << ": " << line.record->day;
        for (const SetValue& value : line.record->values)
            out << ", " << (value.end == End::rear ? "rear " : "front ") << point_name(value.reading.point)
                << " " << plain_line(value_text(value.reading));
        out << "\n";
    }
}

std::size_t report_problems(const std::vector<PreviewLine>& lines, std::ostream& err) {
    std::size_t problems = 0;
    for (const PreviewLine& line : lines) {
        if (!line.problem) continue;
        if (++problems > shown_lines) continue;
        err << "restand: line " << line.line;
        if (!line.problem_column.empty()) err << ", column '" << plain_line(line.problem_column) << "'";
        err << ": " << plain_line(sentence(*line.problem)) << "\n";
    }
    if (problems > shown_lines) err << "restand: and " << problems - shown_lines << " lines more\n";
    return problems;
}

int write_records(const Request& request, const std::vector<PreviewLine>& lines, const Id& bike,
                  std::ostream& out, std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    Result<Store> store = open_to_write(*at, Store::Mode::write, err);
    if (!store) return complain(err, store.error());
    const auto known = store->of_bike(bike, "record");
    if (!known) return complain(err, as_shown(known.error(), *at));
    std::set<std::string> there;
    for (const Entry& entry : *known) there.insert(entry.body);
    std::vector<NewEntry> records;
    std::size_t twice = 0;
    for (const PreviewLine& line : lines) {
        if (!line.record) continue;
        NewEntry entry = encode(*line.record, bike);
        // Importing a table again must not store a season twice.
        if (there.insert(entry.body).second)
            records.push_back(std::move(entry));
        else
            ++twice;
    }
    const auto written = store->append_all(records);
    if (!written) return complain(err, as_shown(written.error(), *at));
    out << written->size() << " records written";
    if (twice) out << ", " << twice << " were there already";
    out << "\n";
    return exit_done;
}

}  // namespace

int table(const Request& request, std::ostream& out, std::ostream& err) {
    const auto all = read_all(request);
    if (!all) return complain(err, all.error());
    return write_text(request, readings_csv(all->entries, all->ledger), "readings", out, err);
}

int lines(const Request& request, std::ostream& out, std::ostream& err) {
    const auto all = read_all(request);
    if (!all) return complain(err, all.error());
    return write_text(request, entries_jsonl(all->entries), std::to_string(all->entries.size()) + " entries",
                      out, err);
}

namespace {

int take_table(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string name(request.operands.front());
    const Result<std::string> text = read_bytes(name, table_cap);
    if (!text) return complain(err, text.error());
    if (!request.bike) return complain(err, {ErrorCode::missing, "--bike", "say whose readings these are"});
    const auto table = read_table(*text);
    if (!table) {
        Error error = table.error();
        error.subject = name + ": " + error.subject;
        return complain(err, error);
    }
    Id bike;
    UnitChoice units;
    {
        const Result<Workshop> workshop = open_workshop(request, err);
        if (!workshop) return complain(err, workshop.error());
        const Result<const Bike*> found = bike_of(workshop->ledger, *request.bike);
        if (!found) return complain(err, found.error());
        bike = (*found)->id;
        const Result<WorkshopPath> at = workshop_path(request.workshop);
        if (!at) return complain(err, at.error());
        if (const auto whole = known_whole(workshop->store, *at); !whole) return complain(err, whole.error());
        units = workshop->ledger.units();
    }
    const auto uses = guess_columns(*table, units);
    const std::string source = std::filesystem::path(name).filename().string();
    const auto previewed = preview(*table, uses, source, request.month_first);
    if (!request.yes) print_preview(*table, uses, previewed, out);
    const std::size_t problems = report_problems(previewed, err);
    const std::size_t good = previewed.size() - problems;
    if (good == 0) {
        err << "restand: " << name << ": no line has a day and a reading; nothing was written\n";
        return exit_bad_input;
    }
    if (request.yes) return write_records(request, previewed, bike, out, err);
    out << good << " of " << previewed.size()
        << " lines can be taken; nothing was written (--yes writes them)\n";
    return exit_done;
}

}  // namespace

// A table of readings, or a case file: by its first character.
int take(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string start = first_bytes(std::string(request.operands.front()));
    const std::size_t text = start.find_first_not_of(" \t\r\n");
    const bool is_case = text != std::string::npos && start[text] == '{';
    return is_case ? take_case(request, out, err) : take_table(request, out, err);
}

}  // namespace restand
