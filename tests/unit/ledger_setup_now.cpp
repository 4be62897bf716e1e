#include <doctest/doctest.h>

#include "core/ledger/setup.h"
#include "core/ledger/setup_then.h"
#include "core/ledger/standing_correction.h"
#include "core/ledger/swap_site.h"
#include "core/ledger/swap_solution.h"
#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::bike_id;
using test::fact;
using test::fold;
using test::id;
using test::kept;
using test::set_to;
using test::value_at;

namespace {

using P = Point;

// A bike at rest; then a shock swap, entry by entry: heights read, new part measured, set, checked.
struct Bench {
    std::vector<Fact> facts;
    int next = 100;

    Bench() {
        BikeBody body;
        body.rear.leverage = 2.0;
        facts = {
            fact({10, 1, body}),
            fact({20, 2,
                  BaselineBody{
                      "first",
                      {},
                      {kept(End::rear, P::ride_height_topped_out, "500"),
                       kept(End::rear, P::ride_height_static, "490"),
                       kept(End::rear, P::ride_height_rider, "470"), kept(End::rear, P::eye_to_eye, "310"),
                       kept(End::rear, P::spring_rate, "95"), kept(End::rear, P::spring_free_length, "160"),
                       kept(End::rear, P::spring_installed_length, "150"),
                       kept(End::rear, P::gas_force, "150"), kept(End::rear, P::clicks_rebound_low, "12"),
                       kept(End::rear, P::chain_slack, "35"),
                       kept(End::front, P::ride_height_topped_out, "640"),
                       kept(End::front, P::fork_position, "8")}},
                  bike_id}),
            fact({30, 10, SwapBody{{SwapPart::shock}}, bike_id})};
    }
    void read(Phase phase, Point point, const char* text) {
        const int n = next++;
        facts.push_back(fact({n, n, ReadingBody{phase, test::reading(point, text)}, bike_id, id(30)}));
    }
    void read_before() {
        read(Phase::before, P::ride_height_topped_out, "501");
        read(Phase::before, P::ride_height_static, "491");
        read(Phase::before, P::ride_height_rider, "471");
    }
    void fit() {
        read(Phase::new_part, P::eye_to_eye, "312");
        read(Phase::new_part, P::spring_rate, "100");
        read(Phase::new_part, P::spring_free_length, "165");
        read(Phase::new_part, P::gas_force, "160");
        read(Phase::set, P::eye_to_eye, "311");
        read(Phase::set, P::spring_installed_length, "155");
    }
    SetUp now() const { return setup_now(fold(facts), bike_id); }
    SetUp recorded() const {
        const Ledger ledger = fold(facts);
        return setup_at(bike_id, ledger.facts_of(bike_id));
    }
    EndSolution rear() const {
        const Ledger ledger = fold(facts);
        return *solve_swap(site_of(ledger, *ledger.bike(bike_id), *ledger.swap(id(30)))).end(End::rear);
    }
};

}  // namespace

TEST_CASE("set-up now: a swap does not count while the old part is in") {
    Bench bench;
    bench.read_before();
    bench.read(Phase::new_part, P::spring_rate, "100");
    const SetUp now = bench.now(), recorded = bench.recorded();
    CHECK(now.values == recorded.values);
    CHECK(now.read_with == recorded.read_with);
    CHECK(now.stale.empty());
}

TEST_CASE("set-up now: once something is set, the new part is in and the old one's values are gone") {
    Bench bench;
    bench.read_before();
    bench.fit();
    const SetUp now = bench.now();
    CHECK(value_at(now, End::rear, P::eye_to_eye) == 311);
    CHECK(value_at(now, End::rear, P::spring_rate) == 100);
    CHECK(value_at(now, End::rear, P::spring_installed_length) == 155);
    CHECK_FALSE(now.stored(End::rear, P::clicks_rebound_low));  // of the old damper
    CHECK(value_at(now, End::front, P::fork_position) == 8);    // the swap leaves the front alone
    CHECK(value_at(now, End::front, P::ride_height_topped_out) == 640);
    CHECK(now.stale.size() == 3);
    CHECK(now.stale.contains({End::rear, P::ride_height_rider}));
}

