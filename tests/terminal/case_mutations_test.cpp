// A case file with slips of the pen in it is either a case or an error with a place; never a crash, never a
// number that is none in the result.

#include <fstream>
#include <random>
#include <sstream>

#include "app/sentences.h"
#include "platform/terminal/answer_json.h"
#include "platform/terminal/bike_tables.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

const char* const panels[] = {"NaN", "-1", "1e999", "0",  "null",   "{",     "}",
                              "[",   ",",  ":",     "\"", "1e-300", "1e308", "2000"};

// One slip of the pen: another number, something typed in between, something gone.
std::string spoiled(std::string text, std::mt19937_64& draw, int i) {
    const std::size_t at = draw() % text.size();
    const std::size_t digit = std::min(text.find_first_of("0123456789", at), text.size() - 1);
    if (i % 3 == 0)
        text.replace(digit, 1 + draw() % 3, std::to_string(draw() % 400));
    else if (i % 3 == 1)
        text.insert(at, panels[draw() % std::size(panels)]);
    else
        text.erase(at, 1 + draw() % 6);
    return text;
}

}  // namespace

namespace {

std::string demo_text() {
    std::ifstream file(std::string(RESTAND_SOURCE_DIR) + "/demo/bike.json");
    std::stringstream whole;
    whole << file.rdbuf();
    return whole.str();
}

// The demo bike on scales, and its linkage's table measured: the keys that the demo itself has not.
std::string measured_text() {
    const std::string with_scales =
        changed(demo_text(), R"("sprung": { "kg": 147, "at_mm": [170, 120] })",
                R"("scales": { "rear_kg": 91.7, "front_kg": 90.3, "front_lifted_kg": 74.6, "lift_mm": 420,
                   "eye_to_eye_mm": 300, "fork_length_mm": 580 })");
    return changed(
        with_scales, R"("tail_mark_mm")",
        R"("linkage_table": { "pairs": [[310, -100], [298, -76], [286, -53], [274, -30], [262, -8], [250, 14]],
                       "point_u_mm": 1, "pair_u_mm": 0.5 },
    "tail_mark_mm")");
}

struct MutationTally {
    int read = 0, refused = 0, solved = 0, weighed = 0, checked = 0;
};

void try_spoiled(const std::string& text, MutationTally& tally) {
    CAPTURE(text);
    auto c = read_bike_case(text, Aims::as_typed);
    if (!c) {
        ++tally.refused;
        CHECK(!c.error().subject.empty());
        CHECK(!sentence(c.error()).empty());
        CHECK(sentence(c.error()).find("allowed: allowed") == std::string::npos);
        CHECK(c.error().subject.find("map.linkage") == std::string::npos);
        return;
    }
    ++tally.read;
    tally.weighed += c->weighed.has_value();
    std::optional<TableCheck> table;
    if (const auto& m = c->measured)
        if (const auto check = checked(m->linkage, m->arm, m->table)) table = TableCheck{*m, *check};
    tally.checked += table.has_value();
    if (auto s = stance(c->bike)) {
        s->weighed = c->weighed;
        CHECK(nlohmann::json::accept(stance_json(*s)));
    }
    if (const auto rows = travel_table(c->bike)) CHECK(nlohmann::json::accept(travel_json(*rows, table)));
    if (const auto chain = chain_result(*c)) CHECK(nlohmann::json::accept(chain_json(*chain)));
    if (const auto aims = measure_aims(*c); !aims) {
        CHECK(sentence(aims.error()).find("allowed: allowed") == std::string::npos);
        return;
    }
    const auto answer = restore(WholeCase{c->bike, c->targets, c->adjusters});
    if (!answer) return;
    ++tally.solved;
    CHECK(nlohmann::json::accept(whole_json(*c, *answer)));
    for (std::size_t k = 0; k < c->adjusters.size(); ++k) {
        CHECK(answer->detent[k] >= answer->ends[k].low - 1e-6);
        CHECK(answer->detent[k] <= answer->ends[k].high + 1e-6);
    }
}

}  // namespace

TEST_CASE(
    "case of the whole bike: five thousand spoiled cases are each read or refused, and answered or not") {
    const std::string whole = demo_text();
    std::mt19937_64 draw(21);
    MutationTally tally;
    for (int i = 0; i < 5'000; ++i) try_spoiled(spoiled(whole, draw, i), tally);
    CHECK(tally.read > 1000);
    CHECK(tally.refused > 1000);
    CHECK(tally.solved > 500);
}

TEST_CASE(
    "case on scales, with a linkage's table: three thousand spoiled cases, half of them spoiled just there") {
    const std::string whole = measured_text();
    REQUIRE(read_bike_case(whole).has_value());
    const std::size_t scales = whole.find("\"scales\""), table = whole.find("\"linkage_table\"");
    std::mt19937_64 draw(22);
    MutationTally tally;
    for (int i = 0; i < 3'000; ++i) {
        if (i % 2) {
            try_spoiled(spoiled(whole, draw, i / 2), tally);
            continue;
        }
        const std::size_t from = i % 4 ? scales : table, long_as = i % 4 ? 130 : 150;
        const std::string part = spoiled(whole.substr(from, long_as), draw, i / 4);
        try_spoiled(whole.substr(0, from) + part + whole.substr(from + long_as), tally);
    }
    CHECK(tally.refused > 500);
    CHECK(tally.solved > 300);
    CHECK(tally.weighed > 300);
    CHECK(tally.checked > 300);
}

TEST_CASE("case: ten thousand spoiled cases are each read or refused with a sentence") {
    std::mt19937_64 draw(20);
    int read = 0, refused = 0;
    for (int i = 0; i < 10'000; ++i) {
        const std::string text = spoiled(issue_case, draw, i);
        CAPTURE(text);
        const auto file = read_case(text);
        if (!file) {
            ++refused;
            CHECK(!file.error().subject.empty());
            CHECK(!sentence(file.error()).empty());
            continue;
        }
        ++read;
        const auto uncertain = uncertain_answer(file->swap, file->inputs, file->remake);
        if (uncertain) CHECK(nlohmann::json::accept(answer_json(*file, *uncertain)));
    }
    // Both happen, or the test tests nothing.
    CHECK(read > 300);
    CHECK(refused > 3000);
}
