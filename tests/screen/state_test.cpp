// The app state alone: what it requests from the disk, what it shows before and after the disk has answered,
// and what it does when the disk is slow or refuses. No screen, no file: the test plays the disk.

#include "core/codec/body_json.h"
#include "tests/screen/state_kit.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("state: a reading shows as taken only when the disk has it") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    CHECK(w.stands(Point::eye_to_eye) == "nothing");
    CHECK(saving(w.state, before(Point::eye_to_eye)));
    w.disk.answer();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    CHECK_FALSE(saving(w.state, before(Point::eye_to_eye)));
}

TEST_CASE("state: a number typed over a reading replaces it; '+' adds a repeat") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.disk.answer_all();
    w.read(Point::eye_to_eye, "310");
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    apply(w.state, act::PadRepeat{});
    w.type("310.5");
    apply(w.state, act::PadNext{});
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310 310.5");
}

TEST_CASE("state: a reading that was opened and left is not written again") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    w.disk.answer_all();
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    apply(w.state, act::PadNext{});
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    apply(w.state, act::CloseTag{});
    CHECK(w.disk.asked() == 0);
}

TEST_CASE("state: a second reading of a field on its way to disk waits, then takes the first one's place") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.read(Point::eye_to_eye, "310");
    CHECK(w.disk.asked() == 1);
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    CHECK(open_swap(w.state)->stored_readings.at({Phase::before, End::rear, Point::eye_to_eye}).size() == 1);
}

TEST_CASE("state: half-typed digits of another tag survive the disk's answer") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.read(Point::eye_to_eye, "310");
    apply(w.state, act::OpenTag{before(Point::spring_rate)});
    w.type("9");
    w.disk.answer_all();
    REQUIRE(w.state.pad.has_value());
    CHECK(w.state.pad->entry == "9");
    CHECK(w.stands(Point::spring_rate) == "nothing");
}

TEST_CASE("state: what the disk refused comes back to the pad, and the notice stays until it is read") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    apply(w.state, act::CloseTag{});
    w.disk.refuse();
    REQUIRE(w.state.notice.has_value());
    CHECK(w.state.notice->stop);
    CHECK(w.state.notice->text.find("disk is full") != std::string::npos);
    REQUIRE(w.state.pad.has_value());
    CHECK(w.state.pad->repeats == std::vector<Typed>{{"310", Unit::mm}});
    apply(w.state, act::PadNext{});
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    CHECK(w.state.notice->stop);
    apply(w.state, act::DismissNotice{});
    CHECK_FALSE(w.state.notice.has_value());
}

TEST_CASE("state: a number that is no reading, or that is asked about, is not dropped by tapping elsewhere") {
    Workshop w;
    apply(w.state, act::OpenTag{before(Point::sprocket_rear)});
    w.type("43.5");
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    REQUIRE(w.state.pad.has_value());
    CHECK(w.state.pad->field == before(Point::sprocket_rear));
    CHECK_FALSE(w.state.pad->problem.empty());
    apply(w.state, act::CloseTag{});  // the second tap confirms
    CHECK_FALSE(w.state.pad.has_value());

    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    w.type("31");
    apply(w.state, act::OpenTag{before(Point::spring_rate)});
    REQUIRE(w.state.pad.has_value());
    CHECK(w.state.pad->field == before(Point::eye_to_eye));
    CHECK_FALSE(w.state.pad->question.empty());
    apply(w.state, act::Go{Screen::settings, {}});
    CHECK(w.state.screen == Screen::swap);
    CHECK(w.disk.asked() == 0);
    // Typed at the question, as by a gauge that is a reading ahead: not taken, and said so.
    w.type("4");
    CHECK(w.state.pad->entry.empty());
    CHECK(w.state.pad->repeats.size() == 1);
    CHECK_FALSE(w.state.pad->question.empty());
    REQUIRE(w.state.notice);
    CHECK(w.state.notice->text.find("not taken") != std::string::npos);
}

TEST_CASE("state: a double tap on a slow disk starts one swap and makes one bike") {
    Workshop w;
    apply(w.state, act::AbandonSwap{w.state.swap});
    w.disk.answer_all();
    const Id bike = w.state.ledger.bikes().front()->id;
    apply(w.state, act::StartSwap{bike, {SwapPart::fork}});
    apply(w.state, act::StartSwap{bike, {SwapPart::fork}});
    CHECK(w.disk.asked() == 1);
    w.disk.answer_all();
    apply(w.state, act::EditBike{bike});
    apply(w.state, act::SaveBike{});
    apply(w.state, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::swingarm}});
    apply(w.state, act::SaveBike{});
    CHECK(w.disk.asked() == 1);
    w.disk.answer_all();
    CHECK_FALSE(w.state.pad.has_value());  // the form is gone, and its pad with it
    apply(w.state, act::PadNext{});
    CHECK(w.state.ledger.bikes().size() == 1);
}

TEST_CASE(
    "state: a bike's number can be wiped out again, and one that was only looked at keeps all its digits") {
    Workshop w;
    apply(w.state, act::EditBike{w.state.ledger.bikes().front()->id});
    const Field arm{.of = Field::Of::bike, .bike = BikeField::swingarm};
    apply(w.state, act::OpenTag{arm});
    w.type("578.04");
    apply(w.state, act::PadNext{});
    apply(w.state, act::OpenTag{arm});
    apply(w.state, act::PadNext{});
    CHECK(w.state.form->body.geometry.swingarm == mm(578.04));
    apply(w.state, act::OpenTag{arm});
    for (int i = 0; i < 10; ++i) apply(w.state, act::PadErase{});
    apply(w.state, act::PadNext{});
    CHECK_FALSE(w.state.form->body.geometry.swingarm.has_value());
}

