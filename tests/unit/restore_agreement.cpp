// Closed form against the general solver, over far more cases than occur in practice.

#include <doctest/doctest.h>

#include <algorithm>

#include "core/restore/closed_form.h"
#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

// The settable values of the closed form: the old length or the adjuster's end. Where that would need a loose
// spring: no preload, and the shorter unit that gives the right height (p' falls as much as L' rises). Never
// shorter than the length at which it must stand; never past the adjuster.
struct Expected {
    double length, preload;
};

Expected settable(const SwapCase& swap) {
    const double low = swap.length.min.value, high = swap.length.max.value;
    const double length = std::clamp(swap.before.unit.length.value, low, high);
    const double preload = closed_form(swap, mm(length))->preload.value;
    if (preload >= 0.0) return {length, preload};
    const HeightMap map = *swap.map.anchored(swap.before.unit.length, swap.before.topped_out);
    const double stood = map.length_at(*swap.before.rider)->value;
    return {std::clamp(std::max(length + preload, stood), low, high), 0.0};
}

struct AgreementTally {
    double wanted = 0.0, setting = 0.0, rider = 0.0;
    int solved = 0, loose = 0, bound = 0, curved = 0, scaled = 0;
};

void compare(const SwapCase& swap, AgreementTally& tally) {
    const auto answer = restore(swap);
    if (!answer) FAIL(answer.error().subject, ": ", answer.error().detail);
    const auto closed = closed_form(swap);
    const Expected expected = settable(swap);
    const auto widen = [](double& worst, double a, double b) { worst = std::max(worst, std::fabs(a - b)); };
    widen(tally.wanted, answer->wanted.length.value, closed->length.value);
    widen(tally.wanted, answer->wanted.preload.value, closed->preload.value);
    widen(tally.setting, answer->setting.length.value, expected.length);
    widen(tally.setting, answer->setting.preload.value, expected.preload);
    const auto& stands = answer->predicted.at(State::rider);
    // If no limit stops it, the end stands as before.
    if (answer->limits.empty()) widen(tally.rider, answer->predicted.residual_at(State::rider)->value, 0.0);
    ++tally.solved;
    tally.loose += expected.preload == 0.0;
    tally.bound += expected.length == swap.length.min.value || expected.length == swap.length.max.value;
    tally.curved += stands && stands->leverage != answer->before.at(State::topped_out)->leverage;
    tally.scaled += swap.load_scale != 1.0;
}

}  // namespace

TEST_CASE("restore: closed form and general solver agree to 1e-6 mm over 100 000 random swaps") {
    test::Random random(20240521);
    AgreementTally tally;
    for (int i = 0; i < 100000; ++i) compare(test::random_swap(random, 12.0), tally);
    CHECK(tally.wanted < 1e-6);
    CHECK(tally.setting < 1e-6);
    CHECK(tally.rider < 1e-6);
    MESSAGE("largest difference, mm: wanted ", tally.wanted, ", setting ", tally.setting, ", rider ",
            tally.rider);
    // Control: the sweep must meet every kind of case.
    CHECK(tally.solved == 100000);
    CHECK(tally.loose > 2000);
    CHECK(tally.bound > 5000);
    CHECK(tally.curved > 20000);
    CHECK(tally.scaled > 10000);
    MESSAGE("loose ", tally.loose, ", at an adjuster's end ", tally.bound, ", curved ", tally.curved,
            ", scaled ", tally.scaled);
}
