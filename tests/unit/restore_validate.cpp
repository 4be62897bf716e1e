#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <limits>

#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

struct Bad {
    const char* subject;
    ErrorCode code;
    std::function<void(SwapCase&)> spoil;
};

const double nan = std::numeric_limits<double>::quiet_NaN();
constexpr auto range = ErrorCode::out_of_range;
constexpr auto contradiction = ErrorCode::contradiction;

const std::vector<Bad>& bad_cases() {
    static const std::vector<Bad> cases = {
        {"baseline.unit.eye_to_eye_mm", range, [](SwapCase& s) { s.before.unit.length = mm(-310); }},
        {"baseline.unit.eye_to_eye_mm", ErrorCode::not_a_number,
         [](SwapCase& s) { s.before.unit.length = mm(nan); }},
        {"baseline.unit.eye_to_eye_mm", range, [](SwapCase& s) { s.before.unit.length = mm(2000.1); }},
        {"baseline.unit.spring.rate_n_per_mm", range,
         [](SwapCase& s) { s.before.unit.spring.rate = Rate(0); }},
        {"baseline.unit.gas_force_n", range, [](SwapCase& s) { s.before.unit.gas.topped_out = newton(-1); }},
        {"baseline.unit.spring.installed_length_mm", contradiction,
         [](SwapCase& s) { s.before.unit.installed_length = mm(161); }},
        {"baseline.unit.spring.block_length_mm", contradiction,
         [](SwapCase& s) { s.before.unit.spring.block_length = mm(160); }},
        {"baseline.unit.spring.installed_length_mm", contradiction,
         [](SwapCase& s) { s.before.unit.spring.block_length = mm(151); }},
        {"baseline.ride_height_mm.static", contradiction, [](SwapCase& s) { s.before.static_ = mm(502.1); }},
        {"baseline.ride_height_mm.rider", contradiction, [](SwapCase& s) { s.before.rider = mm(492.4); }},
        {"baseline.ride_height_mm.rider", contradiction,
         [](SwapCase& s) { s.before.static_.reset(), s.before.rider = mm(503); }},
        {"baseline.ride_height_mm.rider", ErrorCode::missing,
         [](SwapCase& s) { s.before.static_.reset(), s.before.rider.reset(); }},
        {"baseline.ride_height_mm.topped_out", ErrorCode::not_a_number,
         [](SwapCase& s) { s.before.topped_out = mm(nan); }},
        {"new_unit.spring.rate_n_per_mm", ErrorCode::not_a_number,
         [](SwapCase& s) { s.new_unit.spring.rate = Rate(nan); }},
        {"new_unit.spring.block_length_mm", contradiction,
         [](SwapCase& s) { s.new_unit.spring.block_length = mm(155); }},
        {"new_unit.spring.free_length_mm", range,
         [](SwapCase& s) { s.new_unit.spring.free_length = mm(-155); }},
        {"new_unit.travel_mm", range, [](SwapCase& s) { s.new_unit.travel = mm(0); }},
        {"new_unit.legs", range, [](SwapCase& s) { s.new_unit.legs = 0; }},
        {"new_unit.bump_rubber.2", contradiction,
         [](SwapCase& s) {
             s.new_unit.bump = {{mm(50), newton(0)}, {mm(40), newton(100)}};
         }},
        {"new_unit.reservoir.volume_mm3", contradiction,
         [](SwapCase& s) {
             s.new_unit.gas.chamber = Gas::Chamber{Area(200), Volume(200 * 66), 1.0};
         }},
        {"new_unit.helper_spring.rate_n_per_mm", range,
         [](SwapCase& s) {
             s.new_unit.helper = Spring{Rate(-1), mm(30), {}};
         }},
        {"new_unit.eye_to_eye_mm.min", contradiction,
         [](SwapCase& s) { std::swap(s.length.min, s.length.max); }},
        {"new_unit.eye_to_eye_mm.now", contradiction, [](SwapCase& s) { s.length.now = mm(299); }},
        {"new_unit.eye_to_eye_mm.mm_per_turn", range, [](SwapCase& s) { s.length.per_turn = mm(0); }},
        {"new_unit.spring.installed_length_min_mm", contradiction,
         [](SwapCase& s) { std::swap(s.installed.min, s.installed.max); }},
        {"new_unit.spring.installed_length_now_mm", contradiction,
         [](SwapCase& s) { s.installed.now = mm(71); }},
        {"new_unit.spring.collar_mm_per_turn", range, [](SwapCase& s) { s.installed.per_turn = mm(-1.5); }},
        {"load_scale", range, [](SwapCase& s) { s.load_scale = 0; }},
        {"tolerance_mm", range, [](SwapCase& s) { s.tolerance = mm(0); }},
    };
    return cases;
}

}  // namespace

