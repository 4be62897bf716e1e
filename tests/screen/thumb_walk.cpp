// What goes wrong under a thumb: a stray tap on a pad, Undo at the wrong moment, a page left half written.

#include "app/workshop/bike_fields.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

const char* const topped_out = "tag:before:rear:ride_height_topped_out";

// A swap of the shock on a new bike, nothing read yet.
struct BegunSwap : Driver {
    BegunSwap() : Driver(tablet) {
        begin_bike(*this);
        tap("primary");
        REQUIRE(open_swap(state()) != nullptr);
    }
    std::string stands(Point point) const {
        const StoredReading* t = open_swap(session_state())->stored({Phase::before, End::rear, point});
        return t ? wording_of(t->reading) : "nothing";
    }

private:
    const AppState& session_state() const { return const_cast<BegunSwap*>(this)->state(); }
    static std::string wording_of(const Reading& r) {
        std::string all;
        for (const Typed& t : r.repeats) all += (all.empty() ? "" : ", ") + t.text;
        return all;
    }
};

}  // namespace

TEST_CASE("thumb: the cross drops what was typed, and one tap puts it back") {
    BegunSwap driver;
    driver.tap(topped_out);
    driver.keys("521");
    driver.tap("key:close");
    CHECK_FALSE(driver.state().pad.has_value());
    CHECK(driver.stands(Point::ride_height_topped_out) == "nothing");
    CHECK(driver.shows("Typed 521, dropped."));
    driver.tap("notice:key");
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->entry == "521");
    driver.tap("primary");
    CHECK(driver.stands(Point::ride_height_topped_out) == "521");
}

TEST_CASE("thumb: Escape drops a new number over a stored one, repeats too; the stored one stays") {
    BegunSwap driver;
    read(driver, topped_out, "521");
    driver.tap(topped_out);
    driver.keys("530");
    driver.tap("repeat:add");
    driver.keys("531");
    driver.press(Key::escape);
    CHECK(driver.stands(Point::ride_height_topped_out) == "521");
    CHECK(driver.shows("Typed 530, 531, dropped."));
    // Nothing typed, nothing said.
    driver.tap(topped_out);
    driver.press(Key::escape);
    CHECK_FALSE(driver.state().notice.has_value());
}

TEST_CASE("thumb: Undo on the toast takes back what the toast says, not the number half typed after it") {
    BegunSwap driver;
    driver.tap(topped_out);
    driver.keys("521");
    driver.tap("primary");
    REQUIRE(driver.state().pad.has_value());  // the next one is open
    driver.keys("49");
    driver.tap("notice:key");
    CHECK(driver.stands(Point::ride_height_topped_out) == "nothing");
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->entry == "49");
    CHECK(driver.stands(Point::ride_height_static) == "nothing");
}

TEST_CASE("thumb: Redo brings back what Undo took, step by step, until something new is written") {
    BegunSwap driver;
    read(driver, topped_out, "521");
    read(driver, topped_out, "522");
    driver.press(Key::undo);
    CHECK(driver.stands(Point::ride_height_topped_out) == "521");
    driver.press(Key::undo);
    CHECK(driver.stands(Point::ride_height_topped_out) == "nothing");
    driver.press(Key::redo);
    CHECK(driver.stands(Point::ride_height_topped_out) == "521");
    driver.press(Key::redo);
    CHECK(driver.stands(Point::ride_height_topped_out) == "522");
    driver.press(Key::redo);
    CHECK(driver.shows("Nothing to bring back"));
    driver.press(Key::undo);
    read(driver, topped_out, "523");
    driver.press(Key::redo);
    CHECK(driver.stands(Point::ride_height_topped_out) == "523");
    // As it stands, it is on disk.
    driver.start();
    CHECK(driver.stands(Point::ride_height_topped_out) == "523");
}

TEST_CASE("thumb: a reading is taken out where it stands, and put back") {
    BegunSwap driver;
    read(driver, topped_out, "521");
    driver.tap(topped_out);
    driver.tap("key:unread");
    CHECK(driver.stands(Point::ride_height_topped_out) == "nothing");
    CHECK(driver.shows("taken out: not read"));
    driver.tap("notice:key");
    CHECK(driver.stands(Point::ride_height_topped_out) == "521");
    driver.start();
    CHECK(driver.stands(Point::ride_height_topped_out) == "521");
}

