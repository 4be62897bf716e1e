#pragma once
// The chain run: how long must the chain be, how much slack does it leave over the travel, where is it
// tightest, and where must the axle go?
//
//   C: sprocket centre to axle        r = p/(2·sin(π/z))        sin β = (r₂ − r₁)/C        span c = C·cos β
//   needed   L = 2·c + p·[z₁(π − 2β) + z₂(π + 2β)]/(2π)         links counted on the wrap
//   excess   E = chain − L            slack = √((c + E)² − c²)  up and down together, middle of the lower run
//
// Slack goes with the root of the excess: a twentieth of a millimetre of axle is all of 12 mm of slack. So the
// chain's length is calibrated from one slack measured on the bike, never taken from the link count.
// Simplifications: straight runs, no weight, tight upper run. Sources: ISO 10823:2004 (length), geometry.

#include <optional>
#include <vector>

#include "core/machine/plane.h"
#include "core/quantity/result.h"

namespace restand {

struct Sprockets {
    int front = 0, rear = 0;  // teeth
    double ratio() const { return double(rear) / front; }
    friend auto operator<=>(const Sprockets&, const Sprockets&) = default;
};
Length pitch_radius(Length pitch, int teeth);
inline constexpr Length usual_chain_pitch = mm(15.875);  // 5/8 in: the 520, 525 and 530 chains of ISO 10190

struct ChainRun {
    PlanePoint front_sprocket;  // centre, frame axes
    Sprockets sprockets;
    Length pitch;  // nominal
    int links = 0;
    Length length;  // of the whole chain, as it is: links·pitch·(1 + elongation), calibrated
};
// Errors: out_of_range (teeth 8 to 80, links 60 to 200, pitch above 0).
Outcome check_sizes(const ChainRun& run);
// A worn chain is not 3 % longer than links times pitch; beyond that a number is wrong.
bool may_be_so_long(const ChainRun& run);
double elongation_percent(Length pitch, int links, Length measured);  // over `links` pitches, pulled tight

Length centre_distance(const ChainRun& run, Length arm, Angle droop);
// Error no_solution: sprockets overlap.
Result<Length> needed_length(const ChainRun& run, Length centre);
// On the pitch circles, without counting links: what a belt would need.
Result<Length> belt_length(const ChainRun& run, Length centre);
// The other way round. Error no_solution: too short for these sprockets, by `detail` links.
Result<Length> centre_for(const ChainRun& run, Length needed);

// Up and down together, by the triangle; 0 when the chain is taut or too short. And the excess it comes from.
Length slack_of(Length span, Length excess);
Length excess_of(Length span, Length slack);
// With the points where the chain leaves the sprockets moving along.
struct Play {
    Length up, down;
};
Play exact_play(const ChainRun& run, Length centre, Length excess);
Length span_of(const ChainRun& run, Length centre);
Angle lower_run_angle(const ChainRun& run, Length arm, Angle droop);  // to frame x, rising to the front

struct SlackAt {
    Angle droop;
    Length centre, needed, excess, slack;  // excess < 0: too short, slack 0
};
SlackAt slack_at(const ChainRun& run, Length arm, Angle droop);

// Where sprocket centre, pivot and axle are in line, or the end of the travel nearest to it. low <= high.
Angle tightest_droop(const ChainRun& run, Angle low, Angle high);
// The chain's real length, from a slack measured at a droop.
ChainRun calibrated(ChainRun run, Length arm, Angle droop, Length slack);
// The arm's length that leaves `slack` at this droop. Error as centre_for().
Result<Length> arm_for(const ChainRun& run, Angle droop, Length slack);
// Other sprockets, other links of the same chain (its wear with it).
ChainRun refitted(const ChainRun& run, Sprockets sprockets, int links);

}  // namespace restand
