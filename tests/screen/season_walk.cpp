// The season on the real app, by tapping what a person taps: a change between two sessions in two taps, an
// event recorded, the timeline searched by words, two moments compared, the restore plan done to its end, an
// exchange over a folder between two devices. It uses the demo team's season.

#include <fstream>

#include "core/sync/device_rest.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

// Opens the nth newest baseline from the timeline.
Entry open_baseline(Driver& driver, std::size_t n) {
    driver.tap("history");
    driver.tap("kind:1");
    const Entry baseline = driver.state().season.moments.at(n);
    driver.tap("moment:" + to_text(baseline.id));
    return baseline;
}

std::size_t changes(Driver& driver) {
    std::size_t n = 0;
    for (const Fact* f : driver.state().ledger.facts_of(driver.state().bike))
        n += f->entry.kind == "change" && !driver.state().ledger.superseded(f->entry.id);
    return n;
}

}  // namespace

TEST_CASE("season: two taps change a setting, on disk, and Undo takes it back") {
    DemoHand driver;
    const double was = now_at(driver, End::front, Point::clicks_rebound_low);
    driver.tap("change");
    driver.tap("change:front:clicks_rebound_low:more");
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was + 1);
    REQUIRE(driver.state().notice.has_value());
    driver.start();  // the taps are on disk
    go(driver, act::Go{Screen::bike, bike_named(driver, "No. 27")->id});
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was + 1);
    driver.tap("change");
    const std::size_t before = changes(driver);
    driver.tap("change:front:clicks_rebound_low:more");
    driver.tap("change:front:clicks_rebound_low:more");
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was + 3);
    CHECK(changes(driver) <= before + 1);  // taps on one setting are one change
    go(driver, act::Undo{});
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) < was + 3);
}

TEST_CASE("season: half a turn of collar says what it does to the stance") {
    DemoHand driver;
    driver.tap("change");
    const double was = now_at(driver, End::front, Point::spring_installed_length);
    driver.tap("change:front:spring_installed_length:more");
    // Collar in: a shorter spring, so the front stands higher.
    CHECK(now_at(driver, End::front, Point::spring_installed_length) ==
          doctest::Approx(was - 0.5).epsilon(2e-5));  // kept to 0.01 mm
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.find("rider +") != std::string::npos);
}

TEST_CASE("season: a session is written down and found again by its words") {
    DemoHand driver;
    driver.tap("session");
    driver.tap("row:event:1");  // the circuit
    driver.keys("old mill");
    driver.tap("primary");
    driver.tap("key:close");
    driver.tap("primary");
    CHECK(driver.page().title == "No. 27 · season");
    REQUIRE(!driver.state().season.moments.empty());
    CHECK(driver.state().season.moments.front().kind == "event");
    driver.tap("find");
    driver.keys("mill");
    CHECK(driver.state().season.moments.size() == 1);
    driver.keys("z");
    CHECK(driver.state().season.moments.empty());
}

TEST_CASE("season: the time line is filtered by kind and goes on to older ones") {
    DemoHand driver;
    driver.tap("history");
    const auto all = driver.state().season.moments.size();
    CHECK(all > 10);
    driver.tap("kind:1");
    REQUIRE(!driver.state().season.moments.empty());
    for (const Entry& e : driver.state().season.moments) CHECK(e.kind == "baseline");
    for (std::size_t i = 1; i < driver.state().season.moments.size(); ++i)
        CHECK(driver.state().season.moments[i].clock <= driver.state().season.moments[i - 1].clock);
}

TEST_CASE("season: a part leads to all of the season with it") {
    DemoHand driver;
    open_baseline(driver, 0);
    const SetUp then = setup_then(driver.state().ledger, *driver.state().season.moment);
    const StoredReading* part = then.stored(End::rear, Point::part_name);
    REQUIRE(part != nullptr);
    const std::string name = part->reading.repeats.back().text;
    driver.tap("value:rear:part_name");
    CHECK(driver.state().season.query.part == name);
    REQUIRE(!driver.state().season.moments.empty());
    for (const Entry& e : driver.state().season.moments) CHECK(e.body.find(name) != std::string::npos);
    driver.tap("part:any");
    CHECK(driver.state().season.query.part.empty());
}

