// A case file with slips of the pen in it is either a case or an error with a place; never a crash, never a
// number that is none in the result.

#include <fstream>
#include <random>
#include <sstream>

#include "core/exchange/answer_json.h"
#include "core/exchange/bike_tables.h"
#include "core/exchange/words.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

const char* const slips[] = {"NaN", "-1", "1e999", "0",  "null",   "{",     "}",
                             "[",   ",",  ":",     "\"", "1e-300", "1e308", "2000"};

// One slip of the pen: another number, something typed in between, something gone.
std::string spoiled(std::string text, std::mt19937_64& draw, int i) {
    const std::size_t at = draw() % text.size();
    const std::size_t digit = std::min(text.find_first_of("0123456789", at), text.size() - 1);
    if (i % 3 == 0)
        text.replace(digit, 1 + draw() % 3, std::to_string(draw() % 400));
    else if (i % 3 == 1)
        text.insert(at, slips[draw() % std::size(slips)]);
    else
        text.erase(at, 1 + draw() % 6);
    return text;
}

}  // namespace

TEST_CASE("case of the whole bike: five thousand spoiled cases are each read or refused, and answered or not") {
    std::ifstream file(std::string(RESTAND_SOURCE_DIR) + "/demo/bike.json");
    std::stringstream whole;
    whole << file.rdbuf();
    std::mt19937_64 draw(21);
    int read = 0, refused = 0, solved = 0;
    for (int i = 0; i < 5'000; ++i) {
        const std::string text = spoiled(whole.str(), draw, i);
        CAPTURE(text);
        const auto c = read_bike_case(text);
        if (!c) {
            ++refused;
            CHECK(!c.error().subject.empty());
            CHECK(!sentence(c.error()).empty());
            continue;
        }
        ++read;
        if (const auto s = stance(c->bike)) CHECK(nlohmann::json::accept(stance_json(*s)));
        if (const auto rows = travel_table(c->bike)) CHECK(nlohmann::json::accept(travel_json(*rows)));
        if (const auto chain = chain_result(*c)) CHECK(nlohmann::json::accept(chain_json(*chain)));
        const auto answer = restore(WholeCase{c->bike, c->targets, c->adjusters});
        if (!answer) continue;
        ++solved;
        CHECK(nlohmann::json::accept(whole_json(*c, *answer)));
        for (std::size_t k = 0; k < c->adjusters.size(); ++k) {
            CHECK(answer->detent[k] >= answer->ends[k].low - 1e-6);
            CHECK(answer->detent[k] <= answer->ends[k].high + 1e-6);
        }
    }
    CHECK(read > 1000);
    CHECK(refused > 1000);
    CHECK(solved > 500);
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
        const auto sure = sure_answer(file->swap, file->inputs, file->remake);
        if (sure) CHECK(nlohmann::json::accept(answer_json(*file, *sure)));
    }
    // Both happen, or the test tests nothing.
    CHECK(read > 300);
    CHECK(refused > 3000);
}
