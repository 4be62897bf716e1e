// The fold of entries outside swaps: changes, events, parts, restore plans, records, devices; and their undo.

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <random>
#include <sstream>

#include "core/ledger/trend.h"
#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::bike_id;
using test::fact;
using test::fold;
using test::id;
using test::kept;
using test::set_to;

namespace {

using P = Point;
const Id baseline = id(20), rival = id(21), plan = id(40), part = id(60);

DeviceBody device(std::string name, std::string incarnation) {
    return {std::move(name), std::move(incarnation), ""};
}

EventBody ran(std::string day, double km) {
    EventBody e;
    e.day = std::move(day);
    e.distance_km = km;
    return e;
}

PartBody chain(double used_km) {
    PartBody p;
    p.name = "chain";
    p.limit_km = 1000;
    p.used_km = used_km;
    return p;
}

// A small fortnight; entries are days apart, so that an event's day matches its entry's.
std::vector<Fact> season_outside_swaps() {
    BikeBody b;
    b.name = "27";
    const auto ms = [](int n) { return std::int64_t{1'770'000'000'000} + n; };
    return {
        fact({10, ms(1), b}),
        fact({20, ms(2),
              BaselineBody{
                  "first",
                  id(5),
                  {kept(End::rear, P::eye_to_eye, "310"), kept(End::rear, P::clicks_rebound_low, "12")}},
              bike_id}),
        fact({21, ms(3), BaselineBody{"rival", id(5), {kept(End::rear, P::eye_to_eye, "311")}}, bike_id}),
        fact({22, ms(4), RetractionBody{"the other one"}, bike_id, {}, {rival}}),
        fact({30, ms(5), ChangeBody{"loose", {set_to(End::rear, P::clicks_rebound_low, "14")}}, bike_id}),
        fact({31,
              ms(6),
              ChangeBody{"", {set_to(End::rear, P::clicks_rebound_low, "15")}},
              bike_id,
              {},
              {id(30)}}),
        fact({32, ms(7), ChangeBody{"", {set_to(End::front, P::tyre_pressure_cold, "2.1")}}, bike_id}),
        fact({40, ms(8), PlanBody{baseline}, bike_id}),
        fact({41, ms(9),
              PlanStepBody{"set_clicks:rear:clicks_rebound_low",
                           {set_to(End::rear, P::clicks_rebound_low, "12")}},
              bike_id, plan}),
        fact({42, ms(10), PlanStepBody{"set_pressure:front:tyre_pressure_cold", {}}, bike_id, plan}),
        fact({43, ms(11), RetractionBody{"undo"}, bike_id, plan, {id(42)}}),
        fact({50, ms(12), PlanBody{baseline}, bike_id}),
        fact({51, ms(13), PlanEndBody{true}, bike_id, id(50)}),
        fact({60, ms(14), chain(100), bike_id}),
        fact({61, ms(15), ran("", 50), bike_id}),
        fact({62, ms(16), chain(0), bike_id, part, {part}}),
        fact({63, ms(17), ran("", 30), bike_id}),
        fact({70, ms(18), RecordBody{"2025-09-02", "old.csv", {set_to(End::rear, P::eye_to_eye, "300")}},
              bike_id}),
        fact({80, ms(19), device("truck", "00000000000000aa")}),
        fact({81, ms(20), device("bench", "00000000000000bb")}),
        fact({82, ms(21), device("van", "00000000000000aa"), {}, {}, {id(80)}}),
    };
}

std::string print_outside_swaps(const Ledger& ledger) {
    std::ostringstream out;
    for (const Baseline* b : ledger.baselines(bike_id)) out << "baseline " << b->body.reason << '\n';
    for (const auto& [place, stored] : setup_at(bike_id, ledger.facts_of(bike_id)).values)
        out << facts(place.second).key << ' ' << stored.reading.repeats[0].text << ' '
            << to_text(stored.entry) << '\n';
    if (const RestorePlan* w = ledger.open_plan(bike_id)) {
        out << "way " << to_text(w->target);
        for (const PlanStep& t : w->steps) out << ' ' << t.action << to_text(t.entry);
        out << '\n';
    }
    for (const std::uint64_t d : {0xaaULL, 0xbbULL}) {
        out << ledger.device_name(d);
        if (ledger.device(d))
            for (const Id& head : ledger.device(d)->heads) out << ' ' << to_text(head);
    }
    for (const PartUse& use : part_use(ledger.facts_of(bike_id)))
        out << use.name << use.km << to_text(use.head);
    for (const Sample& s : samples(ledger.facts_of(bike_id), Watched::point, End::rear, P::eye_to_eye))
        out << " sample " << s.at_ms << ' ' << s.value;
    const auto undo = ledger.last_undoable();
    return out.str() + (undo ? to_text(undo->entry.id) : "-");
}

// Undo as in the app: append the entry that the ledger proposes.
bool undo(Ledger& ledger, int n, std::int64_t at) {
    const auto last = ledger.last_undoable();
    const auto back = last ? ledger.undo_of(last->entry.id, id(1)) : std::nullopt;
    if (!back) return false;
    Body body = RetractionBody{"undo"};
    if (back->kind != "retraction")
        for (const Id& old : back->supersedes)
            if (ledger.fact(old)->entry.body == back->body) body = ledger.fact(old)->body;
    ledger.apply(fact({n, at, body, back->bike, back->about, back->supersedes, back->body}));
    return true;
}

std::string clicks(const Ledger& ledger) {
    const SetUp s = setup_at(bike_id, ledger.facts_of(bike_id));
    const StoredReading* stored = s.stored(End::rear, P::clicks_rebound_low);
    return stored ? stored->reading.repeats[0].text : "-";
}

}  // namespace

