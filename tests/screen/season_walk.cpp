// The season on the real app, by tapping what a person taps: a change between two sessions in two taps, a session
// written down, the time line found by words, two moments compared, the way back walked to its end, an exchange over a
// folder between two devices. The demo team's season is under it.

#include <fstream>

#include "core/exchange/device_rest.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

// The nth newest baseline, opened from the time line.
Entry open_baseline(Hand& hand, std::size_t n) {
    hand.tap("history");
    hand.tap("kind:1");
    const Entry baseline = hand.desk().season.moments.at(n);
    hand.tap("moment:" + to_text(baseline.id));
    return baseline;
}

std::size_t changes(Hand& hand) {
    std::size_t n = 0;
    for (const Fact* f : hand.desk().ledger.facts_of(hand.desk().bike))
        n += f->entry.kind == "change" && !hand.desk().ledger.superseded(f->entry.id);
    return n;
}

}  // namespace

TEST_CASE("season: two taps change a setting, on disk, and Undo takes it back") {
    DemoHand hand;
    const double was = now_at(hand, End::front, Point::clicks_rebound_low);
    hand.tap("change");
    hand.tap("change:front:clicks_rebound_low:more");
    CHECK(now_at(hand, End::front, Point::clicks_rebound_low) == was + 1);
    REQUIRE(hand.desk().notice.has_value());
    hand.start();  // what was tapped is on disk
    go(hand, act::Go{Screen::bike, bike_named(hand, "No. 27")->id});
    CHECK(now_at(hand, End::front, Point::clicks_rebound_low) == was + 1);
    hand.tap("change");
    const std::size_t before = changes(hand);
    hand.tap("change:front:clicks_rebound_low:more");
    hand.tap("change:front:clicks_rebound_low:more");
    CHECK(now_at(hand, End::front, Point::clicks_rebound_low) == was + 3);
    CHECK(changes(hand) <= before + 1);  // taps on one setting are one change
    go(hand, act::Undo{});
    CHECK(now_at(hand, End::front, Point::clicks_rebound_low) < was + 3);
}

TEST_CASE("season: half a turn of collar says what it does to the stance") {
    DemoHand hand;
    hand.tap("change");
    const double was = now_at(hand, End::front, Point::spring_installed_length);
    hand.tap("change:front:spring_installed_length:more");
    // Collar in: a shorter spring, the front stands higher.
    CHECK(now_at(hand, End::front, Point::spring_installed_length) == doctest::Approx(was - 0.5).epsilon(2e-5));  // kept to 0.01 mm
    REQUIRE(hand.desk().notice.has_value());
    CHECK(hand.desk().notice->text.find("rider +") != std::string::npos);
}

TEST_CASE("season: a session is written down and found again by its words") {
    DemoHand hand;
    hand.tap("session");
    hand.tap("row:event:1");  // the circuit
    hand.keys("old mill");
    hand.tap("primary");
    hand.tap("key:close");
    hand.tap("primary");
    CHECK(hand.sheet().title == "No. 27 · season");
    REQUIRE(!hand.desk().season.moments.empty());
    CHECK(hand.desk().season.moments.front().kind == "event");
    hand.tap("find");
    hand.keys("mill");
    CHECK(hand.desk().season.moments.size() == 1);
    hand.keys("z");
    CHECK(hand.desk().season.moments.empty());
}

TEST_CASE("season: the time line is filtered by kind and goes on to older ones") {
    DemoHand hand;
    hand.tap("history");
    const auto all = hand.desk().season.moments.size();
    CHECK(all > 10);
    hand.tap("kind:1");
    REQUIRE(!hand.desk().season.moments.empty());
    for (const Entry& e : hand.desk().season.moments) CHECK(e.kind == "baseline");
    for (std::size_t i = 1; i < hand.desk().season.moments.size(); ++i)
        CHECK(hand.desk().season.moments[i].clock <= hand.desk().season.moments[i - 1].clock);
}

