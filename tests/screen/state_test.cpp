// The app state alone: what it requests from the disk, what it shows before and after the disk has answered,
// and what it does when the disk is slow or refuses. No screen, no file: the test plays the disk.

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/draft_keys.h"
#include "core/codec/body_json.h"
#include "core/files/file.h"

using namespace restand;

namespace {

Field before(Point point) { return {.of = Field::Of::reading, .phase = Phase::before, .point = point}; }

// Answers the appends of the app state on request.
class Disk {
public:
    explicit Disk(AppState& state) : state_(state) {}
    std::size_t asked() { return collect(), jobs_.size(); }
    void answer_all() {
        for (collect(); !jobs_.empty(); collect()) answer();
    }
    void answer() {
        collect();
        REQUIRE_FALSE(jobs_.empty());
        const effect::Append job = jobs_.front();
        jobs_.erase(jobs_.begin());
        std::vector<Entry> entries;
        for (const NewEntry& n : job.entries) entries.push_back(seal(n));
        written(state_, job.job, entries);
    }
    void refuse() {
        collect();
        REQUIRE_FALSE(jobs_.empty());
        const auto job = jobs_.front().job;
        jobs_.erase(jobs_.begin());
        written(state_, job, Error{ErrorCode::io, "workshop.restand", "the disk is full"});
    }

private:
    void collect() {
        for (Effect& e : state_.effects)
            if (auto* a = std::get_if<effect::Append>(&e)) jobs_.push_back(std::move(*a));
        state_.effects.clear();
    }
    Entry seal(const NewEntry& n) {
        Entry e;
        e.id.bytes[15] = static_cast<std::uint8_t>(++number_);
        e.device = 1;
        e.number = number_;
        e.clock = {static_cast<std::int64_t>(1000 + number_), 0};
        e.kind = n.kind, e.bike = n.bike, e.about = n.about, e.by = n.by;
        e.supersedes = n.supersedes, e.body = n.body;
        return e;
    }
    AppState& state_;
    std::vector<effect::Append> jobs_;
    std::uint64_t number_ = 0;
};

// An app state at 'before' of a shock swap, with a person selected.
struct Workshop {
    AppState state;
    Disk disk{state};
    Workshop() {
        apply(state, act::OpenTag{{.of = Field::Of::person}});
        type("Jo");
        apply(state, act::PadNext{});
        disk.answer_all();
        apply(state, act::AddBike{});
        type("No. 5");
        apply(state, act::PadNext{});
        type("2.05");
        apply(state, act::PadNext{});
        apply(state, act::SaveBike{});
        disk.answer_all();
        apply(state, act::StartSwap{state.ledger.bikes().front()->id, {SwapPart::shock}});
        disk.answer_all();
        REQUIRE(open_swap(state));
        REQUIRE_FALSE(state.who.nil());
    }
    void type(const char* text) { apply(state, act::PadText{text}); }
    void read(Point point, const char* text) {
        apply(state, act::OpenTag{before(point)});
        type(text);
        apply(state, act::PadNext{});
    }
    std::string stands(Point point) {
        const StoredReading* stored = open_swap(state)->stored({Phase::before, End::rear, point});
        if (!stored) return "nothing";
        std::string all;
        for (const Typed& t : stored->reading.repeats) all += (all.empty() ? "" : " ") + t.text;
        return all;
    }
};
}  // namespace

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