TEST_CASE("season: any order of entries, any number of times, gives the same state") {
    auto all = season_outside_swaps();
    const std::string expected = print_outside_swaps(fold(all));
    std::mt19937 random(11);
    for (int run = 0; run < 500; ++run) {
        std::shuffle(all.begin(), all.end(), random);
        auto twice = all;
        twice.insert(twice.end(), all.begin(), all.begin() + run % 20);
        REQUIRE(print_outside_swaps(fold(twice)) == expected);
    }
}

TEST_CASE("season: leaving any one entry out changes the state") {
    // These entries no longer count: 30 is replaced by 31, the setting of 31 by the step 41; 21 and 42 are
    // undone; 60 is serviced by 62, and 61 ran before the service; 80 is renamed by 82; 50 has ended. The
    // bike itself is not printed.
    const auto all = season_outside_swaps();
    const std::string expected = print_outside_swaps(fold(all));
    for (const Fact& left_out : all) {
        auto fewer = all;
        std::erase_if(fewer, [&](const Fact& f) { return f.entry.id == left_out.entry.id; });
        const int n = left_out.entry.id.bytes[15];
        const std::set<int> silent = {10, 21, 30, 31, 42, 50, 60, 61, 80};
        INFO("entry " << n);
        CHECK((print_outside_swaps(fold(fewer)) == expected) == silent.contains(n));
    }
}

TEST_CASE("season: what stands") {
    const Ledger ledger = fold(season_outside_swaps());
    REQUIRE(ledger.baselines(bike_id).size() == 1);
    CHECK(ledger.newest_baseline(bike_id)->id == baseline);
    CHECK(clicks(ledger) == "12");
    const RestorePlan* open = ledger.open_plan(bike_id);
    REQUIRE(open);
    CHECK(open->id == plan);
    REQUIRE(open->steps.size() == 1);
    CHECK(open->steps[0].entry == id(41));
    CHECK(ledger.device_name(0xaa) == "van");
    CHECK(ledger.device_name(0xbb) == "bench");
    CHECK(ledger.device_name(0xcc) == "");
    CHECK(ledger.device(0xaa)->heads == std::vector<Id>{id(82)});
    const auto parts = part_use(ledger.facts_of(bike_id));
    REQUIRE(parts.size() == 1);
    CHECK(parts[0].km == 30);
    CHECK(parts[0].head == id(62));
    CHECK(ledger.facts_of(bike_id).size() == 17);
    CHECK(ledger.facts_of(id(9)).empty());
}

TEST_CASE("season: a rival baseline is set aside by a retraction") {
    auto all = season_outside_swaps();
    std::erase_if(all, [](const Fact& f) { return f.entry.id == id(22); });
    const Ledger both = fold(all);
    const auto rivals = rivals_of(both, *both.baseline(baseline));
    REQUIRE(rivals.size() == 2);
    CHECK(rivals[0]->id == rival);
    CHECK(rivals_of(fold(season_outside_swaps()), *fold(season_outside_swaps()).baseline(baseline)).size() ==
          1);
}

TEST_CASE("season: an entry of an unknown kind takes a change back, also for the set-up") {
    Ledger ledger = fold(season_outside_swaps());
    Entry later;
    later.id = id(99);
    later.kind = "correction_2";
    later.bike = bike_id;
    later.supersedes = {id(41)};
    ledger.apply_unknown(later);
    ledger.apply_unknown(later);
    CHECK(clicks(ledger) == "15");
}

