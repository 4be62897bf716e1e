// A bike handed over as a file, and taken in again, by taps.

#include <algorithm>
#include <fstream>

#include "tests/screen/driver.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("hand over: a bike goes to a file in the chosen place, and from there into the workshop again") {
    const WalkFolder folder;
    Driver driver(tablet, folder.demo());
    const std::filesystem::path place = std::filesystem::path(folder.demo()).parent_path() / "stick";
    std::filesystem::create_directories(place);
    driver.session().act(act::ChoosePlace{place.string()});
    const auto named = [&](const std::string& name) -> const Bike* {
        const auto bikes = driver.state().ledger.bikes();
        const auto found =
            std::find_if(bikes.begin(), bikes.end(), [&](const Bike* b) { return b->body.name == name; });
        return found == bikes.end() ? nullptr : *found;
    };
    REQUIRE(named("No. 8"));
    driver.session().act(act::Go{Screen::bike, named("No. 8")->id});
    driver.look();
    driver.tap("edit");
    driver.tap("hand_over");
    CHECK(driver.shows("Written: "));
    // A second one does not replace the first.
    driver.tap("hand_over");
    CHECK(std::distance(std::filesystem::directory_iterator(place), {}) == 2);

    driver.session().act(act::Go{Screen::devices, {}});
    driver.look();
    driver.tap("case:0");
    CHECK(driver.shows("No. 8 (2) is taken in"));
    const Bike *was = named("No. 8"), *is = named("No. 8 (2)");
    REQUIRE((was && is));
    BikeBody body = is->body;
    body.name = was->body.name;
    CHECK(body == was->body);
    const SetUp then = setup_now(driver.state().ledger, was->id),
                now = setup_now(driver.state().ledger, is->id);
    REQUIRE(now.values.size() == then.values.size());
    for (const auto& [at, stored] : then.values)
        CHECK(now.stored(at.first, at.second)->reading == stored.reading);
}

TEST_CASE("hand over: a file that is no bike is refused with a sentence, and nothing is changed") {
    const WalkFolder folder;
    Driver driver(tablet, folder.demo());
    const std::filesystem::path place = std::filesystem::path(folder.demo()).parent_path() / "stick";
    std::filesystem::create_directories(place);
    std::ofstream(place / "shopping.json") << "{ \"milk\": 2 }";
    driver.session().act(act::ChoosePlace{place.string()});
    driver.session().act(act::Go{Screen::devices, {}});
    driver.look();
    const std::size_t bikes = driver.state().ledger.bikes(true).size();
    driver.tap("case:0");
    REQUIRE(driver.state().notice);
    CHECK(driver.state().notice->stop);
    CHECK(driver.state().notice->text.find("shopping.json") != std::string::npos);
    CHECK(driver.state().ledger.bikes(true).size() == bikes);
}
