#include "core/tables/tables.h"

#include <nlohmann/json.hpp>

#include "core/codec/canonical.h"
#include "core/tables/csv.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

// A table's cell by its column's name.
struct Cells {
    Table table;
    std::string at(std::size_t line, const std::string& column) const {
        for (std::size_t i = 0; i < table.head.size(); ++i)
            if (table.head[i] == column) return table.lines.at(line).at(i);
        FAIL(column);
        return "";
    }
};
Cells cells_of(const Store& store) {
    const auto entries = test::got(store.all());
    Ledger ledger;
    read_into(ledger, entries);
    return {test::got(read_table(readings_csv(entries, ledger)))};
}

}  // namespace

TEST_CASE("tables: every reading is a line, value canonical, text as typed") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto begun = test::begin_swap(store);
    const Reading twice{
        Point::eye_to_eye, {{"12 5/16", Unit::inch}, {"312,8", Unit::mm}}, {"calliper", 0.01, 0.03}, "bench"};
    test::got(store.append(encode(ReadingBody{Phase::before, twice, false}, begun.bike, begun.swap,
                                  begun.person, {begun.second})));
    const Cells cells = cells_of(store);
    REQUIRE(cells.table.lines.size() == 3);
    CHECK(cells.at(0, "bike") == "No. 27");
    CHECK(cells.at(0, "kind") == "reading");
    CHECK(cells.at(0, "end") == "rear");
    CHECK(cells.at(0, "point") == "ride_height_rider");
    CHECK(cells.at(0, "value") == "469.8");
    CHECK(cells.at(0, "unit") == "mm");
    CHECK(cells.at(0, "typed") == "469,8");
    CHECK(cells.at(0, "instrument") == "calliper");
    CHECK(cells.at(0, "by") == "Ines");
    CHECK(cells.at(0, "set_aside") == "");
    CHECK(cells.at(1, "set_aside") == "yes");
    // 12 5/16 in = 312.7375 mm (in = 25.4 mm, NIST SP 811); mean with 312.8 mm.
    CHECK(std::stod(cells.at(2, "value")) == doctest::Approx((312.7375 + 312.8) / 2).epsilon(1e-12));
    CHECK(cells.at(2, "repeats") == "2");
    CHECK(cells.at(2, "typed") == "12 5/16; 312,8");
    CHECK(std::stod(cells.at(2, "u95")) == expanded_95(measured(twice)));
    CHECK(cells.at(2, "entry") == to_text(test::got(store.all()).back().id));
    // ISO 8601, and the same day.
    CHECK(cells.at(2, "time_utc").substr(0, 10) == cells.at(2, "day"));
    CHECK(cells.at(2, "time_utc").size() == 20);
}

TEST_CASE(
    "tables: changes, ticks, records and baselines are in it; text that looks like a formula is inert") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    BikeBody body = test::bike("=HYPERLINK(\"x\")");
    const Id bike = test::got(store.append(encode(body))).id;
    const Reading clicks{Point::clicks_rebound_low, {{"12", Unit::click}}, {}, "-from closed"};
    const Reading tyre{Point::tyre, {{"+120/70-17", Unit::one}}, {}, ""};
    test::got(store.append(encode(ChangeBody{"", {{End::front, clicks}}}, bike)));
    test::got(store.append(encode(PlanStepBody{"set_clicks", {{End::rear, clicks}}}, bike)));
    test::got(store.append(encode(RecordBody{"2019-03-01", "old.csv", {{End::front, tyre}}}, bike)));
    BaselineBody baseline;
    baseline.values = {
        {End::rear, {test::reading(Point::eye_to_eye, "310"), {}, {}, {1'760'000'000'000, 0}, {}, false}}};
    test::got(store.append(encode(baseline, bike)));
    const Cells cells = cells_of(store);
    REQUIRE(cells.table.lines.size() == 4);
    CHECK(cells.at(0, "bike") == "'=HYPERLINK(\"x\")");
    CHECK(cells.at(0, "kind") == "change");
    CHECK(cells.at(0, "end") == "front");
    CHECK(cells.at(0, "where") == "'-from closed");
    CHECK(cells.at(1, "kind") == "tick");
    CHECK(cells.at(2, "kind") == "record");
    CHECK(cells.at(2, "day") == "2019-03-01");
    CHECK(cells.at(2, "typed") == "'+120/70-17");
    CHECK(cells.at(2, "value") == "");
    CHECK(cells.at(3, "kind") == "baseline");
    CHECK(cells.at(3, "time_utc") == "2025-10-09T08:53:20Z");  // 1 760 000 000 s, by `date -u`
}