TEST_CASE("undo: a change is taken back, one that replaced another shows the other again") {
    auto all = season_outside_swaps();
    all.resize(6);  // up to the change that replaces a change
    Ledger ledger = fold(all);
    CHECK(clicks(ledger) == "15");
    REQUIRE(undo(ledger, 90, 1'770'000'000'100));
    CHECK(clicks(ledger) == "14");
    REQUIRE(undo(ledger, 91, 1'770'000'000'101));
    CHECK(clicks(ledger) == "12");
    // Then the baseline is undone; after that nothing is left.
    REQUIRE(undo(ledger, 92, 1'770'000'000'102));
    CHECK(clicks(ledger) == "-");
}

TEST_CASE("undo: what came from another device is not offered when this one's is asked for") {
    Fact own = fact({1, 1, ran("", 10), bike_id}), foreign = fact({2, 2, ran("", 20), bike_id});
    own.entry.device = 0xaa;
    foreign.entry.device = 0xbb;
    const Ledger ledger = fold({own, foreign});
    CHECK(ledger.last_undoable()->entry.id == id(2));
    CHECK(ledger.last_undoable({}, 0xaa)->entry.id == id(1));
    CHECK_FALSE(ledger.last_undoable({1, 0}, 0xaa));
}

TEST_CASE("undo: going back to an earlier wording by hand is no undo") {
    // Three entries of one event, the third equal to the first. After undo the second counts; the event does
    // not vanish.
    const std::vector<Fact> all = {fact({1, 1, ran("", 10), bike_id, {}, {}, "ten"}),
                                   fact({2, 2, ran("", 20), bike_id, {}, {id(1)}, "twenty"}),
                                   fact({3, 3, ran("", 10), bike_id, {}, {id(2)}, "ten"})};
    const auto back = fold(all).undo_of(id(3), {});
    REQUIRE(back);
    CHECK(back->kind == "event");
    CHECK(back->body == "twenty");
    CHECK(back->supersedes == std::vector<Id>{id(3), id(2)});
}

TEST_CASE("undo: ticks, ends of ways, events, parts, in the order they were written") {
    auto all = season_outside_swaps();
    Ledger ledger = fold(all);
    std::vector<std::string> kinds;
    for (int n = 200; n < 240; ++n) {
        const auto last = ledger.last_undoable();
        if (!last) break;
        kinds.push_back(last->entry.kind);
        REQUIRE(undo(ledger, n, 1'770'000'001'000 + n));
    }
    // The part is undone twice: first the service, then its creation. The entry that restores it is the
    // newest then. The same with the change that replaced a change.
    CHECK(kinds == std::vector<std::string>{"event", "part", "part", "event", "way_end", "tick", "change",
                                            "change", "change", "baseline"});
    CHECK(setup_at(bike_id, ledger.facts_of(bike_id)).values.empty());
    CHECK(part_use(ledger.facts_of(bike_id)).empty());
    CHECK(ledger.open_plan(bike_id)->steps.empty());
}

TEST_CASE("undo: a part that was serviced by mistake has the use it had") {
    auto all = season_outside_swaps();
    Ledger ledger = fold(all);
    // It ran 100 before, 50 until the service, 30 since.
    const auto back = ledger.undo_of(id(62), id(1));
    REQUIRE(back);
    CHECK(back->kind == "part");
    CHECK(back->about == part);
    ledger.apply(fact({90, 1'770'000'000'100, chain(100), bike_id, part, back->supersedes, back->body}));
    const auto parts = part_use(ledger.facts_of(bike_id));
    REQUIRE(parts.size() == 1);
    CHECK(parts[0].km == 180);
    CHECK(parts[0].share == doctest::Approx(0.18));
}

TEST_CASE("undo: a service never takes the part off the bike") {
    // The entry from before the service is not loaded.
    const Ledger fresh = fold({fact({62, 5, chain(0), bike_id, part, {id(61)}})});
    CHECK(!fresh.undo_of(id(62), id(1)));
    // Two devices wrote a service; a third entry merged both.
    const Ledger settled =
        fold({fact({60, 1, chain(10), bike_id}), fact({61, 2, chain(0), bike_id, id(60), {id(60)}}),
              fact({62, 2, chain(1), bike_id, id(60), {id(60)}}),
              fact({63, 3, chain(0), bike_id, id(60), {id(61), id(62)}})});
    CHECK(!settled.undo_of(id(63), id(1)));
}