namespace {
// Walks the open way to where it can be closed. What is asked for is read as expected, and `off` higher, so many
// times.
void walk_way(Driver& driver, double off, int times, bool restarts) {
    for (int i = 0; i < 40 && driver.page().panel.title.find(" to do") != std::string::npos; ++i) {
        if (restarts && i == 3) driver.start();  // as after an empty battery: it goes on at the same step
        driver.tap("primary");
        if (!driver.state().pad) continue;
        const Field field = driver.state().pad->field;
        const auto expected = expected_of(driver.state(), field);
        REQUIRE(expected.has_value());
        CHECK(driver.page().pad->last_label.find("expect") != std::string::npos);
        CHECK(driver.page().drawing.tags.size() == 1);  // the dimension that is measured
        type_repeats(driver, print_fixed(*expected + (is_ride_height(field.point) ? off : 0), 1),
                     is_ride_height(field.point) ? times : 1);
    }
}

// The way back to an older baseline of the demo with another shock in, begun.
Entry begin_way(Driver& driver) {
    const Entry target = open_baseline(driver, 5);
    driver.tap("compare-now");
    CHECK(driver.page().title == "No. 27 · compare");
    driver.tap("primary");  // restore plan
    CHECK(driver.page().title.find("back to") != std::string::npos);
    driver.tap("primary");  // begin
    REQUIRE(driver.state().ledger.open_plan(driver.state().bike) != nullptr);
    return target;
}
}  // namespace

TEST_CASE("season: the way back says that it does not stand as then, and closes as left") {
    DemoHand driver;
    begin_way(driver);
    walk_way(driver, -7, 5, false);
    CHECK(driver.page().panel.title == "It does not stand as then");
    CHECK(driver.shows("Not restored"));
    CHECK(driver.page().primary.label.starts_with("Measure again: "));
    const auto& rows = driver.page().panel.rows;
    CHECK(std::any_of(rows.begin(), rows.end(), [](const Row& row) {
        const auto* button = std::get_if<row::Button>(&row);
        return button && button->label == "Close it: it does not stand as then";
    }));
    driver.tap("leave");
    CHECK(driver.state().ledger.open_plan(driver.state().bike) == nullptr);
    // The time line says where it led to and how it ended.
    driver.tap("history");
    CHECK(driver.shows("back to the baseline of"));
    CHECK(driver.shows("not restored · back to the baseline of"));
}

TEST_CASE("season: the time line says how a swap ended, across and upright") {
    for (const Viewport& held : walk_viewports) {
        const WalkFolder folder;
        Driver driver(held, folder.demo());
        begin(driver);
        driver.tap("history");
        CHECK(driver.shows("kept · fork"));
        CHECK_FALSE(driver.shows("set aside"));
        const Swap* open = driver.state().ledger.open_swap(driver.state().bike);
        REQUIRE(open != nullptr);
        go(driver, act::AbandonSwap{open->id});
        go(driver, act::Go{Screen::bike, driver.state().bike});
        driver.tap("history");
        CHECK(driver.shows("set aside · "));
    }
}

TEST_CASE("season: while a height is still to be read, the way back gives no verdict and no reason for one") {
    DemoHand driver;
    begin_way(driver);
    int read_early = 0;
    for (int i = 0; i < 40 && driver.page().panel.title.find(" to do") != std::string::npos; ++i) {
        driver.tap("primary");
        if (!driver.state().pad) continue;
        const Field field = driver.state().pad->field;
        const double off = is_ride_height(field.point) ? 1.2 : 0;
        type_repeats(driver, print_fixed(*expected_of(driver.state(), field) + off, 1), 1);
        if (!is_ride_height(field.point) ||
            driver.page().primary.label.find("Measure: ride height") == std::string::npos)
            continue;
        ++read_early;
        CHECK(driver.shows("Read so far."));
        CHECK_FALSE(driver.shows("Too near your tolerance"));
    }
    CHECK(read_early > 0);
    CHECK(driver.page().panel.title ==
          "These readings cannot tell");  // once each with a tape: now it may be said
}