TEST_CASE("state: a strut that does not fit the table is refused with the reason") {
    Workshop w;
    apply(w.state, act::EditBike{w.state.ledger.bikes().front()->id});
    const auto pair = [&](const char* length, const char* height) {
        apply(w.state, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::pair_length}});
        w.type(length);
        apply(w.state, act::PadNext{});
        w.type(height);
        apply(w.state, act::PadNext{});
    };
    pair("310", "500");
    pair("300", "480");
    CHECK(w.state.form->body.rear.pairs.size() == 2);
    pair("290", "490");
    CHECK(w.state.form->body.rear.pairs.size() == 2);
    REQUIRE(w.state.notice.has_value());
    CHECK(w.state.notice->stop);
}

TEST_CASE("state: a refused reading is named, and the pad stays with the field that is being typed in") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    apply(w.state, act::OpenTag{before(Point::spring_rate)});
    w.type("9");
    w.disk.refuse();
    REQUIRE(w.state.pad.has_value());
    CHECK(w.state.pad->field == before(Point::spring_rate));
    CHECK(w.state.pad->entry == "9");
    REQUIRE(w.state.notice.has_value());
    CHECK(w.state.notice->text.find("310") != std::string::npos);
    apply(w.state, act::PadNext{});
    w.disk.refuse();
    const std::string both = w.state.notice->text;
    CHECK(both.find("310") < both.find("9 N/mm"));
    CHECK(both.find("9 N/mm") != std::string::npos);
}

TEST_CASE("state: the second reading of a field is asked of the disk when the first one was refused") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.read(Point::eye_to_eye, "310");
    w.disk.refuse();
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
}

TEST_CASE(
    "app: a broken invariant in a page shows the page before with a sentence, and the workshop goes on") {
    Workshop w;
    const Id swap = w.state.swap, bike = w.state.bike;
    apply(w.state, act::Go{Screen::bike, bike});
    App app(
        std::move(w.state), viewport, [] { return std::int64_t{5}; }, broken_swap_page);
    const std::string title = app.page().title;
    app.act(act::ResumeSwap{swap});
    CHECK(app.page().title == title);
    CHECK(app.state().screen == Screen::bike);
    REQUIRE(app.state().notice.has_value());
    CHECK(app.state().notice->text.find("the page before") != std::string::npos);
    CHECK(app.broken() == 1);
    app.take_effects();
    app.act(act::StartChange{bike});
    app.act(act::OpenTag{{.of = Field::Of::change, .point = Point::clicks_rebound_low}});
    app.act(act::PadText{"7"});
    app.act(act::PadNext{});
    CHECK(app.take_effects().size() == 1);
}

TEST_CASE("state: what the disk refused stays in sight, in order, until it is stored or thrown away") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    w.disk.refuse();
    w.read(Point::spring_rate, "95");
    w.disk.refuse();
    const auto names = [&] {
        std::string all;
        for (const RejectedEntry& kept : w.state.meeting.rejected.entries) all += kept.entry.body;
        return all;
    };
    CHECK(names().find("310") < names().find("95"));
    const auto spot = [](Point point) { return ReadAt{Phase::before, End::rear, point}; };
    const auto refused = [&] { return refused_readings(w.state, *open_swap(w.state)); };
    REQUIRE(refused().contains(spot(Point::eye_to_eye)));
    CHECK(refused().at(spot(Point::eye_to_eye)).repeats.front().text == "310");
    // The other end's reading of the same name, and another point, are not marked.
    CHECK_FALSE(refused().contains({Phase::before, End::front, Point::eye_to_eye}));
    // Typed again and stored: the refused reading would override it.
    w.state.pad.reset();
    w.read(Point::eye_to_eye, "311");
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "311");
    CHECK_FALSE(refused().contains(spot(Point::eye_to_eye)));
    CHECK(names().find("95") != std::string::npos);
    apply(w.state, act::StoreRejected{});
    w.disk.answer_all();
    CHECK(w.stands(Point::spring_rate) == "95");
    CHECK(w.state.unsaved.empty());
    CHECK(w.state.meeting.rejected.entries.empty());
}

namespace restand::act {
struct BreaksAnInvariant {};
struct Defer {
    Action action;
};
}  // namespace restand::act
namespace restand {
void act_on(AppState&, const act::BreaksAnInvariant&) {
    check(false, "of this test");
}
void act_on(AppState& state, const act::Defer& waits) {
    defer(state, waits.action);
}
}  // namespace restand

TEST_CASE(
    "app: an action that waited for the disk and breaks an invariant leaves the entry stored and the app "
    "going on") {
    Workshop w;
    App app(std::move(w.state), {1280, 800, 5.87f}, [] { return std::int64_t{5}; });
    app.act(act::OpenTag{before(Point::eye_to_eye)});
    app.act(act::PadText{"310"});
    app.act(act::PadNext{});
    REQUIRE(app.state().pending.size() == 1);
    const Pending asked = app.state().pending.front();
    app.act(act::Defer{act::BreaksAnInvariant{}});
    Entry entry;
    entry.id.bytes[15] = 99;
    entry.device = 1, entry.number = 99, entry.clock = {5000, 0};
    const NewEntry& n = asked.entries.front();
    entry.kind = n.kind, entry.bike = n.bike, entry.about = n.about, entry.by = n.by, entry.body = n.body;
    app.written(asked.job, std::vector{entry});
    CHECK(app.broken() == 1);
    REQUIRE(app.state().notice);
    CHECK(app.state().notice->stop);
    CHECK(open_swap(app.state())->stored({Phase::before, End::rear, Point::eye_to_eye}));
    app.act(act::CloseTag{});
    CHECK(app.page().title != "");
}
