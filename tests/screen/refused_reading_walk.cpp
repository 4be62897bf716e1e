// Readings that cannot be, and parts that do not fit: where the page leads then. By taps.

#include <doctest/doctest.h>

#include "tests/screen/answered.h"

using namespace restand;
using namespace restand::test;

namespace {

// The question that the pad asks about a number in this row; the number is taken all the same.
std::string question_about(Driver& driver, const std::string& row, const char* number) {
    driver.tap(row);
    driver.keys(number);
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    const std::string asked = driver.state().pad->question;
    if (!asked.empty()) driver.tap("question:yes");
    if (driver.state().pad) driver.tap("key:close");
    return asked;
}

}  // namespace

TEST_CASE(
    "refused: a shortest length over the longest is asked about, and 'No answer' leads to that reading") {
    Answered driver;
    go(driver, act::GoToStep{Step6::new_part});
    CHECK(question_about(driver, "row:new_part:rear:eye_to_eye_max", "318").empty());
    const std::string asked = question_about(driver, "row:new_part:rear:eye_to_eye_min", "330");
    CHECK(asked.find("shortest, 330 mm, is more than eye to eye, 310") != std::string::npos);
    go(driver, act::GoToStep{Step6::answer});
    CHECK(driver.shows("No answer yet"));
    CHECK(driver.page().primary.label == "Read: eye to eye, shortest");
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->field.phase == Phase::new_part);
    CHECK(driver.state().pad->field.point == Point::eye_to_eye_min);
    CHECK(driver.page().primary.label == "Keep this reading");
    driver.keys("300");
    driver.tap("primary");
    while (driver.state().pad) driver.tap("key:close");
    CHECK_FALSE(driver.shows("No answer yet"));
    CHECK(driver.page().panel.title == "Set this on the new shock");
}

TEST_CASE("refused: a part that does not fit says why where another one is typed in") {
    Answered driver;
    go(driver, act::GoToStep{Step6::new_part});
    read(driver, "row:new_part:rear:gas_force", "150");
    REQUIRE_FALSE(needed_field(driver.state()));
    CHECK_FALSE(driver.shows("Do not fit"));
    read(driver, "row:new_part:rear:eye_to_eye", "330");
    go(driver, act::GoToStep{Step6::answer});
    REQUIRE(driver.shows("Do not fit"));
    go(driver, act::GoToStep{Step6::new_part});
    CHECK(driver.shows("Do not fit"));
    CHECK(says(driver, "How far its length can be adjusted is not read"));
    // With the right number it is gone.
    read(driver, "row:new_part:rear:eye_to_eye", "310");
    CHECK_FALSE(driver.shows("Do not fit"));
}

TEST_CASE("answer: a spring whose collar nobody found is set by turns from where it just touches") {
    DemoHand driver;
    set_swap_aside(driver);
    go(driver, act::StartSwap{driver.state().bike, {SwapPart::shock_spring}});
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:spring_rate", "100"},
                      {"new_part:rear:spring_free_length", "160"},
                      {"new_part:rear:collar_mm_per_turn", "1.5"}});
    go(driver, act::GoToStep{Step6::answer});
    const auto& input = solved_swap(driver.state())->solution().end(End::rear);
    REQUIRE(input);
    REQUIRE(input->answer.has_value());
    const double turns = in_mm(input->answer->detent.preload) / 1.5;
    REQUIRE(turns > 1.5);
    const auto notes = [&driver] {
        std::string all;
        for (const Row& row : driver.page().panel.rows)
            if (const auto* big = std::get_if<row::Big>(&row)) all += big->note + "\n";
        return all;
    }();
    CHECK(notes.find(print_quarters(turns) + " turns from where it just touches") != std::string::npos);
}