TEST_CASE("validate: the example is sound, and so is a loose spring on the bench") {
    SwapCase swap = test::example_swap();
    CHECK(validate(swap).has_value());
    swap.installed.now = mm(170);
    CHECK(validate(swap).has_value());
    CHECK(restore(swap)->setting.preload > mm(0));
    const double inf = std::numeric_limits<double>::infinity();
    swap.installed.min = mm(-inf), swap.installed.max = mm(inf);
    CHECK(restore(swap).has_value());
    // Two readings of one height that differ by at most 2 mm are accepted.
    swap.before.static_ = mm(501.9);
    CHECK(validate(swap).has_value());
}

TEST_CASE("validate: every impossible case names its field, and nothing is solved") {
    for (const Bad& bad : bad_cases()) {
        CAPTURE(bad.subject);
        SwapCase swap = test::example_swap();
        bad.spoil(swap);
        const auto outcome = validate(swap);
        REQUIRE_FALSE(outcome.has_value());
        CHECK(outcome.error().subject == bad.subject);
        CHECK(outcome.error().code == bad.code);
        CHECK_FALSE(outcome.error().detail.empty());
        CHECK(restore(swap).error() == outcome.error());
    }
}

TEST_CASE("validate: what passes is answered or refused with a reason, however strange") {
    test::Random random(71);
    int answered = 0, refused = 0;
    for (int i = 0; i < 20000; ++i) {
        SwapCase swap = test::random_swap(random, 12);
        const auto wild = [&random](double& value, double low, double high) {
            if (random.one_in(4)) value = low * std::pow(high / low, random.between(0, 1));
        };
        for (SuspensionUnit* unit : {&swap.before.unit, &swap.new_unit}) {
            wild(unit->spring.rate.value, 0.01, 2000);
            wild(unit->gas.topped_out.value, 1, 20000);
            if (random.one_in(3)) {
                unit->gas.chamber = Gas::Chamber{Area(100), Volume(20000), 1.0};
                wild(unit->gas.chamber->area.value, 0.1, 20000);
                wild(unit->gas.chamber->volume.value, 1, 1e7);
            }
            if (random.one_in(3)) unit->travel = mm(random.between(0.1, 100));
            if (random.one_in(4))
                unit->helper = Spring{Rate(random.between(0.1, 300)), mm(30), mm(random.between(1, 29))};
            if (random.one_in(4))
                unit->bump = {{mm(random.between(0, 20)), newton(0)}, {mm(30), newton(1e5)}};
        }
        wild(swap.length.max.value, 1, 2000);
        wild(swap.length.now.value, 1, 2000);
        wild(swap.installed.max.value, 1, 2000);
        wild(swap.load_scale, 0.1, 10);
        if (swap.before.rider) wild(swap.before.rider->value, 100, 600);
        const auto answer = restore(swap);
        if (!answer) {
            ++refused;
            CHECK_FALSE(answer.error().subject.empty());
            CHECK_FALSE(answer.error().detail.empty());
            continue;
        }
        ++answered;
        for (const Setting& set : {answer->wanted, answer->setting, answer->detent}) {
            CHECK(is_finite(set.length));
            CHECK(is_finite(set.installed_length));
        }
        for (const Limit& limit : answer->limits) CHECK(limit.beyond > mm(0));
        for (const Prediction& p : {answer->before, answer->predicted, answer->predicted_detent})
            for (const State state : all_states)
                if (p.at(state)) CHECK(is_finite(p.at(state)->height));
        // An answer marked as held does hold.
        if (answer->held) CHECK(abs(*answer->predicted.residual_at(State::rider)) <= swap.tolerance);
    }
    CHECK(answered > 2000);
    CHECK(refused > 2000);
    MESSAGE("answered ", answered, ", refused ", refused);
}
