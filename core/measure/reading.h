#pragma once
// A reading: one or more repeats with one instrument, as typed. measured() gives its value and uncertainty.
//
//   u² = s²/n + a² + (resolution/√12)² + (accuracy/√3)²   JCGM 100:2008 (GUM), 4.2, 4.3.7, F.2.2.1
//   s: of the repeats, pooled with the spread known before (GUM 4.2.4):
//      s² = (ν₀·s₀² + Σ(xᵢ − x̄)²)/(ν₀ + n − 1), dof ν₀ + n − 1
//   If the bike was settled anew between the repeats, s₀ is the spread of that, and a = 0. Else every repeat
//   shares how the bike sat: s₀ is the spread of reading alone, and a² the rest of the spread when settled.
//   dof of the type B parts: infinite; ν_eff by Welch–Satterthwaite (G.4.1); U = t95(ν_eff)·u, two-sided
//
// Simplifications: repeats are independent; resolution and accuracy have rectangular distributions;
// instruments do not drift. A measured value has no arithmetic operators: uncertainty is propagated through
// whole functions (uncertainty.h).

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "core/measure/point.h"

namespace restand {

struct Instrument {
    std::string name;         // "calliper 300 mm"
    double resolution = 0.0;  // smallest step shown, in the canonical unit of the quantity
    double accuracy = 0.0;    // stated ±, same unit
    friend bool operator==(const Instrument&, const Instrument&) = default;
};
// The default instrument for this point (common practice, no source: P-23). The accuracy of a marked spring
// rate (±4 %) and of a stated gas force (±10 %) is a fraction of the value: pass the canonical value. Without
// it, a typical value for a rear shock is assumed.
Instrument usual_instrument(Point point, std::optional<double> value = std::nullopt);
// How one person's readings of one quantity scatter: standard deviations, canonical unit.
struct Spread {
    double read = 0.0, read_dof = 0.0;        // of repeats with the bike left as it is; dof 0: not known
    double settled = 0.0, settled_dof = 0.0;  // settled anew, rider off and on, each time; at least `read`
    friend bool operator==(const Spread&, const Spread&) = default;
};
// The usual spread at this point (common practice and judgement, no source: P-23).
Spread usual_spread(Point point);
inline constexpr double usual_spread_dof = 8.0;  // usual_spread is known to 25 %: GUM G.4.2, table E.1
// True for what reads another value when the bike is settled anew: heights, wheel weight.
bool is_settled(Point point);

struct Reading {
    Point point = Point::eye_to_eye;
    std::vector<Typed> repeats;  // at least one
    Instrument instrument;
    std::string where;           // free text: "on the stand, mid span"; how clicks were counted
    bool settled_anew = false;   // between the repeats; only for points that is_settled() names
    std::optional<Spread> spread{};  // known of this person when it was read; nullopt: the usual one
    friend bool operator==(const Reading&, const Reading&) = default;
};

inline constexpr double infinite_dof = std::numeric_limits<double>::infinity();
struct Measured {             // canonical units of the point's dimension
    double value = 0.0;       // mean of the repeats
    double u = 0.0;           // standard uncertainty
    double dof = 0.0;         // effective degrees of freedom; may be infinite
    double spread = 0.0;      // largest − smallest repeat
    int repeats = 0;
    double common = 0.0;      // part of u shared by readings with the same instrument: its accuracy
};
Measured measured(const Reading& reading);
// True if both have the same text, or the same number within rounding: 12 5/16 in equals 312.7375 mm.
bool same_value(const Reading& a, const Reading& b);
double coverage_95(double dof);          // two-sided Student t at 95 %, 1.959963985 at infinity
double expanded_95(const Measured& m);   // U = t95·u
// True if two stamped values are the same stamp. The same value stamped in two units differs by rounding, at
// most 0.5 %. This compares stamps only: the spring's real rate may be 4 % away from its stamp.
bool same_stamp(double a, double b);
// `m` as it counts in a difference between two readings with the same instrument at the same mark: the shared
// part of u cancels (GUM 5.2.2; for example, a tape's zero error is not in the difference).
Measured without_common(const Measured& m);

// Errors: no repeats or too many; a repeat that is not a number, has a wrong unit or is outside the point's
// hard limits; a count that is not whole; a negative or infinite resolution, accuracy or spread; settled anew
// at a point that is not settled.
// A text point (Dimension::text) must have exactly one repeat of 1 to 80 bytes.
Outcome validate(const Reading& reading);

}  // namespace restand