TEST_CASE("thumb: repeats say that the bike was settled anew; after a kill the pad still says so") {
    BegunSwap driver;
    driver.tap("tag:before:rear:ride_height_rider");
    driver.keys("469");
    driver.tap("repeat:add");
    driver.tap("key:settled");
    driver.tap("key:instrument");
    const std::string instrument = driver.state().pad->instrument.name;
    driver.start();
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->settled_anew);
    CHECK(driver.state().pad->instrument.name == instrument);
    CHECK(driver.page().pad->instrument == instrument);
    CHECK_FALSE(driver.page().pad->replaced);
    driver.keys("47");
    driver
        .start();  // half a number is in the draft; a gauge's next one takes its place, and the pad shows so
    CHECK(driver.page().pad->entry == "47");
    CHECK(driver.page().pad->replaced);
    driver.keys("471");
    CHECK_FALSE(driver.page().pad->replaced);
    driver.tap("primary");
    const StoredReading* stored =
        open_swap(driver.state())->stored({Phase::before, End::rear, Point::ride_height_rider});
    REQUIRE(stored != nullptr);
    CHECK(stored->reading.settled_anew);
    // Read again as it sat, the interval would be wider: the rider was seated once.
    Reading once = stored->reading;
    once.settled_anew = false;
    CHECK(expanded_95(measured(stored->reading)) < expanded_95(measured(once)));
    // The next reading of this point knows how this person's readings scatter.
    driver.tap("tag:before:rear:ride_height_rider");
    REQUIRE(driver.state().pad->spread.has_value());
    CHECK(driver.state().pad->spread->settled_dof == usual_spread_dof + 1);
}

TEST_CASE("thumb: a session half written survives Back, and the season behind it is there") {
    DemoHand driver;
    driver.tap("session");
    driver.press(Key::escape);
    go(driver, act::Go{Screen::bike, driver.state().bike});
    CHECK_FALSE(driver.shows("one is half written"));  // nothing was typed
    driver.tap("session");
    driver.tap("row:event:1");  // the circuit
    driver.keys("mill");
    driver.tap("primary");
    driver.press(Key::escape);
    driver.press(Key::escape);
    CHECK(driver.page().title == "No. 27");  // where it was opened
    driver.tap("history");
    CHECK(driver.state().season.moments.size() > 10);
    go(driver, act::Go{Screen::bike, driver.state().bike});
    CHECK(driver.shows("one is half written"));
    driver.start();
    go(driver, act::Go{Screen::bike, bike_named(driver, "No. 27")->id});
    driver.tap("session");
    CHECK(driver.state().season.event->body.circuit == "Mill");
    driver.tap("drop-event");
    driver.tap("drop-event:yes");
    CHECK_FALSE(driver.state().season.event.has_value());
}

TEST_CASE("thumb: that something typed at a question was not taken is said until the question is answered") {
    BegunSwap driver;
    driver.tap(topped_out);
    driver.keys("31");
    driver.tap("primary");
    REQUIRE_FALSE(driver.state().pad->question.empty());
    driver.gauge("521");
    REQUIRE(driver.state().notice);
    CHECK(driver.state().notice->text.find("not taken") != std::string::npos);
    driver.tap("question:no");
    CHECK_FALSE(driver.state().notice);
    driver.keys("521");
    driver.tap("primary");
    CHECK(driver.stands(Point::ride_height_topped_out) == "521");
}

TEST_CASE("thumb: a new part of which nothing is measured is not drawn to scale, whatever the old one was") {
    DemoHand driver;
    set_swap_aside(driver);
    begin_swap(driver, "shock");
    go(driver, act::GoToStep{Step6::new_part});
    driver.tap("row:new_part:rear:spring_free_length");
    CHECK(driver.page().drawing.caption == "schematic where not measured");
}

