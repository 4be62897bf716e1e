// The desk by itself: what it asks of the disk, what it shows before and after the disk has answered, and what it does
// when the disk is slow or refuses. No screen, no file: the test is the disk.

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/draft_keys.h"
#include "core/exchange/body_json.h"
#include "core/exchange/file.h"

using namespace restand;

namespace {

Field before(Point point) { return {.of = Field::Of::reading, .phase = Phase::before, .point = point}; }

// Answers the desk's appends when told to.
class Disk {
public:
    explicit Disk(Desk& desk) : desk_(desk) {}
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
        written(desk_, job.job, entries);
    }
    void refuse() {
        collect();
        REQUIRE_FALSE(jobs_.empty());
        const auto job = jobs_.front().job;
        jobs_.erase(jobs_.begin());
        written(desk_, job, Error{ErrorCode::io, "workshop.restand", "the disk is full"});
    }

private:
    void collect() {
        for (Effect& e : desk_.effects)
            if (auto* a = std::get_if<effect::Append>(&e)) jobs_.push_back(std::move(*a));
        desk_.effects.clear();
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
    Desk& desk_;
    std::vector<effect::Append> jobs_;
    std::uint64_t number_ = 0;
};

// A desk in the middle of 'before' of a shock swap, somebody at work.
struct Workshop {
    Desk desk;
    Disk disk{desk};
    Workshop() {
        apply(desk, act::OpenTag{{.of = Field::Of::person}});
        type("Jo");
        apply(desk, act::PadNext{});
        disk.answer_all();
        apply(desk, act::AddBike{});
        type("No. 5");
        apply(desk, act::PadNext{});
        type("2.05");
        apply(desk, act::PadNext{});
        apply(desk, act::SaveBike{});
        disk.answer_all();
        apply(desk, act::StartSwap{desk.ledger.bikes().front()->id, {SwapPart::shock}});
        disk.answer_all();
        REQUIRE(open_swap(desk));
        REQUIRE_FALSE(desk.who.nil());
    }
    void type(const char* text) { apply(desk, act::PadText{text}); }
    void read(Point point, const char* text) {
        apply(desk, act::OpenTag{before(point)});
        type(text);
        apply(desk, act::PadNext{});
    }
    std::string stands(Point point) {
        const Take* take = open_swap(desk)->take({Phase::before, End::rear, point});
        if (!take) return "nothing";
        std::string all;
        for (const Typed& t : take->reading.repeats) all += (all.empty() ? "" : " ") + t.text;
        return all;
    }
};
}  // namespace

TEST_CASE("desk: a reading shows as taken only when the disk has it") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    CHECK(w.stands(Point::eye_to_eye) == "nothing");
    CHECK(saving(w.desk, before(Point::eye_to_eye)));
    w.disk.answer();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    CHECK_FALSE(saving(w.desk, before(Point::eye_to_eye)));
}

TEST_CASE("desk: a number typed over a reading replaces it; '+' adds a repeat") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.disk.answer_all();
    w.read(Point::eye_to_eye, "310");
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    apply(w.desk, act::OpenTag{before(Point::eye_to_eye)});
    apply(w.desk, act::PadRepeat{});
    w.type("310.5");
    apply(w.desk, act::PadNext{});
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310 310.5");
}

TEST_CASE("desk: a reading that was opened and left is not written again") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    w.disk.answer_all();
    apply(w.desk, act::OpenTag{before(Point::eye_to_eye)});
    apply(w.desk, act::PadNext{});
    apply(w.desk, act::OpenTag{before(Point::eye_to_eye)});
    apply(w.desk, act::CloseTag{});
    CHECK(w.disk.asked() == 0);
}

TEST_CASE("desk: a second reading of a field on its way to disk waits, then takes the first one's place") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.read(Point::eye_to_eye, "310");
    CHECK(w.disk.asked() == 1);
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    CHECK(open_swap(w.desk)->takes.at({Phase::before, End::rear, Point::eye_to_eye}).size() == 1);
}

TEST_CASE("desk: half-typed digits of another tag survive the disk's answer") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.read(Point::eye_to_eye, "310");
    apply(w.desk, act::OpenTag{before(Point::spring_rate)});
    w.type("9");
    w.disk.answer_all();
    REQUIRE(w.desk.pad.has_value());
    CHECK(w.desk.pad->entry == "9");
    CHECK(w.stands(Point::spring_rate) == "nothing");
}

TEST_CASE("desk: what the disk refused comes back to the pad, and the notice stays until it is read") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    apply(w.desk, act::CloseTag{});
    w.disk.refuse();
    REQUIRE(w.desk.notice.has_value());
    CHECK(w.desk.notice->stop);
    CHECK(w.desk.notice->text.find("disk is full") != std::string::npos);
    REQUIRE(w.desk.pad.has_value());
    CHECK(w.desk.pad->repeats == std::vector<Typed>{{"310", Unit::mm}});
    apply(w.desk, act::PadNext{});
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
    CHECK(w.desk.notice->stop);
    apply(w.desk, act::DismissNotice{});
    CHECK_FALSE(w.desk.notice.has_value());
}

