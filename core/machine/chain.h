#pragma once
// The chain run: required chain length, slack over the suspension travel, tightest position, axle position
// for a given slack.
//
//   C: sprocket centre to axle        r = p/(2·sin(π/z))        sin β = (r₂ − r₁)/C        span c = C·cos β
//   needed   L = 2·c + p·[z₁(π − 2β) + z₂(π + 2β)]/(2π)         wrap counted in links
//   excess   E = chain − L            slack = √((c + E)² − c²)  total, up and down, middle of the lower run
//
// Slack varies with the square root of the excess: 0.05 mm of axle position makes the difference between no
// slack and 12 mm. So the chain length is calibrated from a slack measured on the bike, never taken from the
// links.
// Simplifications: straight runs, no weight, tight upper run. Sources: ISO 10823:2004 (length), geometry.

#include <optional>
#include <vector>

#include "core/machine/plane.h"
#include "core/quantity/conversions.h"
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
    Length length;  // real length of the whole chain: links·pitch·(1 + elongation), calibrated
};
// Error: out_of_range (allowed: teeth 8 to 80, links 60 to 200, 5 mm < pitch < 40 mm).
Outcome check_sizes(const ChainRun& run);
// False if the length differs by more than 3 % from links times pitch. No worn chain is that long: a number
// is wrong.
bool may_be_so_long(const ChainRun& run);
// True if a chain of so many links can be `least` to `most` long: 2.5 % longer than its links for wear, 0.5 %
// shorter for the places of sprockets and axle as measured (common practice, no source).
bool plausible_links(int links, Length pitch, Length least, Length most);
// The plausible even count nearest to `needed`, the length at the axle as it stands; nullopt: none.
std::optional<int> even_links(Length pitch, Length needed, Length least, Length most);
double elongation_percent(Length pitch, int links, Length measured);  // `measured` over `links`, pulled tight

Length centre_distance(const ChainRun& run, Length arm, Angle droop);
// Error no_solution: sprockets overlap.
Result<Length> needed_length(const ChainRun& run, Length centre);
// Length of the line around both pitch circles, as for a belt; the wrap is not counted in links.
Result<Length> belt_length(const ChainRun& run, Length centre);
// Inverse of needed_length(). Error: no_solution (too short for these sprockets; detail: by how many links).
Result<Length> centre_for(const ChainRun& run, Length needed);

// Total slack from the triangle formula; 0 if the chain is taut or too short. excess_of() is its inverse.
Length slack_of(Length span, Length excess);
Length excess_of(Length span, Length slack);
// Slack up and down, where the tangent points on the sprockets move with the chain.
struct Play {
    Length up, down;
};
Play exact_play(const ChainRun& run, Length centre, Length excess);
Length span_of(const ChainRun& run, Length centre);
Angle lower_run_angle(const ChainRun& run, Length arm, Angle droop);  // to frame x; positive: front higher

struct SlackAt {
    Angle droop;
    Length centre, needed, excess, slack;  // excess < 0: too short, slack 0
};
SlackAt slack_at(const ChainRun& run, Length arm, Angle droop);

// The droop where front sprocket, pivot and axle are in line, limited to low..high. Requires low <= high.
Angle tightest_droop(const ChainRun& run, Angle low, Angle high);
// `run` with its length set so that it has this slack at this droop.
ChainRun calibrated(ChainRun run, Length arm, Angle droop, Length slack);
// Arm length that gives `slack` at this droop. Errors: as centre_for().
Result<Length> arm_for(const ChainRun& run, Angle droop, Length slack);
// `run` with other sprockets and link count. Keeps the elongation of the chain.
ChainRun refitted(const ChainRun& run, Sprockets sprockets, int links);

}  // namespace restand