TEST_CASE("thumb: what is tried on one page is named on the other that would write it") {
    DemoHand driver;
    driver.tap("attitude");
    driver.tap("tried:front:fork_position:more");
    REQUIRE(driver.state().trial.tried.size() == 1);
    driver.tap("chain");
    CHECK(driver.shows("Tried besides, on another page"));
    // The bike's own page says so, too, and its card in the workshop.
    go(driver, act::Go{Screen::bike, driver.state().bike});
    CHECK(driver.shows("1 setting tried, not set"));
    go(driver, act::Go{Screen::bikes, {}});
    CHECK(driver.shows("1 setting tried, not set"));
    CHECK_FALSE(driver.shows("settings tried"));
    go(driver, act::ShowAttitude{driver.state().bike});
    driver.tap("nothing");
    go(driver, act::Go{Screen::bikes, {}});
    CHECK_FALSE(driver.shows("tried, not set"));
}

TEST_CASE("thumb: a setting that is changed moves no row of the page under the finger") {
    DemoHand driver;
    driver.tap("change");
    const auto place = [&] { return driver.session().app().screen().rect_of("change:rear:eye_to_eye:more"); };
    if (!place()) driver.session().app().screen().show("change:rear:eye_to_eye:more"), driver.look();
    const auto before = place();
    REQUIRE(before);
    driver.tap("change:rear:eye_to_eye:more");
    const auto after = place();
    REQUIRE(after);
    CHECK(after->y == doctest::Approx(before->y));
}

TEST_CASE("thumb: a comparison with now shows moved heights where they are expected") {
    DemoHand driver("No. 8");
    driver.tap("change");
    driver.tap("change:rear:eye_to_eye:more");
    driver.tap("change:rear:eye_to_eye:more");
    go(driver, act::Go{Screen::history, driver.state().bike});
    driver.tap("kind:1");
    driver.tap("moment:" + to_text(driver.state().season.moments.front().id));
    driver.tap("compare-now");
    CHECK(driver.shows("≈"));
}

TEST_CASE("thumb: after a change every page that says how the bike stands says what is expected now") {
    DemoHand driver;
    const auto says_expected = [&] { return driver.shows("≈") && driver.shows("expected"); };
    CHECK_FALSE(says_expected());
    driver.tap("change");
    driver.tap("change:rear:eye_to_eye:more");
    driver.tap("change:rear:eye_to_eye:more");
    go(driver, act::Go{Screen::bike, driver.state().bike});
    CHECK(says_expected());
    CHECK(driver.page().drawing.caption.starts_with("as it stands"));
    go(driver, act::Go{Screen::bikes, {}});
    CHECK(driver.shows("expect "));
}

TEST_CASE("who: what was asked for before anybody was named is done once somebody is") {
    DemoHand driver;
    const Id somebody = driver.state().who, bike = driver.state().bike;
    const auto unnamed = [&] {
        go(driver, act::SetPerson{Id{}});
        go(driver, act::Go{Screen::bike, bike});
    };
    // A step of a setting.
    unnamed();
    const double was = now_at(driver, End::rear, Point::eye_to_eye);
    driver.tap("change");
    driver.tap("change:rear:eye_to_eye:more");
    CHECK(driver.state().screen == Screen::people);
    CHECK(now_at(driver, End::rear, Point::eye_to_eye) == was);
    driver.tap("person:" + to_text(somebody));
    CHECK(driver.state().screen == Screen::change);
    CHECK(now_at(driver, End::rear, Point::eye_to_eye) > was);
    // A trial that is set.
    unnamed();
    driver.tap("attitude");
    driver.tap("tried:front:fork_position:more");
    driver.tap("primary");
    CHECK(driver.state().screen == Screen::people);
    driver.tap("person:" + to_text(somebody));
    CHECK(driver.state().trial.tried.empty());
    CHECK(driver.state().screen == Screen::bike);
    // Somebody new, who is named there.
    unnamed();
    driver.tap("change");
    driver.tap("change:rear:eye_to_eye:less");
    driver.tap("primary");
    driver.keys("rike");
    driver.tap("primary");
    CHECK(driver.state().screen == Screen::change);
    CHECK(now_at(driver, End::rear, Point::eye_to_eye) == doctest::Approx(was).epsilon(1e-4));
    // The same name again, in other letters, is the same person.
    unnamed();
    const auto people = driver.state().ledger.people().size();
    driver.tap("change");
    driver.tap("change:rear:eye_to_eye:more");
    driver.tap("primary");
    driver.keys("rike");
    driver.tap("primary");
    CHECK(driver.state().ledger.people().size() == people);
    CHECK(driver.state().ledger.person(driver.state().who)->name == "Rike");
    driver.tap("change:rear:eye_to_eye:less");
    // Left without a name, it is dropped.
    unnamed();
    driver.tap("change");
    driver.tap("change:rear:eye_to_eye:more");
    driver.press(Key::escape);
    go(driver, act::SetPerson{somebody});
    CHECK(now_at(driver, End::rear, Point::eye_to_eye) == doctest::Approx(was).epsilon(1e-4));
}