TEST_CASE("desk: a number that is no reading, or that is asked about, is not dropped by tapping elsewhere") {
    Workshop w;
    apply(w.desk, act::OpenTag{before(Point::sprocket_rear)});
    w.type("43.5");
    apply(w.desk, act::OpenTag{before(Point::eye_to_eye)});
    REQUIRE(w.desk.pad.has_value());
    CHECK(w.desk.pad->field == before(Point::sprocket_rear));
    CHECK_FALSE(w.desk.pad->problem.empty());
    apply(w.desk, act::CloseTag{});  // the second time it is meant
    CHECK_FALSE(w.desk.pad.has_value());

    apply(w.desk, act::OpenTag{before(Point::eye_to_eye)});
    w.type("31");
    apply(w.desk, act::OpenTag{before(Point::spring_rate)});
    REQUIRE(w.desk.pad.has_value());
    CHECK(w.desk.pad->field == before(Point::eye_to_eye));
    CHECK_FALSE(w.desk.pad->question.empty());
    apply(w.desk, act::Go{Screen::settings, {}});
    CHECK(w.desk.screen == Screen::swap);
    CHECK(w.disk.asked() == 0);
}

TEST_CASE("desk: a double tap on a slow disk starts one swap and makes one bike") {
    Workshop w;
    apply(w.desk, act::AbandonSwap{w.desk.swap});
    w.disk.answer_all();
    const Id bike = w.desk.ledger.bikes().front()->id;
    apply(w.desk, act::StartSwap{bike, {SwapPart::fork}});
    apply(w.desk, act::StartSwap{bike, {SwapPart::fork}});
    CHECK(w.disk.asked() == 1);
    w.disk.answer_all();
    apply(w.desk, act::EditBike{bike});
    apply(w.desk, act::SaveBike{});
    apply(w.desk, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::swingarm}});
    apply(w.desk, act::SaveBike{});
    CHECK(w.disk.asked() == 1);
    w.disk.answer_all();
    CHECK_FALSE(w.desk.pad.has_value());  // the form is gone, and its pad with it
    apply(w.desk, act::PadNext{});
    CHECK(w.desk.ledger.bikes().size() == 1);
}

TEST_CASE("desk: a bike's number can be wiped out again, and one that was only looked at keeps all its digits") {
    Workshop w;
    apply(w.desk, act::EditBike{w.desk.ledger.bikes().front()->id});
    const Field arm{.of = Field::Of::bike, .bike = BikeField::swingarm};
    apply(w.desk, act::OpenTag{arm});
    w.type("578.04");
    apply(w.desk, act::PadNext{});
    apply(w.desk, act::OpenTag{arm});
    apply(w.desk, act::PadNext{});
    CHECK(w.desk.form->body.geometry.swingarm == mm(578.04));
    apply(w.desk, act::OpenTag{arm});
    for (int i = 0; i < 10; ++i) apply(w.desk, act::PadErase{});
    apply(w.desk, act::PadNext{});
    CHECK_FALSE(w.desk.form->body.geometry.swingarm.has_value());
}

TEST_CASE("desk: a number that was only looked at when the power went keeps all its digits; half typed it is there again") {
    Workshop w;
    const Id bike = w.desk.ledger.bikes().front()->id;
    apply(w.desk, act::EditBike{bike});
    const Field pitch{.of = Field::Of::bike, .bike = BikeField::chain_pitch};
    w.desk.form->body.mechanism.chain_pitch = mm(15.8756);
    apply(w.desk, act::OpenTag{pitch});
    CHECK(w.desk.pad->entry == "15.876");
    const std::string looked_at = write_draft(draft_of(w.desk));
    w.type("12.7");
    const std::string typed = write_draft(draft_of(w.desk));
    Desk next;
    next.ledger = std::move(w.desk.ledger);
    take_draft(next, *read_draft(looked_at));
    REQUIRE(next.form.has_value());
    CHECK_FALSE(next.pad.has_value());
    CHECK(next.form->body.mechanism.chain_pitch == mm(15.8756));
    take_draft(next, *read_draft(typed));
    REQUIRE(next.pad.has_value());
    CHECK(next.pad->field == pitch);
    CHECK(next.pad->entry == "12.7");
}

TEST_CASE("desk: a strut that does not fit the table is refused with the reason") {
    Workshop w;
    apply(w.desk, act::EditBike{w.desk.ledger.bikes().front()->id});
    const auto pair = [&](const char* length, const char* height) {
        apply(w.desk, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::pair_length}});
        w.type(length);
        apply(w.desk, act::PadNext{});
        w.type(height);
        apply(w.desk, act::PadNext{});
    };
    pair("310", "500");
    pair("300", "480");
    CHECK(w.desk.form->body.rear.pairs.size() == 2);
    pair("290", "490");
    CHECK(w.desk.form->body.rear.pairs.size() == 2);
    REQUIRE(w.desk.notice.has_value());
    CHECK(w.desk.notice->stop);
}