TEST_CASE("season: a part leads to all of the season with it") {
    DemoHand hand;
    open_baseline(hand, 0);
    const SetUp then = setup_then(hand.desk(), *hand.desk().season.moment);
    const Take* part = then.take(End::rear, Point::part_name);
    REQUIRE(part != nullptr);
    const std::string name = part->reading.repeats.back().text;
    hand.tap("value:rear:part_name");
    CHECK(hand.desk().season.query.part == name);
    REQUIRE(!hand.desk().season.moments.empty());
    for (const Entry& e : hand.desk().season.moments) CHECK(e.body.find(name) != std::string::npos);
    hand.tap("part:any");
    CHECK(hand.desk().season.query.part.empty());
}

TEST_CASE("season: an old baseline is compared with now, and the way back to it is walked to its end") {
    DemoHand hand;
    const Entry target = open_baseline(hand, 1);
    hand.tap("compare-now");
    CHECK(hand.sheet().title == "No. 27 · compare");
    hand.tap("primary");  // way back
    CHECK(hand.sheet().title.find("back to") != std::string::npos);
    hand.tap("primary");  // begin
    REQUIRE(hand.desk().ledger.open_way(hand.desk().bike) != nullptr);
    for (int i = 0; i < 40 && hand.sheet().primary.label.find("close the way") == std::string::npos; ++i) {
        if (i == 3) hand.start();  // the battery: it goes on where it was
        const auto shown = way_shown(hand.desk());
        REQUIRE(shown.has_value());
        hand.tap("primary");
        if (hand.desk().pad) {  // a reading to check
            const WayAction* measure = nullptr;
            for (const WayAction& a : shown->way.actions)
                if (a.doing == Doing::measure && a.point == hand.desk().pad->field.point && a.end == hand.desk().pad->field.end)
                    measure = &a;
            REQUIRE(measure != nullptr);
            hand.keys(print_fixed(*measure->expect, 1));
            hand.tap("primary");
            if (hand.desk().pad && !hand.desk().pad->question.empty()) hand.tap("question:yes");
        }
    }
    hand.tap("primary");
    CHECK(hand.desk().ledger.open_way(hand.desk().bike) == nullptr);
    // Every setting that means something on what is fitted now is as it was then.
    const SetUp now = setup_now(hand.desk(), hand.desk().bike), then = setup_then(hand.desk(), target);
    for (const Point p : {Point::sprocket_front, Point::sprocket_rear, Point::chain_links, Point::tyre_pressure_cold})
        if (const Take* wanted = then.take(End::rear, p))
            CHECK(measured(now.take(End::rear, p)->reading).value == doctest::Approx(measured(wanted->reading).value).epsilon(1e-9));
    CHECK(way_back(hand.desk().ledger.bike(hand.desk().bike)->body, now, then).actions.empty());
}

TEST_CASE("season: wear is drawn with its band and says when it meets the limit") {
    DemoHand hand;
    go(hand, act::ShowTrend{hand.desk().bike, Watched::chain_elongation, End::rear, Point::chain_gauge_length});
    CHECK(hand.desk().season.samples.size() >= 6);
    CHECK(hand.sheet().slip.title == "chain elongation, rear");
    CHECK(!hand.sheet().drawing.strokes.empty());
    go(hand, act::Go{Screen::parts, hand.desk().bike});
    CHECK(hand.desk().season.parts.size() == 4);
    CHECK(hand.desk().season.parts.front().km > 0);
}

namespace {
// Two devices and the stick they meet over; the first has the demo's season.
struct TwoDevices {
    Folder folder;
    std::filesystem::path stick = folder.path / "stick";
    Hand one{tablet, folder.demo("one.restand")}, two{tablet, folder.path / "two.restand"};
    TwoDevices() {
        std::filesystem::create_directories(stick);
        begin(one);
    }
    void meet(Hand& hand) const {
        go(hand, act::Go{Screen::devices, {}});
        go(hand, act::ChoosePlace{stick.string()});
        hand.tap("primary");
    }
};
}  // namespace

