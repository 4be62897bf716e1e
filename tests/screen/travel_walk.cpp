// The plots over the travel and of the gears, read back by their own axes on the real app.

#include <algorithm>
#include <cmath>

#include "app/views/view.h"
#include "core/ledger/chassis.h"
#include "core/ledger/map_of.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

// Reads a plot back by its own axes, as a viewer does.
struct ReadPlot {
    const Drawing& of;
    // Two numbers of an axis and their positions.
    double on_axis(double at, bool across) const {
        std::vector<std::pair<double, double>> marks;
        for (const Label& l : of.labels) {
            const bool of_axis = across ? l.at.y == -6 : l.at.x == -3;
            if (of_axis) marks.push_back({across ? l.at.x : l.at.y, std::stod(l.text)});
        }
        REQUIRE(marks.size() >= 2);
        const auto &a = marks.front(), &b = marks.back();
        return a.second + (b.second - a.second) * (at - a.first) / (b.first - a.first);
    }
    Vec2 value(Vec2 at) const { return {on_axis(at.x, true), on_axis(at.y, false)}; }
    const Stroke* curve(Ink ink) const {
        for (const Stroke& s : of.strokes)
            if (s.ink == ink && !s.closed && s.points.size() > 3) return &s;
        return nullptr;
    }
    Vec2 mark(Ink ink) const {
        for (const Stroke& s : of.strokes)
            if (s.ink == ink && s.filled && s.points.size() == 4)
                return value({(s.points[0].x + s.points[2].x) / 2, (s.points[1].y + s.points[3].y) / 2});
        FAIL("no mark");
        return {};
    }
    const Label* label(const std::string& starts) const {
        for (const Label& l : of.labels)
            if (l.text.starts_with(starts)) return &l;
        return nullptr;
    }
};

// Droop at which sprocket, pivot and axle lie on one line: the chain is nowhere tighter.
Angle in_line(const ChainNow& chain) {
    const PlanePoint e = chain.run.front_sprocket;
    return std::clamp(radians(std::atan2(e.z.value, e.x.value)), chain.full, chain.top);
}

}  // namespace

TEST_CASE("over the travel: the slack's tight spot is where sprocket, pivot and axle are in line") {
    const WalkFolder folder;
    Driver driver(tablet, folder.demo());
    for (const char* name : {"No. 8", "No. 27"}) {
        CAPTURE(name);
        begin(driver, name);
        const Bike& bike = *driver.state().ledger.bike(driver.state().bike);
        const bool linkage = bike.body.mechanism.linkage.has_value();
        CHECK(linkage == (std::string(name) == "No. 8"));
        driver.tap("attitude");
        driver.tap("over");
        driver.tap("plot:2");
        REQUIRE(driver.state().trial.over_travel == TravelPlot::slack);
        const SetUp now = setup_now(driver.state().ledger, bike.id);
        const auto chain = chain_of(bike.body, now, setup_described(driver.state(), bike.id));
        REQUIRE(chain.has_value());
        const Angle droop = tightest_droop(chain->run, chain->full, chain->top);
        CHECK(droop.value == doctest::Approx(in_line(*chain).value));
        const SlackAt tight = slack_at(chain->run, chain->arm, droop);

        const ReadPlot plot{driver.page().drawing};
        const Vec2 mark = plot.mark(Ink::baseline);
        const double travel = in_mm(chain->arm * (sin(chain->top) - sin(droop)));
        CHECK(mark.x == doctest::Approx(linkage ? travel : in_degrees(droop)).epsilon(1e-6));
        CHECK(mark.y == doctest::Approx(in_mm(tight.slack)).epsilon(1e-6));
        CHECK(plot.label(linkage ? "wheel travel" : "swingarm's droop") != nullptr);
        REQUIRE(plot.label("tight spot") != nullptr);
        CHECK(plot.label("as it is") != nullptr);
        CHECK(plot.label("tried") == nullptr);
        // The curve is nowhere lower, and starts at the slack measured with the wheel hanging.
        const Stroke* curve = plot.curve(Ink::baseline);
        REQUIRE(curve != nullptr);
        for (const Vec2& p : curve->points) CHECK(plot.value(p).y >= mark.y - 1e-6);
        CHECK(plot.value(curve->points.front()).y ==
              doctest::Approx(in_mm(chain->on_stand.slack)).epsilon(1e-6));
        driver.tap("over");
    }
}