TEST_CASE(
    "tables: a formula behind white space or a byte-order mark is inert, too; a name that is none is left "
    "alone") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const std::vector<std::string> formulas = {" =1+1",      "  @x",     "\n=1+1",          "\t=1",
                                               "\ufeff=1+1", "\u00a0+1", " \ufeff\u200b -1"};
    const std::vector<std::string> names = {" No. 27", "\ufeffNo. 9", "a=b"};
    for (const auto& list : {formulas, names})
        for (const std::string& name : list) {
            const Id bike = test::got(store.append(encode(test::bike(name)))).id;
            const Reading clicks{Point::clicks_rebound_low, {{"12", Unit::click}}, {}, ""};
            test::got(store.append(encode(ChangeBody{"", {{End::front, clicks}}}, bike)));
        }
    const Cells cells = cells_of(store);
    REQUIRE(cells.table.lines.size() == formulas.size() + names.size());
    for (std::size_t i = 0; i < formulas.size(); ++i) CHECK(cells.at(i, "bike") == "'" + formulas[i]);
    for (std::size_t i = 0; i < names.size(); ++i) CHECK(cells.at(formulas.size() + i, "bike") == names[i]);
}

TEST_CASE("tables: what was written as a table can be taken as older readings") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    test::begin_swap(store);
    const Table table = cells_of(store).table;
    const auto lines = preview(table, guess_columns(table, {}), "ours.csv");
    REQUIRE(lines.size() == 2);
    REQUIRE(lines[0].record);
    CHECK(lines[0].record->values[0].reading.point == Point::ride_height_rider);
    CHECK(canonical_value(lines[0].record->values[0].reading.repeats[0]) == 469.8);
}

TEST_CASE("tables: an entry a line as JSON, every field, and the hash can be checked from them") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto begun = test::begin_swap(store);
    test::got(
        store.append({"weather", begun.bike, {}, {}, {begun.first}, R"({ "air_c" : 2.1e1, "x": "a\nb" })"}));
    const auto entries = test::got(store.all());
    const std::string text = entries_jsonl(entries);
    std::size_t at = 0;
    for (const Entry& entry : entries) {
        const std::size_t end = text.find('\n', at);
        const auto line = nlohmann::json::parse(text.substr(at, end - at));
        at = end + 1;
        CHECK(line.at("id") == to_text(entry.id));
        CHECK(line.at("number") == entry.number);
        CHECK(line.at("hash") == to_text(entry.hash));
        Entry back;
        const auto id = [](const nlohmann::json& j) {
            return j.is_null() ? Id{} : test::got(id_from_text(j.get<std::string>()));
        };
        const auto hash = [](const std::string& hex) {
            Hash bytes{};
            for (std::size_t i = 0; i < bytes.size(); ++i)
                bytes[i] = static_cast<std::uint8_t>(std::stoi(hex.substr(2 * i, 2), nullptr, 16));
            return bytes;
        };
        back.id = id(line.at("id"));
        back.device = std::stoull(line.at("device").get<std::string>(), nullptr, 16);
        back.number = line.at("number");
        back.clock = {line.at("clock_ms"), line.at("clock_counter")};
        back.previous = hash(line.at("previous"));
        back.kind = line.at("kind");
        back.bike = id(line.at("bike"));
        back.about = id(line.at("about"));
        back.by = id(line.at("by"));
        for (const auto& one : line.at("supersedes")) back.supersedes.push_back(id(one));
        back.body = line.at("body").dump();
        CHECK(test::got(hash_of(back)) == hash(line.at("hash")));
    }
    CHECK(at == text.size());
}