TEST_CASE("desk: a draft of any screen gives the same desk back, and one that no longer fits is left out") {
    Workshop w;
    apply(w.desk, act::OpenTag{before(Point::eye_to_eye)});
    w.type("30");
    apply(w.desk, act::PadRepeat{});
    const Draft draft = draft_of(w.desk);
    const auto again = read_draft(write_draft(draft));
    REQUIRE(again.has_value());
    CHECK(*again == draft);
    Desk other;
    const auto repeats = w.desk.pad->repeats;
    other.ledger = std::move(w.desk.ledger);
    take_draft(other, *again);
    CHECK(other.screen == Screen::swap);
    CHECK(other.pad.has_value());
    CHECK(other.pad->repeats == repeats);
    Draft lost = draft;
    lost.screen = "bike_form";
    Desk empty;
    take_draft(empty, lost);
    CHECK(empty.screen == Screen::bikes);
    CHECK_FALSE(empty.pad.has_value());
}

// Written by version 2, which held numbers.
TEST_CASE("desk: drafts of version 2 still say the screen, the field and the units they said") {
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

TEST_CASE("desk: whatever a draft names has a key of its own, never a number") {
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

TEST_CASE("desk: a refused reading is named, and the pad stays with the field that is being typed in") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    apply(w.desk, act::OpenTag{before(Point::spring_rate)});
    w.type("9");
    w.disk.refuse();
    REQUIRE(w.desk.pad.has_value());
    CHECK(w.desk.pad->field == before(Point::spring_rate));
    CHECK(w.desk.pad->entry == "9");
    REQUIRE(w.desk.notice.has_value());
    CHECK(w.desk.notice->text.find("310") != std::string::npos);
    apply(w.desk, act::PadNext{});
    w.disk.refuse();
    const std::string both = w.desk.notice->text;
    CHECK(both.find("310") < both.find("9 N/mm"));
    CHECK(both.find("9 N/mm") != std::string::npos);
}

TEST_CASE("desk: the second reading of a field is asked of the disk when the first one was refused") {
    Workshop w;
    w.read(Point::eye_to_eye, "301");
    w.read(Point::eye_to_eye, "310");
    w.disk.refuse();
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "310");
}

namespace {
// A page of ours with a fault.
SheetView broken_swap_page(const Desk& desk) {
    check(desk.screen != Screen::swap, "of this test");
    return view(desk);
}
constexpr Glass glass{1280, 800, 5.87f};
}  // namespace

TEST_CASE("app: a broken invariant in a page shows the page before with a sentence, and the workshop goes on") {
    Workshop w;
    const Id swap = w.desk.swap, bike = w.desk.bike;
    apply(w.desk, act::Go{Screen::bike, bike});
    App app(std::move(w.desk), glass, [] { return std::int64_t{5}; }, broken_swap_page);
    const std::string title = app.sheet().title;
    app.act(act::ResumeSwap{swap});
    CHECK(app.sheet().title == title);
    CHECK(app.desk().screen == Screen::bike);
    REQUIRE(app.desk().notice.has_value());
    CHECK(app.desk().notice->text.find("the page before") != std::string::npos);
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
    apply(w.desk, act::OpenTag{before(Point::eye_to_eye)});
    w.type("31");
    const Draft draft = draft_of(w.desk);
    w.desk.pad.reset();
    apply(w.desk, act::Go{Screen::bikes, {}});
    CHECK_FALSE(take_draft_that_shows(w.desk, draft, broken_swap_page));
    CHECK(w.desk.screen == Screen::bikes);
    CHECK_FALSE(w.desk.pad.has_value());
    CHECK(take_draft_that_shows(w.desk, draft));
    CHECK(w.desk.pad.has_value());
}

TEST_CASE("desk: what the disk refused stays in sight, in order, until it is stored or thrown away") {
    Workshop w;
    w.read(Point::eye_to_eye, "310");
    w.disk.refuse();
    w.read(Point::spring_rate, "95");
    w.disk.refuse();
    const auto names = [&] {
        std::string all;
        for (const KeptAside& kept : w.desk.meeting.aside.entries) all += kept.entry.body;
        return all;
    };
    CHECK(names().find("310") < names().find("95"));
    const auto spot = [](Point point) { return ReadAt{Phase::before, End::rear, point}; };
    const auto refused = [&] { return refused_readings(w.desk, *open_swap(w.desk)); };
    REQUIRE(refused().contains(spot(Point::eye_to_eye)));
    CHECK(refused().at(spot(Point::eye_to_eye)).repeats.front().text == "310");
    // The other end's reading of that name, and another point, are none.
    CHECK_FALSE(refused().contains({Phase::before, End::front, Point::eye_to_eye}));
    // Typed anew and stored: the refused one would overrule it.
    w.desk.pad.reset();
    w.read(Point::eye_to_eye, "311");
    w.disk.answer_all();
    CHECK(w.stands(Point::eye_to_eye) == "311");
    CHECK_FALSE(refused().contains(spot(Point::eye_to_eye)));
    CHECK(names().find("95") != std::string::npos);
    apply(w.desk, act::TakeAside{});
    w.disk.answer_all();
    CHECK(w.stands(Point::spring_rate) == "95");
    CHECK(w.desk.unsaved.empty());
    CHECK(w.desk.meeting.aside.entries.empty());
}