TEST_CASE("over the travel: with another shock length each of the three curves is another; both are named") {
    const WalkFolder folder;
    const auto workshop = folder.demo();
    constexpr Viewport upright{800, 1280, 5.87f};
    for (const auto& [viewport, percent] : {std::pair{tablet, 100}, {tablet, 200}, {upright, 200}}) {
        const int width = viewport.width_px;
        CAPTURE(width);
        const int letters = percent;
        CAPTURE(letters);
        Driver driver(viewport, workshop);
        begin(driver, "No. 8");
        go(driver, act::SetLook{false, percent});
        driver.tap("attitude");
        driver.tap("over");
        for (int i = 0; i < 4; ++i) go(driver, act::Try{End::rear, Point::eye_to_eye, 1});
        for (const char* which : {"plot:0", "plot:1", "plot:2"}) {
            CAPTURE(which);
            driver.tap(which);
            const ReadPlot plot{driver.page().drawing};
            const Stroke *tried = plot.curve(Ink::now), *was = plot.curve(Ink::baseline);
            REQUIRE(tried != nullptr);
            REQUIRE(was != nullptr);
            CHECK(tried->line == Line::wide);
            CHECK(was->line == Line::ghost);
            double apart = 0;
            for (std::size_t i = 0; i < std::min(tried->points.size(), was->points.size()); ++i)
                apart = std::max(apart, std::hypot(tried->points[i].x - was->points[i].x,
                                                   tried->points[i].y - was->points[i].y));
            CHECK(apart > 1);  // mm, on a plot 160 mm wide
            REQUIRE(plot.label("tried") != nullptr);
            REQUIRE(plot.label("as it is") != nullptr);
            CHECK(plot.label("tried")->ink == Ink::now);
            CHECK(plot.label("as it is")->ink == Ink::baseline);
            CHECK(plot.label("tried")->at.y == doctest::Approx(tried->points.back().y));
            // Both labels are on the screen: neither was dropped for lack of room.
            for (const std::string name : {"tried", "as it is"}) {
                const auto& drawn = driver.session().app().screen().drawn();
                CHECK(
                    std::any_of(drawn.begin(), drawn.end(), [&](const Drawn& d) { return d.text == name; }));
            }
        }
    }
}

TEST_CASE("over the travel: a chain that gets taut meets its limit; what is not known is asked for") {
    DemoHand driver;
    driver.tap("attitude");
    driver.tap("over");
    go(driver, act::OverTravel{TravelPlot::slack});
    CHECK(ReadPlot{driver.page().drawing}.label("taut") == nullptr);
    go(driver, act::WantSlack{30});
    {
        const ReadPlot wanted{driver.page().drawing};
        REQUIRE(wanted.label("wanted at the tight spot") != nullptr);
        std::size_t lines = 0;
        for (const Stroke& s : wanted.of.strokes) {
            if (s.line != Line::hidden) continue;
            CHECK(wanted.value(s.points[0]).y == doctest::Approx(30));
            ++lines;
        }
        CHECK(lines == 1);
    }
    go(driver, act::Try{End::rear, Point::sprocket_rear, 3});
    const ReadPlot plot{driver.page().drawing};
    const Label* taut = plot.label("taut");
    REQUIRE(taut != nullptr);
    CHECK(taut->ink == Ink::stop);
    CHECK(plot.mark(Ink::now).y == doctest::Approx(0));
    for (const Stroke& s : plot.of.strokes)
        if (s.line == Line::hidden) CHECK(plot.value(s.points[0]).y == doctest::Approx(0));

    begin(driver, "No. 64");
    driver.tap("attitude");
    go(driver, act::OverTravel{TravelPlot::slack});
    CHECK(driver.shows("where the front sprocket sits"));
    go(driver, act::OverTravel{TravelPlot::motion_ratio});
    CHECK(driver.shows("its linkage"));
    driver.tap("numbers");
    CHECK(driver.state().screen == Screen::bike_form);
}