// Edits of one thing and their undos, compared with a stack of texts: after each step the top of the stack
// counts.
TEST_CASE(
    "undo: any row of edits and undos goes back step by step, of readings, changes, events, parts, the "
    "shelf, jobs") {
    const Id swap = id(30);
    enum Kind { reading, change, event, service, shelf, job };
    const auto body_of = [](Kind kind, const std::string& text) -> Body {
        switch (kind) {
            case reading:
                return ReadingBody{Phase::before, test::reading(P::eye_to_eye, text)};
            case change:
                return ChangeBody{"", {set_to(End::rear, P::eye_to_eye, text)}};
            case event:
                return ran("", std::stod(text));
            case service:
                return chain(std::stod(text));
            case shelf:
                return ShelfBody{SwapPart::shock_spring, text, {}, false};
            case job: {
                JobBody body;
                body.what = text;
                return body;
            }
        }
        return RetractionBody{};
    };
    std::mt19937 random(5);
    for (int run = 0; run < 500; ++run) {
        CAPTURE(run);
        const Kind kind = static_cast<Kind>(run % 6);
        Ledger ledger = fold({fact({30, 1, SwapBody{{SwapPart::shock}}, bike_id})});
        std::vector<std::string> pile;
        Id thing;
        int n = 100;
        for (int step = 0; step < 12; ++step) {
            const auto last = ledger.last_undoable();
            CHECK(last.has_value() == !pile.empty());
            if (pile.empty() || random() % 5 < 3) {
                pile.push_back(std::to_string(n));  // each text once
                const Id about = kind == reading ? swap : kind >= service && pile.size() > 1 ? thing : Id{};
                std::vector<Id> over;
                if (last) over = {last->entry.id};
                ledger.apply(fact({n, n, body_of(kind, pile.back()), bike_id, about, over, pile.back()}));
                if (pile.size() == 1) thing = id(n);
            } else {
                pile.pop_back();
                const auto back = ledger.undo_of(last->entry.id, id(1));
                REQUIRE(back.has_value());
                CHECK((back->kind == "retraction") == pile.empty());
                if (!pile.empty()) REQUIRE(back->body == pile.back());
                const Body said = pile.empty() ? Body(RetractionBody{"undo"}) : body_of(kind, pile.back());
                ledger.apply(fact({n, n, said, bike_id, back->about, back->supersedes, back->body}));
            }
            ++n;
        }
    }
}

TEST_CASE("undo: what cannot be undone is passed over, what was done before it is not lost") {
    // A serviced part whose earlier entry is not loaded, and an earlier change.
    Ledger ledger = fold({fact({1, 1, ChangeBody{"", {set_to(End::rear, P::eye_to_eye, "310")}}, bike_id}),
                          fact({62, 5, chain(0), bike_id, part, {id(61)}})});
    REQUIRE(ledger.last_undoable());
    CHECK(ledger.last_undoable()->entry.id == id(1));
}

TEST_CASE("undo: keeping a swap is taken back whole, with changes in between left alone") {
    const Id swap = id(30);
    const Ledger ledger =
        fold({fact({30, 1, SwapBody{{SwapPart::shock}}, bike_id}),
              fact({31, 2, BaselineBody{"kept", {}, {}}, bike_id, swap}),
              fact({32, 2, SwapEndBody{true}, bike_id, swap}),
              fact({33, 3, ChangeBody{"", {set_to(End::rear, P::clicks_rebound_low, "9")}}, bike_id})});
    CHECK(ledger.last_undoable()->entry.id == id(33));
    CHECK(ledger.undo_of(id(33), {})->supersedes == std::vector<Id>{id(33)});
    CHECK(ledger.undo_of(id(32), {})->supersedes == std::vector<Id>{id(32), id(31)});
}

TEST_CASE("undo: entries that replace each other in a circle do not hang it") {
    // No device writes such entries; a sync bundle made by hand may.
    const Ledger ledger = fold({fact({1, 1, ran("", 1), bike_id, {}, {id(2), id(3)}, "a"}),
                                fact({2, 2, ran("", 1), bike_id, {}, {id(3), id(1)}, "a"}),
                                fact({3, 3, ran("", 1), bike_id, {}, {id(1), id(2)}, "a"}),
                                fact({4, 4, ran("", 1), bike_id, {}, {id(1), id(2)}, "a"})});
    CHECK(ledger.undo_of(id(4), {}));
}