TEST_CASE("set-up now: heights not checked yet are where the swap's own answer expects them") {
    Bench bench;
    bench.read_before();
    bench.fit();
    const auto stands = stance_of(fold(bench.facts).bike(bike_id)->body, End::rear, bench.now());
    const EndSolution rear = bench.rear();
    REQUIRE(stands);
    REQUIRE(rear.as_set);
    // The same mechanics on the same numbers: nothing but rounding is between them.
    CHECK(in_mm(*stands->topped_out) ==
          doctest::Approx(in_mm(rear.as_set->at(State::topped_out)->height)).epsilon(1e-12));
    CHECK(in_mm(*stands->rider) ==
          doctest::Approx(in_mm(rear.as_set->at(State::rider)->height)).epsilon(1e-12));
    CHECK(in_mm(*stands->rider) != doctest::Approx(471));
}

TEST_CASE("set-up now: checked heights are as read; what was changed since counts, too") {
    Bench bench;
    bench.read_before();
    bench.fit();
    bench.read(Phase::check, P::ride_height_topped_out, "502");
    bench.read(Phase::check, P::ride_height_rider, "472");
    CHECK(value_at(bench.now(), End::rear, P::ride_height_rider) == 472);
    CHECK(bench.now().stale == std::set<Place>{{End::rear, P::ride_height_static}});
    const SetUp now = bench.now();
    CHECK(measured(now.read_with.at({End::rear, P::spring_rate}).reading).value == 100);

    bench.facts.push_back(
        fact({60, 500, ChangeBody{"", {set_to(End::rear, P::clicks_rebound_low, "9")}}, bike_id}));
    CHECK(value_at(bench.now(), End::rear, P::clicks_rebound_low) == 9);
}

TEST_CASE("set-up now: is what the baseline of this swap will hold") {
    Bench bench;
    bench.read_before();
    bench.fit();
    bench.read(Phase::check, P::ride_height_topped_out, "502");
    bench.read(Phase::check, P::ride_height_static, "492");
    bench.read(Phase::check, P::ride_height_rider, "472");
    const SetUp open = bench.now();
    const Ledger ledger = fold(bench.facts);
    const BaselineBody kept_now = baseline_of(*ledger.swap(id(30)), bench.recorded(), "kept");
    bench.facts.push_back(fact({70, 600, kept_now, bike_id, id(30)}));
    bench.facts.push_back(fact({71, 601, SwapEndBody{true}, bike_id, id(30)}));
    CHECK(bench.now().values == open.values);
    CHECK(open.stale.empty());

    // Set aside: what it set is not known to be on the bike.
    bench.facts.resize(bench.facts.size() - 2);
    bench.facts.push_back(fact({72, 602, SwapEndBody{false}, bike_id, id(30)}));
    CHECK(bench.now().values == bench.recorded().values);
}

namespace {
// Checked 8 mm too low, hanging where it should; then the spring is set anew, and the length not yet.
Bench corrected_by_half() {
    Bench bench;
    bench.read_before();
    bench.fit();
    const EndSolution set = bench.rear();
    const auto off = [&](State state, double by) {
        return std::to_string(in_mm(set.as_set->at(state)->height) - by);
    };
    for (int i = 0; i < 4; ++i) {
        bench.read(Phase::check, P::ride_height_topped_out, off(State::topped_out, 0).c_str());
        bench.read(Phase::check, P::ride_height_static, off(State::static_, 8).c_str());
        bench.read(Phase::check, P::ride_height_rider, off(State::rider, 8).c_str());
    }
    return bench;
}
}  // namespace

TEST_CASE("standing correction: stays on a bike that nobody edited since it was added") {
    Bench bench = corrected_by_half();
    REQUIRE(bench.rear().judged());
    REQUIRE(bench.rear().judged()->turns_help());
    REQUIRE(bench.rear().correction);
    const Setting ordered = bench.rear().correction->detent;
    bench.read(Phase::set, P::spring_installed_length,
               std::to_string(ordered.installed_length.value).c_str());
    const Ledger ledger = fold(bench.facts);
    EarlierSwaps earlier(ledger, *ledger.bike(bike_id), *ledger.swap(id(30)));
    const auto standing = standing_correction(earlier, End::rear);
    REQUIRE(standing);
    CHECK(standing->made == std::set<Point>{P::spring_installed_length});
    CHECK(in_mm(standing->setting.length) == doctest::Approx(in_mm(ordered.length)).epsilon(1e-12));
    CHECK(in_mm(standing->setting.installed_length) ==
          doctest::Approx(in_mm(ordered.installed_length)).epsilon(1e-12));
}