TEST_CASE(
    "gears: the teeth of the plot are where speed and engine meet; a tried sprocket stands against what is "
    "on") {
    DemoHand driver;
    driver.tap("chain");
    driver.tap("gears");
    const Bike* bike = driver.state().ledger.bike(driver.state().bike);
    const SetUp described = setup_described(driver.state(), bike->id),
                now = setup_now(driver.state().ledger, bike->id);
    const Gearbox& box = bike->body.gearbox;
    const double top_rpm = box.rpm.value();
    const auto teeth_of = [&](Ink ink, const SetUp& setup) {
        const auto drive = drive_of(bike->body, setup, described);
        REQUIRE(drive.has_value());
        const ReadPlot plot{driver.page().drawing};
        const Stroke* curve = plot.curve(ink);
        REQUIRE(curve != nullptr);
        REQUIRE(curve->points.size() == 2 * box.gears.size());
        for (std::size_t i = 0; i < box.gears.size(); ++i) {
            const Vec2 shift = plot.value(curve->points[2 * i + 1]);
            CHECK(shift.y == doctest::Approx(top_rpm).epsilon(1e-6));
            const double wheel_turns = top_rpm / (*box.primary * box.gears[i] * drive->sprockets.ratio());
            CHECK(
                shift.x ==
                doctest::Approx(wheel_turns * 60 * 2 * pi * in_mm(drive->rear_radius) * 1e-6).epsilon(1e-6));
            if (i == 0) continue;
            const Vec2 taken = plot.value(curve->points[2 * i]);
            CHECK(taken.y == doctest::Approx(top_rpm * box.gears[i] / box.gears[i - 1]).epsilon(1e-6));
        }
    };
    teeth_of(Ink::baseline, now);
    driver.tap("tried:rear:sprocket_rear:more");
    teeth_of(Ink::now, setup_tried(driver.state(), bike->id));
    teeth_of(Ink::baseline, now);
    // At one road speed, engine speed is proportional to the tooth ratio; above its shift speed the row says
    // so.
    const auto line = [&](const std::string& gear, std::size_t nth) {
        std::vector<row::TableLine> found;
        for (const Row& row : view(driver.state()).panel.rows)
            if (const auto* l = std::get_if<row::TableLine>(&row); l && l->label == gear) found.push_back(*l);
        REQUIRE(found.size() == 2);
        return found[nth];
    };
    const row::TableLine fast = line("6th", 0), turns = line("6th", 1);
    CHECK(std::stod(fast.will) < std::stod(fast.was));
    CHECK(std::stod(turns.will) > std::stod(turns.was));
    driver.tap("at:speed:more");
    CHECK(driver.state().trial.at_kmh == 110);
    for (int i = 0; i < 6; ++i) driver.tap("at:speed:more");
    CHECK(line("1st", 1).will == "over");
    // Moving the fork in its yokes does not change the gearing, so there is nothing to compare.
    driver.tap("nothing");
    go(driver, act::Try{End::front, Point::fork_position, 1});
    CHECK(line("6th", 0).was.empty());
    driver.tap("gears");
    CHECK_FALSE(driver.state().trial.gears);
}

TEST_CASE("gears: a tyre that is tried rolls by its marking, as it will once it is set so") {
    DemoHand driver;
    driver.tap("chain");
    const Bike* bike = driver.state().ledger.bike(driver.state().bike);
    const auto set = [&](Point point, const char* text) {
        go(driver, act::OpenTag{{.of = Field::Of::tried, .point = point, .end = End::rear}});
        go(driver, act::PadText{text});
        go(driver, act::PadNext{});
    };
    set(Point::rolling_circumference, "1992");
    driver.tap("primary");  // confirms that it is set now
    go(driver, act::ShowChain{bike->id});
    set(Point::tyre, "200/60-17, rain");
    const auto radius = [&](const SetUp& setup) {
        return in_mm(
            drive_of(bike->body, setup, setup_described(driver.state(), bike->id)).value().rear_radius);
    };
    const double tried = radius(setup_tried(driver.state(), bike->id));
    CHECK(std::fabs(tried - radius(setup_now(driver.state().ledger, bike->id))) > 1);
    go(driver, act::KeepTried{});
    CHECK(radius(setup_now(driver.state().ledger, bike->id)) == doctest::Approx(tried));
}

TEST_CASE("gears: a bike without a gearbox asks for it; its form grows gear by gear, and keeps them") {
    DemoHand driver("No. 64");
    const Id id = driver.state().bike;
    driver.tap("chain");
    driver.tap("gears");
    driver.tap("numbers");
    REQUIRE(driver.state().form.has_value());
    const auto asked = [&](const char* gear) {
        const auto rows = view(driver.state()).panel.rows;
        return std::any_of(rows.begin(), rows.end(), [&](const Row& row) {
            const auto* r = std::get_if<row::ReadingRow>(&row);
            return r && r->id == std::string("row:bike:") + gear;
        });
    };
    const auto type = [&](BikeField field, const char* text) {
        go(driver, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
        go(driver, act::PadText{text});
        go(driver, act::PadNext{});
        go(driver, act::CloseTag{});
    };
    CHECK(asked("gear_1"));
    CHECK_FALSE(asked("gear_2"));
    type(BikeField::primary, "1,9");
    type(BikeField::gear_1, "2.6");
    type(BikeField::gear_2, "0.1");  // not a possible gear ratio
    CHECK(driver.state().form->body.gearbox.gears == std::vector{2.6});
    type(BikeField::gear_2, "2.0");
    CHECK(asked("gear_3"));
    CHECK_FALSE(asked("gear_4"));
    type(BikeField::rpm, "12000");
    go(driver, act::SaveBike{});
    const Gearbox kept = driver.state().ledger.bike(id)->body.gearbox;
    CHECK(kept == Gearbox{1.9, 12000, {2.6, 2.0}});
    driver.start();
    CHECK(driver.state().ledger.bike(id)->body.gearbox == kept);
}
