#include "core/tables/tables.h"

#include <algorithm>
#include <array>

#include "core/codec/body_json.h"
#include "core/codec/canonical.h"
#include "core/codec/strict_json.h"
#include "core/codec/time_text.h"
#include "core/ledger/device_hex.h"
#include "core/tables/csv.h"

namespace restand {
namespace {

std::string_view canonical_symbol(Dimension dimension) {
    switch (dimension) {
        case Dimension::length:
            return "mm";
        case Dimension::rate:
            return "N/mm";
        case Dimension::force:
            return "N";
        case Dimension::mass:
            return "kg";
        case Dimension::angle:
            return "rad";
        case Dimension::pressure:
            return "MPa";
        case Dimension::turns:
            return "turns";
        case Dimension::clicks:
            return "clicks";
        case Dimension::temperature:
            return "°C";
        case Dimension::volume:
            return "mm³";
        case Dimension::length_per_turn:
            return "mm/turn";
        case Dimension::count:
        case Dimension::ratio:
        case Dimension::text:
            break;
    }
    return "";
}

// Free text that a spreadsheet would read as a formula gets a leading apostrophe, which spreadsheets hide.
// They skip white space, byte-order marks and other zero-width characters before a formula, so this function
// skips them too. Numbers stay unchanged.
std::string inert(std::string text) {
    constexpr std::array<std::string_view, 14> passed_over = {
        " ",      "\t",     "\r",     "\n",     "\v",     "\f",     "\u00a0",
        "\u200b", "\u2028", "\u2029", "\u202f", "\u2060", "\u3000", "\ufeff"};
    std::string_view rest = text;
    const auto skip = [&rest](std::string_view mark) {
        if (!rest.starts_with(mark)) return false;
        rest.remove_prefix(mark.size());
        return true;
    };
    while (std::any_of(passed_over.begin(), passed_over.end(), skip)) {
    }
    const bool formula =
        !rest.empty() && std::string_view("=+-@").find(rest.front()) != std::string_view::npos;
    const bool starts_blank = !text.empty() && (text.front() == '\t' || text.front() == '\r');
    if (formula || starts_blank) text.insert(0, "'");
    return text;
}

struct Where {
    const Entry& entry;
    const Ledger& names;
    std::string day;
    std::int64_t at_ms;
    Id by;
};

void add_reading(std::string& table, const Where& where, End end, const Reading& reading) {
    if (reading.repeats.empty()) return;
    const Entry& entry = where.entry;
    const Dimension dimension = facts(reading.point).dimension;
    std::string value, u95, typed;
    if (dimension != Dimension::text) {
        const Measured m = measured(reading);
        value = exact_text(m.value);
        u95 = exact_text(expanded_95(m));
    }
    for (const Typed& one : reading.repeats) typed += (typed.empty() ? "" : "; ") + one.text;
    const Bike* bike = where.names.bike(entry.bike);
    const Person* person = where.names.person(where.by);
    const std::string_view unit = dimension == Dimension::text ? "" : symbol(reading.repeats.front().unit);
    table += csv_line({inert(bike ? bike->body.name : ""), where.day, iso_time(where.at_ms), entry.kind,
                       std::string(key(end)), std::string(facts(reading.point).key), value,
                       std::string(canonical_symbol(dimension)), u95,
                       dimension == Dimension::text ? inert(typed) : typed, std::string(unit),
                       std::to_string(reading.repeats.size()), inert(reading.instrument.name),
                       inert(reading.where), inert(person ? person->name : ""), in_hex(entry.device),
                       to_text(entry.id), where.names.superseded(entry.id) ? "yes" : ""});
}

// The end that a reading of a swap belongs to.
End end_of_reading(const Ledger& names, const Id& swap, const ReadingBody& body) {
    const Swap* found = names.swap(swap);
    return read_at(body, found ? found->parts : std::vector<SwapPart>{}).end;
}

void add_entry_lines(std::string& table, const Fact& fact, const Ledger& names) {
    const Entry& entry = fact.entry;
    const auto at = [&](std::int64_t ms, Id by) {
        return Where{entry, names, iso_time(ms).substr(0, 10), ms, by};
    };
    const auto add_values = [&](const Where& where, const std::vector<SetValue>& values) {
        for (const SetValue& value : values) add_reading(table, where, value.end, value.reading);
    };
    if (const auto* body = std::get_if<ReadingBody>(&fact.body))
        add_reading(table, at(entry.clock.ms, entry.by), end_of_reading(names, entry.about, *body),
                    body->reading);
    if (const auto* body = std::get_if<BaselineBody>(&fact.body))
        for (const BaselineValue& value : body->values)
            add_reading(table, at(value.stored.at.ms, value.stored.by), value.end, value.stored.reading);
    if (const auto* body = std::get_if<ChangeBody>(&fact.body))
        add_values(at(entry.clock.ms, entry.by), body->values);
    if (const auto* body = std::get_if<PlanStepBody>(&fact.body))
        add_values(at(entry.clock.ms, entry.by), body->values);
    if (const auto* body = std::get_if<RecordBody>(&fact.body)) {
        Where where = at(entry.clock.ms, entry.by);
        where.day = body->day;
        add_values(where, body->values);
    }
}

Json id_or_null(const Id& id) {
    return id.nil() ? Json(nullptr) : Json(to_text(id));
}

}  // namespace

std::string readings_csv(const std::vector<Entry>& entries, const Ledger& names) {
    std::string table =
        csv_line({"bike", "day", "time_utc", "kind", "end", "point", "value", "unit", "u95", "typed",
                  "typed_unit", "repeats", "instrument", "where", "by", "device", "entry", "set_aside"});
    for (const Entry& entry : entries)
        if (const auto fact = decode(entry)) add_entry_lines(table, *fact, names);
    return table;
}

std::string entries_jsonl(const std::vector<Entry>& entries) {
    std::string lines;
    for (const Entry& entry : entries) {
        Json line;
        line["id"] = to_text(entry.id);
        line["device"] = in_hex(entry.device);
        line["number"] = entry.number;
        line["clock_ms"] = entry.clock.ms;
        line["clock_counter"] = entry.clock.counter;
        line["previous"] = to_text(entry.previous);
        line["kind"] = entry.kind;
        line["bike"] = id_or_null(entry.bike);
        line["about"] = id_or_null(entry.about);
        line["by"] = id_or_null(entry.by);
        line["supersedes"] = Json::array();
        for (const Id& id : entry.supersedes) line["supersedes"].push_back(to_text(id));
        // The body as JSON if it can be parsed; otherwise as text, so that nothing is lost.
        Json body = Json::parse(entry.body, nullptr, false);
        line["body"] = body.is_discarded() ? Json(entry.body) : std::move(body);
        line["hash"] = to_text(entry.hash);
        lines += line.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
    }
    return lines;
}

}  // namespace restand