TEST_CASE("state: a bike's number can be wiped out again, and one that was only looked at keeps all its digits") {
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

TEST_CASE("state: a number that was only looked at when the power went keeps all its digits; half typed it is there again") {
    Workshop w;
    const Id bike = w.state.ledger.bikes().front()->id;
    apply(w.state, act::EditBike{bike});
    const Field pitch{.of = Field::Of::bike, .bike = BikeField::chain_pitch};
    w.state.form->body.mechanism.chain_pitch = mm(15.8756);
    apply(w.state, act::OpenTag{pitch});
    CHECK(w.state.pad->entry == "15.876");
    const std::string looked_at = write_draft(draft_of(w.state));
    w.type("12.7");
    const std::string typed = write_draft(draft_of(w.state));
    AppState next;
    next.ledger = std::move(w.state.ledger);
    take_draft(next, *read_draft(looked_at));
    REQUIRE(next.form.has_value());
    CHECK_FALSE(next.pad.has_value());
    CHECK(next.form->body.mechanism.chain_pitch == mm(15.8756));
    take_draft(next, *read_draft(typed));
    REQUIRE(next.pad.has_value());
    CHECK(next.pad->field == pitch);
    CHECK(next.pad->entry == "12.7");
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

TEST_CASE("state: a draft of any screen gives the same desk back, and one that no longer fits is left out") {
    Workshop w;
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    w.type("30");
    apply(w.state, act::PadRepeat{});
    const Draft draft = draft_of(w.state);
    const auto again = read_draft(write_draft(draft));
    REQUIRE(again.has_value());
    CHECK(*again == draft);
    AppState other;
    const auto repeats = w.state.pad->repeats;
    other.ledger = std::move(w.state.ledger);
    take_draft(other, *again);
    CHECK(other.screen == Screen::swap);
    CHECK(other.pad.has_value());
    CHECK(other.pad->repeats == repeats);
    Draft lost = draft;
    lost.screen = "bike_form";
    AppState empty;
    take_draft(empty, lost);
    CHECK(empty.screen == Screen::bikes);
    CHECK_FALSE(empty.pad.has_value());
}

// Drafts as version 2 wrote them, with numbers for keys.
TEST_CASE("state: drafts of version 2 still say the screen, the field and the units they said") {
    const auto written = [](const char* name) {
        const auto bytes = read_file(RESTAND_SOURCE_DIR "/tests/fixtures/" + std::string(name), 1 << 16);
        REQUIRE(bytes.has_value());
        return *bytes;
    };
    const auto reading = read_draft(written("second_reading.draft"));
    REQUIRE(reading.has_value());
    CHECK(from_key<Screen>(reading->screen) == Screen::swap);
    CHECK(from_key<Screen>(reading->came_from) == Screen::bike);
    CHECK(reading->reason == "after the crash");
    CHECK(reading->folder == "/media/stick");
    REQUIRE(reading->pad.has_value());
    CHECK(from_key<Field::Of>(reading->pad->of) == Field::Of::reading);
    CHECK(from_key<Phase>(reading->pad->phase) == Phase::set);
    CHECK(from_key<Point>(reading->pad->point) == Point::spring_installed_length);
    CHECK(from_key<End>(reading->pad->end) == End::front);
    CHECK(reading->pad->unit == Unit::mm);
    CHECK(reading->pad->repeats == std::vector<Typed>{{"147.5", Unit::mm}, {"5.81", Unit::inch}});
    const auto bike = read_draft(written("second_bike.draft"));
    REQUIRE(bike.has_value());
    CHECK(from_key<Screen>(bike->screen) == Screen::bike_form);
    CHECK(from_key<Screen>(bike->came_from) == Screen::which_spring);
    REQUIRE(bike->pad.has_value());
    CHECK(from_key<Field::Of>(bike->pad->of) == Field::Of::bike);
    CHECK(from_key<BikeField>(bike->pad->bike_field) == BikeField::rpm);
    CHECK(from_key<Point>(bike->pad->point) == Point::fork_bore);
    CHECK(from_key<EventField>(bike->pad->event) == EventField::track);
    CHECK(from_key<PartField>(bike->pad->part) == PartField::used_h);
    CHECK(bike->pad->unit == Unit::one);
    CHECK(bike->form->half_pair_mm == 12.5);
}

TEST_CASE("state: whatever a draft names has a key of its own, never a number") {
    const auto each = [](auto last) {
        using E = decltype(last);
        for (int i = 0; i <= static_cast<int>(last); ++i) {
            const std::string_view name = key(static_cast<E>(i));
            CHECK(from_key<E>(name) == static_cast<E>(i));
            CHECK_FALSE((name.empty() || (name.front() >= '0' && name.front() <= '9')));
        }
        CHECK_FALSE(from_key<E>("no such thing").has_value());
        CHECK_FALSE(from_key<E>("").has_value());
        CHECK_FALSE(from_key<E>("999").has_value());
        CHECK_FALSE(from_key<E>("-1").has_value());
    };
    each(Screen::which_spring), each(Field::Of::shelf), each(last_bike_field), each(EventField::track);
    each(PartField::used_h), each(End::front), each(Phase::check);
    for (const PointFacts& p : all_points()) CHECK(from_key<Point>(p.key) == p.point);
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

namespace {
// A page of ours with a fault.
PageView broken_swap_page(const AppState& state) {
    check(state.screen != Screen::swap, "of this test");
    return view(state);
}
constexpr Viewport viewport{1280, 800, 5.87f};
}  // namespace

TEST_CASE("app: a broken invariant in a page shows the page before with a sentence, and the workshop goes on") {
    Workshop w;
    const Id swap = w.state.swap, bike = w.state.bike;
    apply(w.state, act::Go{Screen::bike, bike});
    App app(std::move(w.state), viewport, [] { return std::int64_t{5}; }, broken_swap_page);
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

TEST_CASE("app: a draft whose page breaks an invariant is not taken") {
    Workshop w;
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    w.type("31");
    const Draft draft = draft_of(w.state);
    w.state.pad.reset();
    apply(w.state, act::Go{Screen::bikes, {}});
    CHECK_FALSE(take_draft_that_shows(w.state, draft, broken_swap_page));
    CHECK(w.state.screen == Screen::bikes);
    CHECK_FALSE(w.state.pad.has_value());
    CHECK(take_draft_that_shows(w.state, draft));
    CHECK(w.state.pad.has_value());
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
