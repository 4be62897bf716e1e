// A count of links that cannot be, typed on the pad of a swap.

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

void type_links(Driver& driver, Phase phase, const char* count) {
    go(driver,
       act::OpenTag{
           {.of = Field::Of::reading, .phase = phase, .point = Point::chain_links, .end = End::rear}});
    driver.gauge(count);
}

const StoredReading* links(Driver& driver, Phase phase) {
    return open_swap(driver.state())->stored({phase, End::rear, Point::chain_links});
}

}  // namespace

TEST_CASE(
    "links: a count that cannot be is asked about with one that fits, and once it is confirmed no more") {
    DemoHand driver;
    go(driver, act::StartSwap{driver.state().bike, {SwapPart::sprockets}});
    go(driver, act::GoToStep{Step6::before});
    type_links(driver, Phase::before, "112");
    REQUIRE(links(driver, Phase::before));
    CHECK_FALSE(links(driver, Phase::before)->confirmed);

    type_links(driver, Phase::before, "118");
    REQUIRE(driver.state().pad);
    INFO(driver.state().pad->question);
    CHECK(driver.state().pad->question.find("Count again: 112 fits") != std::string::npos);
    CHECK(driver.shows("Count again"));
    driver.tap("question:no");
    CHECK(measured(links(driver, Phase::before)->reading).value == 112);
    type_links(driver, Phase::before, "118");
    driver.tap("question:yes");
    CHECK(measured(links(driver, Phase::before)->reading).value == 118);
    CHECK(links(driver, Phase::before)->confirmed);

    // The same count elsewhere in the swap, and after a restart, is taken as it is.
    driver.start();
    go(driver, act::GoToStep{Step6::new_part});
    type_links(driver, Phase::new_part, "118");
    REQUIRE(links(driver, Phase::new_part));
    CHECK_FALSE(links(driver, Phase::new_part)->confirmed);
    type_links(driver, Phase::new_part, "124");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->question.starts_with("124 links do not fit here."));
}
