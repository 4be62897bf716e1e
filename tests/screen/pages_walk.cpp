// What every page has: Back to where one came from, the keys of the keyboard, tables sorted, pages on paper.

#include <fstream>
#include <sstream>

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

std::vector<std::string> first_cells(Driver& driver) {
    std::vector<std::string> cells;
    for (const PageTable::Line& line : driver.page().table->lines)
        if (line.cells.size() > 1) cells.push_back(line.cells[0]);
    return cells;
}

}  // namespace

TEST_CASE("pages: Back goes back from a page that is opened from anywhere, never in a circle") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    go(driver, act::Go{Screen::chain, bike});
    for (const Screen screen :
         {Screen::settings, Screen::devices, Screen::people, Screen::shelf, Screen::keys})
        go(driver, act::Go{screen, {}});
    for (const Screen screen : {Screen::shelf, Screen::people, Screen::devices, Screen::settings,
                                Screen::chain, Screen::bike, Screen::bikes}) {
        driver.tap("title:back");
        CHECK(driver.state().screen == screen);
    }
    CHECK_FALSE(driver.page().can_go_back);
}

TEST_CASE(
    "pages: from the choice of a spring to a spring, its name, and back to the choice, then to the bike") {
    DemoHand driver;
    REQUIRE_FALSE(driver.state().ledger.shelf().empty());
    go(driver, act::ShowSprings{driver.state().bike, End::rear});
    REQUIRE(driver.state().screen == Screen::which_spring);
    const Id item = driver.state().ledger.shelf().front()->id;
    go(driver, act::OpenItem{item});
    driver.tap("name");
    REQUIRE(driver.state().pad.has_value());
    driver.tap("title:back");
    CHECK_FALSE(driver.state().pad.has_value());
    CHECK(driver.state().screen == Screen::item);
    driver.tap("title:back");
    CHECK(driver.state().screen == Screen::which_spring);
    driver.tap("title:back");
    CHECK(driver.state().screen == Screen::bike);
}

TEST_CASE("pages: the form of a bike leads back to the swap that lacked its number") {
    DemoHand driver;
    const auto bikes = driver.state().ledger.bikes();
    const auto free = std::find_if(bikes.begin(), bikes.end(), [&](const Bike* bike) {
        return !driver.state().ledger.open_swap(bike->id);
    });
    REQUIRE(free != bikes.end());
    go(driver, act::StartSwap{(*free)->id, {SwapPart::shock}});
    const Id swap = driver.state().swap;
    go(driver, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::rake}});
    REQUIRE(driver.state().screen == Screen::bike_form);
    driver.tap("key:close");
    driver.tap("title:back");
    CHECK(driver.state().screen == Screen::swap);
    CHECK(driver.state().swap == swap);
    go(driver, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::rake}});
    driver.tap("key:erase");
    driver.keys("24.4");
    driver.tap("primary");
    while (driver.state().pad) driver.tap("key:close");
    go(driver, act::SaveBike{});
    CHECK(driver.state().screen == Screen::swap);
    CHECK(driver.state().swap == swap);
}

TEST_CASE("pages: a part for which the bike lacks a number leads to its numbers, and Back to the parts") {
    Driver driver(tablet);
    begin_bike(driver);
    go(driver, act::ChooseParts{driver.state().bike});
    driver.tap("part:sprockets");
    CHECK(driver.state().screen == Screen::bike_form);
    CHECK(driver.state().chosen_parts.empty());
    driver.tap("title:back");
    CHECK(driver.state().screen == Screen::choose);
}

TEST_CASE("pages: F1 and ? show the keys of the page, and Back returns to it") {
    DemoHand driver;
    const auto shows_key = [&](const std::string& key) {
        for (const std::string& cell : first_cells(driver))
            if (cell == key) return true;
        return false;
    };
    driver.press(Key::help);
    REQUIRE(driver.state().screen == Screen::keys);
    CHECK(shows_key("Ctrl+Z"));
    CHECK_FALSE(shows_key("Left, Right"));
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::bike);
    driver.tap("trend");
    driver.session().handle(TextEvent{"?"});
    driver.look();
    REQUIRE(driver.state().screen == Screen::keys);
    CHECK(shows_key("Left, Right"));
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::trend);
}

TEST_CASE(
    "pages: a tap on a column's name sorts by it, a second one turns it round; what is empty stays last") {
    DemoHand driver;
    go(driver, act::Go{Screen::shelf, {}});
    const auto as_listed = first_cells(driver);
    REQUIRE(as_listed.size() > 3);
    driver.tap("sort:0");
    auto rising = first_cells(driver);
    CHECK(std::is_sorted(rising.begin(), rising.end()));
    CHECK(std::is_permutation(rising.begin(), rising.end(), as_listed.begin(), as_listed.end()));
    driver.tap("sort:0");
    const auto falling = first_cells(driver);
    std::reverse(rising.begin(), rising.end());
    CHECK(falling == rising);
    driver.tap("sort:3");
    bool empty = false;
    for (const PageTable::Line& line : driver.page().table->lines) {
        CHECK_FALSE((empty && !line.cells[3].empty()));
        empty = line.cells[3].empty();
    }
    // Another page is as it was.
    go(driver, act::Go{Screen::parts, driver.state().bike});
    for (const PageTable::Column& column : driver.page().table->columns)
        CHECK(column.sorted == PageTable::Column::Sorted::no);
}

TEST_CASE("pages: a table and a plot go on paper, with every line and number that the page shows") {
    DemoHand driver;
    go(driver, act::Go{Screen::parts, driver.state().bike});
    const auto names = first_cells(driver);
    REQUIRE_FALSE(names.empty());
    driver.tap("print");
    const auto& notice = driver.state().notice;
    REQUIRE(notice.has_value());
    CHECK_FALSE(notice->stop);
    const std::string said = notice->text, begins = "Page written: ";
    REQUIRE(said.starts_with(begins));
    const auto text_of = [](const std::string& path) {
        std::string text;
        FILE* pipe = popen(("pdftotext -layout '" + path + "' - 2>/dev/null").c_str(), "r");
        REQUIRE(pipe);
        char block[4096];
        for (std::size_t n; (n = fread(block, 1, sizeof block, pipe)) > 0;) text.append(block, n);
        REQUIRE(pclose(pipe) == 0);
        return text;
    };
    const std::string table = text_of(said.substr(begins.size()));
    for (const std::string& name : names) CHECK_MESSAGE(table.find(name) != std::string::npos, name);

    driver.tap("title:back");
    driver.tap("trend");
    driver.press(Key::print);
    REQUIRE(driver.state().notice.has_value());
    REQUIRE(driver.state().notice->text.starts_with(begins));
    const std::string plot = text_of(driver.state().notice->text.substr(begins.size()));
    CHECK(plot.find("latest") != std::string::npos);
    for (const Label& label : driver.page().drawing.labels)
        CHECK_MESSAGE(plot.find(label.text) != std::string::npos, label.text);

    go(driver, act::Go{Screen::bike, driver.state().bike});
    driver.press(Key::print);
    CHECK(driver.state().notice->text.starts_with("Tables and plots"));
}
