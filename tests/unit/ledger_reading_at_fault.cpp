// From the error of a case to the reading that a person types again.

#include "core/ledger/reading_at_fault.h"

#include <doctest/doctest.h>

#include <cmath>

#include "core/restore/restore.h"
#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

using P = Point;

std::optional<ReadAt> rear(const Error& error) {
    return reading_at_fault(error, End::rear);
}
bool is(const std::optional<ReadAt>& found, Phase phase, End end, Point point) {
    return found == ReadAt{phase, end, point};
}

}  // namespace

TEST_CASE("reading at fault: what is missing is named by its key and phase") {
    CHECK(is(rear({ErrorCode::missing, "spring_rate", "new_part"}), Phase::new_part, End::rear,
             P::spring_rate));
    CHECK(is(rear({ErrorCode::missing, "ride_height_rider", "check"}), Phase::check, End::rear,
             P::ride_height_rider));
    CHECK_FALSE(rear({ErrorCode::missing, "leverage", "rear"}));
    CHECK_FALSE(rear({ErrorCode::missing, "spring_rate", "rear"}));
}

TEST_CASE("reading at fault: a field of the case is the reading behind it, at each end") {
    const Error shortest{ErrorCode::contradiction, "new_unit.eye_to_eye_mm.min", "min <= max"};
    CHECK(is(rear(shortest), Phase::new_part, End::rear, P::eye_to_eye_min));
    // Tubes further up make the front shorter.
    CHECK(is(reading_at_fault(shortest, End::front), Phase::new_part, End::front, P::fork_position_max));
    CHECK(is(rear({ErrorCode::out_of_range, "baseline.ride_height_mm.static", ""}), Phase::before, End::rear,
             P::ride_height_static));
    CHECK_FALSE(rear({ErrorCode::out_of_range, "load_scale", ""}));
    CHECK_FALSE(rear({ErrorCode::out_of_range, "new_unit.", ""}));
}

TEST_CASE("reading at fault: of a part that stays in, the reading before is at fault") {
    Swap tyre;
    tyre.parts = {SwapPart::rear_tyre};
    const Error length{ErrorCode::contradiction, "new_unit.eye_to_eye_mm.now", "min <= now <= max"},
        shortest{ErrorCode::contradiction, "new_unit.eye_to_eye_mm.min", "min <= max"};
    CHECK(is(reading_at_fault(length, End::rear, &tyre), Phase::before, End::rear, P::eye_to_eye));
    CHECK(is(reading_at_fault(shortest, End::rear, &tyre), Phase::new_part, End::rear, P::eye_to_eye_min));
    Swap shock;
    shock.parts = {SwapPart::shock};
    CHECK(is(reading_at_fault(length, End::rear, &shock), Phase::new_part, End::rear, P::eye_to_eye));
    // Where there are no steps, the key of the reading is its name.
    CHECK(named_by_reading(shortest, End::front).subject == "fork_position_max");
    CHECK(named_by_reading({ErrorCode::missing, "spring_rate", "new_part"}, End::rear) ==
          Error{ErrorCode::missing, "spring_rate", "rear"});
}

// Whatever single field of a case is impossible, validate() names one that a person has typed.
TEST_CASE("reading at fault: every field that validate() refuses in a spoilt case is found") {
    const auto spoilt = [](auto spoil) {
        SwapCase swap = test::example_swap();
        spoil(swap);
        const Outcome sound = validate(swap);
        REQUIRE_FALSE(sound);
        CAPTURE(sound.error().subject);
        CHECK(rear(sound.error()));
    };
    spoilt([](SwapCase& c) { c.before.unit.length = mm(-1); });
    spoilt([](SwapCase& c) { c.before.unit.spring.free_length = mm(0); });
    spoilt([](SwapCase& c) { c.before.unit.installed_length = c.before.unit.spring.free_length + mm(1); });
    spoilt([](SwapCase& c) { c.before.static_ = c.before.topped_out + mm(30); });
    spoilt([](SwapCase& c) { c.before.topped_out = mm(std::nan("")); });
    spoilt([](SwapCase& c) { c.new_unit.spring.rate = newton_per_mm(0); });
    spoilt([](SwapCase& c) { c.new_unit.gas.topped_out = newton(-1); });
    spoilt([](SwapCase& c) { c.new_unit.travel = mm(0); });
    spoilt([](SwapCase& c) { c.new_unit.spring.block_length = mm(500); });
    spoilt([](SwapCase& c) { c.length.min = c.length.max + mm(1); });
    spoilt([](SwapCase& c) { c.length.now = c.length.max + mm(1); });
    spoilt([](SwapCase& c) { c.length.per_turn = mm(0); });
    spoilt([](SwapCase& c) { c.installed.per_turn = mm(-1); });
}