TEST_CASE(
    "season: the way back measured once with a tape cannot tell; measured again, settled anew, it can") {
    DemoHand driver;
    begin_way(driver);
    walk_way(driver, 1.2, 1, false);
    CHECK(driver.page().panel.title == "These readings cannot tell");
    for (int i = 0; i < 8 && driver.page().panel.title == "These readings cannot tell"; ++i) {
        const auto& rows = driver.page().panel.rows;
        const auto again = std::find_if(rows.begin(), rows.end(), [](const Row& row) {
            const auto* button = std::get_if<row::Button>(&row);
            return button && button->id.starts_with("again:");
        });
        REQUIRE(again != rows.end());
        driver.tap(std::get<row::Button>(*again).id);
        const auto expected = expected_of(driver.state(), driver.state().pad->field);
        REQUIRE(expected.has_value());
        type_repeats(driver, print_fixed(*expected, 1), 5);
    }
    CHECK(driver.page().panel.title == "It stands as then");
}

TEST_CASE("season: an old baseline is compared with now, and the way back to it is walked to its end") {
    DemoHand driver;
    const Entry target = begin_way(driver);
    walk_way(driver, 0, 5, true);
    CHECK(driver.page().panel.title == "It stands as then");
    CHECK(driver.page().primary.label == "It is back: close the way");
    driver.tap("primary");
    CHECK(driver.state().ledger.open_plan(driver.state().bike) == nullptr);
    // Every setting that applies to the parts now fitted has its earlier value.
    const SetUp now = setup_now(driver.state().ledger, driver.state().bike),
                then = setup_then(driver.state().ledger, target);
    for (const Point p :
         {Point::sprocket_front, Point::sprocket_rear, Point::chain_links, Point::tyre_pressure_cold})
        if (const StoredReading* wanted = then.stored(End::rear, p))
            CHECK(measured(now.stored(End::rear, p)->reading).value ==
                  doctest::Approx(measured(wanted->reading).value).epsilon(1e-9));
    CHECK(restore_plan(driver.state().ledger.bike(driver.state().bike)->body, now, then).actions.empty());
}

TEST_CASE("season: both sides of a compared value stand in the unit of their line") {
    DemoHand driver;
    // The demo's 560 lb/in of May beside the 100 N/mm of now.
    driver.tap("history");
    driver.tap("kind:1");
    const auto& moments = driver.state().season.moments;
    const auto may = std::find_if(moments.begin(), moments.end(), [](const Entry& e) {
        return e.body.find("560 lb/in") != std::string::npos;
    });
    REQUIRE(may != moments.end());
    driver.tap("moment:" + to_text(may->id));
    driver.tap("compare-now");
    int rates = 0;
    REQUIRE(driver.page().table.has_value());
    for (const PageTable::Line& line : driver.page().table->lines) {
        if (line.cells.size() < 3 || line.cells[0] != "rate, N/mm") continue;
        ++rates;
        if (line.cells[2] != "100") continue;  // the front's
        CHECK(line.cells[1] == "98.1");        // 560 lbf/in of 0.175127 N/mm (NIST SP 811)
    }
    CHECK(rates >= 1);
}

TEST_CASE("season: wear is drawn with its band and says when it meets the limit") {
    DemoHand driver;
    go(driver,
       act::ShowTrend{driver.state().bike, Watched::chain_elongation, End::rear, Point::chain_gauge_length});
    CHECK(driver.state().season.samples.size() >= 6);
    CHECK(driver.page().panel.title == "chain elongation, rear");
    CHECK(!driver.page().drawing.strokes.empty());
    go(driver, act::Go{Screen::parts, driver.state().bike});
    CHECK(driver.state().season.parts.size() == 4);
    CHECK(driver.state().season.parts.front().km > 0);
}

namespace {
// Two devices and the stick over which they exchange; the first has the demo's season.
struct TwoDevices {
    WalkFolder folder;
    std::filesystem::path stick = folder.path / "stick";
    Driver one{tablet, folder.demo("one.restand")}, two{tablet, folder.path / "two.restand"};
    TwoDevices() {
        std::filesystem::create_directories(stick);
        begin(one);
    }
    void meet(Driver& driver) const {
        go(driver, act::Go{Screen::devices, {}});
        go(driver, act::ChoosePlace{stick.string()});
        driver.tap("primary");
    }
};
}  // namespace