TEST_CASE("set-up now: after a correction the heights are expected from those of the check") {
    Bench bench = corrected_by_half();
    const double checked = value_at(bench.now(), End::rear, P::ride_height_rider);
    const double target = in_mm(bench.rear().as_set->at(State::rider)->height);
    CHECK(checked == doctest::Approx(target - 8).epsilon(1e-4));
    const Setting ordered = bench.rear().correction->detent;
    bench.read(Phase::set, P::spring_installed_length,
               std::to_string(ordered.installed_length.value).c_str());
    bench.read(Phase::set, P::eye_to_eye, std::to_string(ordered.length.value).c_str());
    const SetUp now = bench.now();
    CHECK(now.stale.contains({End::rear, P::ride_height_rider}));
    const auto stands = stance_of(fold(bench.facts).bike(bike_id)->body, End::rear, now);
    REQUIRE(stands);
    // The correction aims at the height of before; from the old part's heights alone it would be 8 mm above.
    CHECK(std::fabs(in_mm(*stands->rider) - 471) < 1.0);
}

TEST_CASE("standing correction: none that must not be ridden, because the coils would touch") {
    Bench bench = corrected_by_half();
    bench.read(Phase::new_part, P::travel, "50");
    const Setting ordered = bench.rear().correction->detent;
    const auto standing_after_half = [&](double block) {
        Bench half = bench;
        half.read(Phase::new_part, P::spring_block_length, std::to_string(block).c_str());
        CHECK(half.rear().correction->can_be_ridden() == (block < 100));
        half.read(Phase::set, P::spring_installed_length,
                  std::to_string(ordered.installed_length.value).c_str());
        const Ledger ledger = fold(half.facts);
        EarlierSwaps earlier(ledger, *ledger.bike(bike_id), *ledger.swap(id(30)));
        return standing_correction(earlier, End::rear);
    };
    REQUIRE(ordered.installed_length < mm(154.5));
    CHECK(standing_after_half(90));
    CHECK_FALSE(standing_after_half(104.7));  // as set, 155 − 50 − 104.7, they do not touch yet
    const auto apart = [&](const char* block) {
        Bench one = bench;
        one.read(Phase::new_part, P::spring_block_length, block);
        return coils_apart(one.now(), End::rear);
    };
    CHECK(in_mm(*apart("104.5")) == doctest::Approx(0.5));
    CHECK(in_mm(*apart("106")) == doctest::Approx(-1));
    CHECK_FALSE(coils_apart(bench.now(), End::rear));
}

TEST_CASE("set-up then: of a swap it is how the bike stood before it, with what was read of the old part") {
    Bench bench;
    bench.read_before();
    bench.read(Phase::before, P::spring_preload, "9.5");
    bench.fit();
    const Ledger ledger = fold(bench.facts);
    const SetUp then = setup_then(ledger, *ledger.fact(id(30)));
    CHECK(value_at(then, End::rear, P::ride_height_rider) == 471);
    CHECK(value_at(then, End::rear, P::spring_preload) == 9.5);
    CHECK(value_at(then, End::rear, P::eye_to_eye) == 310);  // of the old one
    CHECK(value_at(then, End::rear, P::spring_rate) == 95);
    CHECK(then.stale.empty());
    // Of a baseline: all that it holds; of another entry: the set-up at its moment.
    CHECK(value_at(setup_then(ledger, *ledger.fact(id(20))), End::rear, P::ride_height_rider) == 470);
    CHECK(setup_then(ledger, *ledger.fact(id(10))).values.empty());
}

TEST_CASE(
    "set-up: a rider's height stays expected from the heights before, while only static is read again") {
    std::vector<Fact> facts = Bench{}.facts;
    facts.pop_back();  // no swap
    const BikeBody body = fold(facts).bike(bike_id)->body;
    const auto change = [&](int n, std::vector<SetValue> values) {
        facts.push_back(fact({n, n, ChangeBody{"", std::move(values)}, bike_id}));
    };
    const auto rider = [&] {
        const Ledger ledger = fold(facts);
        const auto stands = stance_of(body, End::rear, setup_now(ledger, bike_id));
        REQUIRE(stands);
        REQUIRE(stands->rider);
        return in_mm(*stands->rider);
    };
    change(30, {{End::rear, test::reading(P::spring_installed_length, "146")}});
    const double expected = rider();
    CHECK(expected > 475);
    change(31, {{End::rear, test::reading(P::ride_height_topped_out, "500")}});
    change(32, {{End::rear, test::reading(P::ride_height_static, "496")}});
    CHECK(rider() == doctest::Approx(expected).epsilon(1e-12));
    change(33, {{End::rear, test::reading(P::ride_height_rider, "477")}});
    CHECK(rider() == 477);
    CHECK(setup_now(fold(facts), bike_id).stale.empty());
}
