// The swap at many draws at once against the solver: every draw by itself, and Monte Carlo against first
// order.

#include <doctest/doctest.h>

#include <cmath>

#include "core/restore/restore.h"
#include "core/restore/swap_draws.h"
#include "tests/unit/swap_draw_inputs.h"

using namespace restand;

namespace {

double& of(DrawInputs& x, DrawInput which) {
    return x[static_cast<std::size_t>(which)];
}

// What the solver makes of one draw: the length held, the collar free. nullopt: it has no answer, or the rider
// is not held on the spring.
std::optional<std::array<double, 2>> solved(const Linkage& nominal, DrawInputs x) {
    Linkage linkage = nominal;
    linkage.unit_end.at = {mm(of(x, DrawInput::unit_end_x)), mm(of(x, DrawInput::unit_end_z))};
    if (linkage.rocker) {
        linkage.rocker->rod = mm(of(x, DrawInput::rod));
        linkage.rocker->pivot_to_rod = mm(of(x, DrawInput::pivot_to_rod));
        linkage.rocker->pivot_to_unit = mm(of(x, DrawInput::pivot_to_unit));
    }
    const auto map = LinkageMap::of(linkage);
    if (!map) return std::nullopt;
    const auto heights = HeightMap::linkage(*map, mm(of(x, DrawInput::arm)));
    if (!heights) return std::nullopt;
    SwapCase swap{.map = *heights, .before = {}, .new_unit = {}, .length = {}, .installed = {}};
    SuspensionUnit &was = swap.before.unit, &is = swap.new_unit;
    was.length = mm(of(x, DrawInput::old_length));
    was.spring = {newton_per_mm(of(x, DrawInput::old_rate)), mm(of(x, DrawInput::old_free_length)), {}};
    was.installed_length = mm(of(x, DrawInput::old_installed));
    was.gas.topped_out = newton(of(x, DrawInput::old_gas));
    is.length = mm(of(x, DrawInput::new_length));
    is.spring = {newton_per_mm(of(x, DrawInput::new_rate)), mm(of(x, DrawInput::new_free_length)), {}};
    is.installed_length = is.spring.free_length - mm(8);
    is.gas.topped_out = newton(of(x, DrawInput::new_gas));
    swap.before.topped_out = mm(of(x, DrawInput::topped_out));
    swap.before.static_ = mm(of(x, DrawInput::static_));
    swap.before.rider = mm(of(x, DrawInput::rider));
    swap.raise = mm(of(x, DrawInput::raise));
    swap.load_scale = of(x, DrawInput::load_scale);
    swap.length = {.min = is.length, .max = is.length, .now = is.length, .per_turn = {}, .detent = {}};
    swap.installed = {
        .min = mm(1), .max = mm(2000), .now = is.installed_length, .per_turn = {}, .detent = {}};
    const auto answer = restore(swap);
    if (!answer || !answer->held) return std::nullopt;
    const auto& still = answer->predicted.at(State::static_);
    if (!still || still->topped_out || std::fabs(in_mm(*answer->predicted.residual_at(State::rider))) > 1e-6)
        return std::nullopt;
    return std::array{in_mm(answer->setting.installed_length),
                      in_mm(still->height) - of(x, DrawInput::static_)};
}

}  // namespace

TEST_CASE("swap draws: every draw is the solver's answer, on linkages of all kinds") {
    test::RandomBikes random(21);
    int compared = 0, kinds[2] = {};
    for (int i = 0; i < 40; ++i) {
        const WholeBike b = random.bike();
        const DrawInputs nominal = test::swap_draw_inputs(b, random);
        const auto model = swap_draws(b.linkage, nominal);
        REQUIRE(model.has_value());
        const auto inputs = test::with_spread(nominal, 0.3);
        BlockValues x(draw_input_count), y(draw_output_count);
        Draws(inputs, 5).draw(static_cast<std::uint64_t>(i), x);
        (*model)(x, y);
        for (std::size_t d = 0; d < 16; ++d) {
            DrawInputs at;
            for (std::size_t k = 0; k < draw_input_count; ++k) at[k] = x[k][d];
            const auto single = solved(b.linkage, at);
            if (!single) continue;
            // Both converge to rounding; 1e-7 mm is what the solver's last step leaves.
            REQUIRE(std::fabs(y[0][d] - (*single)[0]) < 1e-7);
            REQUIRE(std::fabs(y[1][d] - (*single)[1]) < 1e-7);
            ++compared;
            ++kinds[b.linkage.rocker.has_value()];
        }
    }
    CHECK(compared > 400);
    CHECK(kinds[0] > 50);
    CHECK(kinds[1] > 50);
}

TEST_CASE("swap draws: a spring that would have to pull, or a linkage that does not close, has no answer") {
    test::RandomBikes random(22);
    WholeBike b = random.bike();
    while (!b.linkage.rocker) b = random.bike();
    const DrawInputs nominal = test::swap_draw_inputs(b, random);
    const auto model = swap_draws(b.linkage, nominal);
    REQUIRE(model.has_value());
    for (const auto& [which, value] : {std::pair{DrawInput::new_gas, 1e5},
                                       {DrawInput::rod, 5.0},
                                       {DrawInput::static_, 1e3},
                                       {DrawInput::new_length, 100.0}}) {
        BlockValues x(draw_input_count), y(draw_output_count);
        for (std::size_t k = 0; k < draw_input_count; ++k) std::fill_n(x[k], block_draws, nominal[k]);
        x[static_cast<std::size_t>(which)][3] = value;
        (*model)(x, y);
        CHECK(std::isnan(y[0][3]));
        CHECK(std::isnan(y[1][3]));
        CHECK(std::isfinite(y[0][4]));
        CHECK(std::isfinite(y[1][4]));
    }
}

TEST_CASE("swap draws: Monte Carlo confirms first order where the readings are good") {
    test::RandomBikes random(23);
    const WholeBike b = random.bike();
    const DrawInputs nominal = test::swap_draw_inputs(b, random);
    const auto inputs = test::with_spread(nominal, 0.05);
    const auto drawn = sample(swap_draws(b.linkage, nominal).value(), draw_output_count, inputs, 200'000, 1);
    const Model one = [&](std::span<const double> x) -> std::optional<std::vector<double>> {
        DrawInputs at;
        std::copy(x.begin(), x.end(), at.begin());
        const auto y = solved(b.linkage, at);
        return y ? std::optional(std::vector<double>{(*y)[0], (*y)[1]}) : std::nullopt;
    };
    const auto first = propagate(one, inputs);
    REQUIRE(drawn.has_value());
    REQUIRE(first.has_value());
    for (std::size_t k = 0; k < 2; ++k) {
        // Four standard errors of a spread from 200 000 draws, u/√(2n), and of a mean.
        CHECK(std::fabs((*drawn)[k].u / (*first)[k].u - 1.0) < 4 / std::sqrt(4e5));
        CHECK(std::fabs((*drawn)[k].mean - (*first)[k].value) < 0.01 * (*first)[k].u);
        CHECK((*drawn)[k].refused == 0);
    }
}
