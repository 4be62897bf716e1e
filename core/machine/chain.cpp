#include "core/machine/chain.h"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <string>

#include "core/machine/chain_kernel.h"

namespace restand {
namespace {

struct SprocketRadii {
    double front, rear;
};
SprocketRadii sprocket_radii(const ChainRun& run) {
    return {pitch_radius(run.pitch, run.sprockets.front).value,
            pitch_radius(run.pitch, run.sprockets.rear).value};
}

// nullopt: one pitch circle lies inside the other.
std::optional<double> beta(const ChainRun& run, double centre) {
    const auto [r1, r2] = sprocket_radii(run);
    if (!(centre > std::fabs(r2 - r1))) return std::nullopt;
    return std::asin((r2 - r1) / centre);
}

double needed_length_at(const ChainRun& run, double centre) {
    return run_terms<double>(run.pitch.value, run.sprockets.front, run.sprockets.rear, centre).needed;
}

Error overlapping() {
    return {ErrorCode::no_solution, "chain", "the sprockets overlap"};
}

}  // namespace

Length pitch_radius(Length pitch, int teeth) {
    return mm(pitch_radius_terms<double>(pitch.value, teeth));
}

Outcome check_sizes(const ChainRun& run) {
    for (const auto& [teeth, field] :
         {std::pair{run.sprockets.front, "chain.front_teeth"}, {run.sprockets.rear, "chain.rear_teeth"}})
        if (teeth < 8 || teeth > 80) return Error{ErrorCode::out_of_range, field, "8 <= x <= 80"};
    if (run.links < 60 || run.links > 200)
        return Error{ErrorCode::out_of_range, "chain.links", "60 <= x <= 200"};
    if (!(run.pitch.value > 5.0 && run.pitch.value < 40.0))
        return Error{ErrorCode::out_of_range, "chain.pitch_mm", "5 < x < 40"};
    return Done{};
}

bool may_be_so_long(const ChainRun& run) {
    return std::fabs(run.length / (run.pitch * run.links) - 1.0) <= 0.03;
}

bool plausible_links(int links, Length pitch, Length least, Length most) {
    const Length as_new = pitch * links;
    return as_new * 1.025 >= least && as_new * 0.995 <= most;
}

std::optional<int> even_links(Length pitch, Length needed, Length least, Length most) {
    const int nearest = 2 * static_cast<int>(std::lround(needed / pitch / 2.0));
    const int other = pitch * nearest > needed ? nearest - 2 : nearest + 2;
    for (const int links : {nearest, other})
        if (plausible_links(links, pitch, least, most)) return links;
    return std::nullopt;
}

double elongation_percent(Length pitch, int links, Length measured) {
    return 100.0 * (measured / (pitch * links) - 1.0);
}

Length centre_distance(const ChainRun& run, Length arm, Angle droop) {
    return mm(std::hypot((run.front_sprocket.x + arm * cos(droop)).value,
                         (run.front_sprocket.z + arm * sin(droop)).value));
}

Result<Length> needed_length(const ChainRun& run, Length centre) {
    if (!beta(run, centre.value)) return overlapping();
    return mm(needed_length_at(run, centre.value));
}

Result<Length> belt_length(const ChainRun& run, Length centre) {
    const auto b = beta(run, centre.value);
    if (!b) return overlapping();
    const auto [r1, r2] = sprocket_radii(run);
    return mm(2.0 * centre.value * std::cos(*b) + r1 * (pi - 2.0 * *b) + r2 * (pi + 2.0 * *b));
}

namespace {

// Centre distance C at which a chain of this length has this slack. Newton's method on the chain length
// required at C. dL/dC is 2·cos β to within 0.001. The derivative of the excess is C/c·(c/√(c² + s²) − 1).
// With both it converges in a few steps.
Result<Length> centre_leaving(const ChainRun& run, Length chain, Length slack) {
    const auto [r1, r2] = sprocket_radii(run);
    const double s = slack.value;
    const auto over = [&](double c) {
        const auto [span, needed] =
            run_terms<double>(run.pitch.value, run.sprockets.front, run.sprockets.rear, c);
        const double hanging = std::hypot(span, s);
        return std::pair(needed + (hanging - span) - chain.value,
                         2.0 * span / c + (c / span) * (span / hanging - 1.0));
    };
    // Shortest centre distance: the sprockets almost touch.
    const double least = r1 + r2 + run.pitch.value;
    const double lacks = over(least).first;
    if (!(lacks < 0.0)) {
        const int links = static_cast<int>(std::ceil(lacks / run.pitch.value - 1e-9));
        return Error{ErrorCode::no_solution, "chain",
                     std::to_string(std::max(1, links)) + " links too short"};
    }
    double c = least - 0.5 * lacks;
    for (int i = 0; i < 50; ++i) {
        const auto [off, slope] = over(c);
        const double step = off / slope;
        c = std::max(least, c - step);
        if (std::fabs(step) < 1e-12 * c) break;
    }
    return mm(c);
}

}  // namespace

Result<Length> centre_for(const ChainRun& run, Length wanted) {
    return centre_leaving(run, wanted, mm(0));
}

Length slack_of(Length span, Length excess) {
    if (!(excess.value > 0.0)) return mm(0);
    return mm(std::sqrt(excess.value * (2.0 * span.value + excess.value)));
}

Length excess_of(Length span, Length slack) {
    return mm(std::hypot(span.value, slack.value)) - span;
}

Length span_of(const ChainRun& run, Length centre) {
    const auto [r1, r2] = sprocket_radii(run);
    return mm(std::sqrt(std::max(0.0, centre.value * centre.value - (r2 - r1) * (r2 - r1))));
}

// Axes along the lower run. The middle is pulled to y, positive towards the sprockets' centres. The tangent
// point on each sprocket then moves by θ: the tangent has length √(c²/4 + y² − 2yr), and the wrap grows by
// r·θ.
Play exact_play(const ChainRun& run, Length centre, Length excess) {
    if (!(excess.value > 0.0)) return {};
    const double half = 0.5 * span_of(run, centre).value;
    const auto [r1, r2] = sprocket_radii(run);
    const auto side = [half](double r, double y) {
        const double tangent = std::sqrt(half * half + y * y - 2.0 * y * r);
        const double turn = std::atan2(y - r, half) + std::atan2(r, tangent);
        return tangent + r * turn;
    };
    const auto over = [&, r1 = r1, r2 = r2](double y) {
        return side(r1, y) + side(r2, y) - 2.0 * half - excess.value;
    };
    const double guess = 0.5 * slack_of(mm(2.0 * half), excess).value;
    const auto reach = [&](int sign) {
        std::uintmax_t rounds = 100;
        const auto far = [&](double y) { return over(sign * y); };
        double high = 2.0 * guess + 1e-6;
        while (far(high) < 0.0) high *= 2.0;
        const auto found = boost::math::tools::toms748_solve(
            far, 0.0, high, -excess.value, far(high), boost::math::tools::eps_tolerance<double>(50), rounds);
        return mm(0.5 * (found.first + found.second));
    };
    return {reach(1), reach(-1)};
}

Angle lower_run_angle(const ChainRun& run, Length arm, Angle droop) {
    const double x = (run.front_sprocket.x + arm * cos(droop)).value,
                 z = (run.front_sprocket.z + arm * sin(droop)).value;
    const auto b = beta(run, std::hypot(x, z));
    // With a larger rear sprocket the lower run rises more to the front than the line of centres, by β.
    return radians(std::atan2(z, x) + b.value_or(0.0));
}

SlackAt slack_at(const ChainRun& run, Length arm, Angle droop) {
    SlackAt at{droop, centre_distance(run, arm, droop), {}, {}, {}};
    const auto length = needed_length(run, at.centre);
    at.needed = length.value_or(run.length);
    at.excess = run.length - at.needed;
    at.slack = slack_of(span_of(run, at.centre), at.excess);
    return at;
}

Angle tightest_droop(const ChainRun& run, Angle low, Angle high) {
    const Angle in_line = radians(std::atan2(run.front_sprocket.z.value, run.front_sprocket.x.value));
    if (in_line >= low && in_line <= high) return in_line;
    const auto reach = [&](Angle droop) {
        return (run.front_sprocket.x * cos(droop) + run.front_sprocket.z * sin(droop)).value;
    };
    return reach(low) > reach(high) ? low : high;
}

ChainRun calibrated(ChainRun run, Length arm, Angle droop, Length slack) {
    const Length centre = centre_distance(run, arm, droop);
    run.length = needed_length(run, centre).value_or(run.length) + excess_of(span_of(run, centre), slack);
    return run;
}

Result<Length> arm_for(const ChainRun& run, Angle droop, Length slack) {
    const auto centre = centre_leaving(run, run.length, slack);
    if (!centre) return centre.error();
    // Solve |e + L·(cos, sin)| = C for the arm length L; e: front sprocket.
    const double ex = run.front_sprocket.x.value, ez = run.front_sprocket.z.value;
    const double along = ex * cos(droop) + ez * sin(droop);
    const double square = along * along + centre->value * centre->value - ex * ex - ez * ez;
    if (!(square > 0.0)) return overlapping();
    return mm(std::sqrt(square) - along);
}

ChainRun refitted(const ChainRun& run, Sprockets sprockets, int links) {
    ChainRun out = run;
    out.sprockets = sprockets;
    out.links = links;
    out.length = run.length * (double(links) / run.links);
    return out;
}

}  // namespace restand