TEST_CASE("season: two devices meet over a folder and agree") {
    TwoDevices both;
    Driver &one = both.one, &two = both.two;
    for (Driver* driver : {&one, &two, &one, &two}) both.meet(*driver);
    CHECK(two.state().ledger.bikes().size() == one.state().ledger.bikes().size());
    go(one, act::ChoosePlace{both.stick.string()});
    REQUIRE(one.state().meeting.devices.size() == 1);
    CHECK(one.state().meeting.devices[0].lacks == 0);
    CHECK(one.state().meeting.devices[0].has == 0);
    CHECK(one.shows("agrees with this one"));
}

TEST_CASE("season: a device laid to rest is shown no more, until it comes by again") {
    TwoDevices both;
    Driver &one = both.one, &two = both.two;
    const std::string stick = both.stick.string();
    const auto meet = [&](Driver& driver) { both.meet(driver); };
    const std::uint64_t lost = two.state().device;
    const auto shown = [&] {
        const auto& devices = one.state().meeting.devices;
        return std::any_of(devices.begin(), devices.end(),
                           [&](const Seen& s) { return s.sender.device == lost; });
    };
    meet(one), meet(two), meet(one);
    CHECK(shown());
    {
        auto opened = Store::open((both.folder.path / "three.restand").string(), Store::Mode::create);
        REQUIRE(opened);
        Store& three = *opened;
        const FolderPlace place{stick};
        const auto me = [&] {
            return Sender{three.device(), "three", 1'760'000'000'000, three.ranges().value()};
        };
        REQUIRE(three.merge(take(place, me()).value().entries));
        REQUIRE(three.append(lay_to_rest(three.opening().value(), lost, "two")));
        REQUIRE(put(place, me(), [&](const std::vector<Lack>& wanted) { return three.those(wanted); }));
    }
    meet(one);
    CHECK_FALSE(shown());
    go(one, act::ChoosePlace{stick});
    CHECK_FALSE(shown());
    CHECK(one.state().meeting.devices.size() == 1);
    meet(two), meet(one);
    CHECK(shown());
}

TEST_CASE("season: older readings come in from a table, with a preview") {
    const WalkFolder folder;
    Driver driver(tablet, folder.demo());
    begin(driver);
    std::ofstream(folder.path / "old.csv")
        << "date,rear spring free length (mm)\n2025-05-02,161.0\n2025-08-09,160.7\nsoon,160\n";
    go(driver, act::OpenTable{(folder.path / "old.csv").string()});
    CHECK(driver.page().title.find("old.csv") != std::string::npos);
    CHECK(driver.page().primary.label == "Take 2 lines");
    driver.tap("primary");
    std::size_t records = 0;
    for (const Entry& e : driver.state().season.moments) records += e.kind == "record";
    CHECK(records == 2);
}

TEST_CASE("season: every screen of it, on every glass and with the largest letters") {
    const WalkFolder folder;
    for (const Viewport viewport :
         {Viewport{1280, 800, 5.87f}, Viewport{800, 1280, 5.87f}, Viewport{1920, 1080, 6.4f}})
        for (const int percent : {80, 100, 200}) {
            CAPTURE(viewport.width_px);
            CAPTURE(percent);
            Driver driver(viewport, folder.demo());
            begin(driver);
            const Id bike = driver.state().bike;
            go(driver, act::SetLook{false, percent});
            go(driver, act::StartChange{bike});
            go(driver,
               act::OpenTag{{.of = Field::Of::change, .point = Point::chain_slack, .end = End::rear}});
            go(driver, act::CloseTag{});
            go(driver, act::StartEvent{bike});
            go(driver, act::Back{});
            go(driver, act::Go{Screen::history, bike});
            const Entry newest = driver.state().season.moments.front();
            Entry baseline = newest;
            for (const Entry& e : driver.state().season.moments)
                if (e.kind == "baseline") baseline = e;
            go(driver, act::OpenMoment{newest.id});
            go(driver, act::OpenMoment{baseline.id});
            go(driver, act::OpenBoth{baseline.id, {}});
            go(driver, act::ShowSame{true});
            go(driver, act::ShowPlan{bike, baseline.id});
            for (const Watched what : {Watched::rider_sag, Watched::chain_elongation, Watched::stiction})
                go(driver, act::ShowTrend{bike, what, End::rear, Point::spring_free_length});
            go(driver, act::Go{Screen::parts, bike});
            go(driver, act::Go{Screen::devices, {}});
        }
}