TEST_CASE("undo: digits half typed go first, and on 'Attitude' what was tried last") {
    BegunSwap driver;
    read_all(driver, {{"before:rear:ride_height_topped_out", "500"}});
    driver.tap("row:before:rear:ride_height_static");
    driver.keys("31");
    driver.press(Key::undo);
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->entry.empty());
    CHECK(driver.stands(Point::ride_height_topped_out) == "500");
    driver.press(Key::undo);
    CHECK(driver.stands(Point::ride_height_topped_out) == "nothing");

    DemoHand demo;
    const double was = now_at(demo, End::front, Point::fork_position);
    demo.tap("attitude");
    demo.tap("tried:front:fork_position:more");
    go(demo, act::TryTo{End::rear, Point::eye_to_eye, 300});
    REQUIRE(demo.state().trial.tried.size() == 2);
    demo.press(Key::undo);
    REQUIRE(demo.state().trial.tried.size() == 1);
    CHECK(demo.state().trial.tried[0].reading.point == Point::fork_position);
    demo.press(Key::undo);
    CHECK(demo.state().trial.tried.empty());
    CHECK(now_at(demo, End::front, Point::fork_position) == was);
}

TEST_CASE(
    "time line: what was written on another page stands there when one comes back, as it was searched") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    go(driver, act::Go{Screen::history, bike});
    driver.tap("kind:2");
    const auto changes = [&driver] { return driver.state().season.moments.size(); };
    const auto before = changes();
    const auto kinds = driver.state().season.query.kinds;
    go(driver, act::StartChange{bike});
    driver.tap("change:rear:eye_to_eye:more");
    go(driver, act::StartEvent{bike});
    go(driver, act::Back{});
    CHECK(driver.state().screen == Screen::change);  // where it was opened
    go(driver, act::OpenMoment{driver.state().season.moments.front().id});
    go(driver, act::Back{});
    REQUIRE(driver.state().screen == Screen::history);
    CHECK(driver.state().season.query.kinds == kinds);
    CHECK(changes() == before + 1);
}

TEST_CASE("who: the name that is tapped counts, whatever is half typed beside it") {
    DemoHand driver;
    const auto people = driver.state().ledger.people();
    REQUIRE(people.size() > 1);
    const Id second = people[1]->id;
    const auto count = people.size();
    go(driver, act::SetPerson{Id{}});
    go(driver, act::Go{Screen::bike, driver.state().bike});
    driver.tap("change");
    driver.tap("change:rear:eye_to_eye:more");
    REQUIRE(driver.state().screen == Screen::people);
    driver.tap("primary");
    driver.keys("an");
    driver.tap("person:" + to_text(second));
    CHECK(driver.state().who == second);
    CHECK(driver.state().ledger.people().size() == count);
    CHECK(driver.state().screen == Screen::change);
    CHECK_FALSE(driver.state().pad);
}

TEST_CASE("undo: what was half typed over a number of the bike gives that number back") {
    DemoHand driver;
    go(driver, act::EditBike{driver.state().bike});
    const Field arm{.of = Field::Of::bike, .bike = BikeField::swingarm};
    const auto is = number(driver.state().form->body, BikeField::swingarm);
    REQUIRE(is);
    go(driver, act::OpenTag{arm});
    driver.keys("59");
    driver.press(Key::undo);
    driver.tap("primary");
    CHECK(number(driver.state().form->body, BikeField::swingarm) == is);
}