TEST_CASE("season: two devices meet over a folder and agree") {
    TwoDevices both;
    Hand &one = both.one, &two = both.two;
    for (Hand* hand : {&one, &two, &one, &two}) both.meet(*hand);
    CHECK(two.desk().ledger.bikes().size() == one.desk().ledger.bikes().size());
    go(one, act::ChoosePlace{both.stick.string()});
    REQUIRE(one.desk().meeting.devices.size() == 1);
    CHECK(one.desk().meeting.devices[0].lacks == 0);
    CHECK(one.desk().meeting.devices[0].has == 0);
    CHECK(one.shows("agrees with this one"));
}

TEST_CASE("season: a device laid to rest is shown no more, until it comes by again") {
    TwoDevices both;
    Hand &one = both.one, &two = both.two;
    const std::string stick = both.stick.string();
    const auto meet = [&](Hand& hand) { both.meet(hand); };
    const std::uint64_t lost = two.desk().device;
    const auto shown = [&] {
        const auto& devices = one.desk().meeting.devices;
        return std::any_of(devices.begin(), devices.end(), [&](const Seen& s) { return s.sender.device == lost; });
    };
    meet(one), meet(two), meet(one);
    CHECK(shown());
    {
        auto opened = Store::open((both.folder.path / "three.restand").string(), Store::Mode::create);
        REQUIRE(opened);
        Store& three = *opened;
        const FolderPlace place{stick};
        const auto me = [&] { return Sender{three.device(), "three", 1'760'000'000'000, three.holdings().value()}; };
        REQUIRE(three.merge(take(place, me()).value().entries));
        REQUIRE(three.append(lay_to_rest(three.opening().value(), lost, "two")));
        REQUIRE(put(place, me(), [&](const std::vector<Lack>& wanted) { return three.those(wanted); }));
    }
    meet(one);
    CHECK_FALSE(shown());
    go(one, act::ChoosePlace{stick});
    CHECK_FALSE(shown());
    CHECK(one.desk().meeting.devices.size() == 1);
    meet(two), meet(one);
    CHECK(shown());
}

TEST_CASE("season: older readings come in from a table, with a preview") {
    const Folder folder;
    Hand hand(tablet, folder.demo());
    begin(hand);
    std::ofstream(folder.path / "old.csv") << "date,rear spring free length (mm)\n2025-05-02,161.0\n2025-08-09,160.7\nsoon,160\n";
    go(hand, act::OpenTable{(folder.path / "old.csv").string()});
    CHECK(hand.sheet().title.find("old.csv") != std::string::npos);
    CHECK(hand.sheet().primary.label == "Take 2 lines");
    hand.tap("primary");
    std::size_t records = 0;
    for (const Entry& e : hand.desk().season.moments) records += e.kind == "record";
    CHECK(records == 2);
}

TEST_CASE("season: every screen of it, on every glass and with the largest letters") {
    const Folder folder;
    for (const Glass glass : {Glass{1280, 800, 5.87f}, Glass{800, 1280, 5.87f}, Glass{1920, 1080, 6.4f}})
        for (const int percent : {80, 100, 200}) {
            CAPTURE(glass.width_px);
            CAPTURE(percent);
            Hand hand(glass, folder.demo());
            begin(hand);
            const Id bike = hand.desk().bike;
            go(hand, act::SetLook{false, percent});
            go(hand, act::StartChange{bike});
            go(hand, act::OpenTag{{.of = Field::Of::change, .point = Point::chain_slack, .end = End::rear}});
            go(hand, act::CloseTag{});
            go(hand, act::StartEvent{bike});
            go(hand, act::Back{});
            go(hand, act::Go{Screen::history, bike});
            const Entry newest = hand.desk().season.moments.front();
            Entry baseline = newest;
            for (const Entry& e : hand.desk().season.moments)
                if (e.kind == "baseline") baseline = e;
            go(hand, act::OpenMoment{newest.id});
            go(hand, act::OpenMoment{baseline.id});
            go(hand, act::OpenBoth{baseline.id, {}});
            go(hand, act::ShowSame{true});
            go(hand, act::ShowWay{bike, baseline.id});
            for (const Watched what : {Watched::rider_sag, Watched::chain_elongation, Watched::stiction})
                go(hand, act::ShowTrend{bike, what, End::rear, Point::spring_free_length});
            go(hand, act::Go{Screen::parts, bike});
            go(hand, act::Go{Screen::devices, {}});
        }
}
