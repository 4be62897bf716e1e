// A case file with slips of the pen in it is either a case or an error with a place; never a crash, never a
// number that is none in the result.

#include <random>

#include "core/exchange/answer_json.h"
#include "core/exchange/words.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("case: ten thousand spoiled cases are each read or refused with a sentence") {
    std::mt19937_64 draw(20);
    const char* slips[] = {"NaN", "-1", "1e999", "0",  "null",   "{",     "}",
                           "[",   ",",  ":",     "\"", "1e-300", "1e308", "2000"};
    int read = 0, refused = 0;
    for (int i = 0; i < 10'000; ++i) {
        std::string text = issue_case;
        const std::size_t at = draw() % text.size();
        const std::size_t digit = std::min(text.find_first_of("0123456789", at), text.size() - 1);
        if (i % 3 == 0)
            text.replace(digit, 1 + draw() % 3, std::to_string(draw() % 400));
        else if (i % 3 == 1)
            text.insert(at, slips[draw() % std::size(slips)]);
        else
            text.erase(at, 1 + draw() % 6);
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
