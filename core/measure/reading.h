#pragma once
// A reading: one or more repeats with one instrument, as typed. Which value does it give, and how sure is it?
//
//   u² = s²/n + (resolution/√12)² + (accuracy/√3)²                     JCGM 100:2008 (GUM), 4.2, 4.3.7,
//   F.2.2.1
//   dof: n−1 behind s (or those of the pooled s when one repeat was made); infinite behind the type B parts.
//   ν_eff by Welch–Satterthwaite (GUM G.4.1), U = t95(ν_eff)·u, two-sided.
//
// Simplifications: repeats are independent; resolution and accuracy are rectangular; instruments do not
// drift. A measured value has no arithmetic: uncertainty goes through whole functions (uncertainty.h).

#include <string>
#include <vector>

#include "core/measure/point.h"

namespace restand {

struct Instrument {
    std::string name;         // "calliper 300 mm"
    double resolution = 0.0;  // smallest step shown, canonical unit of what it measures
    double accuracy = 0.0;    // stated ±, same unit
    friend bool operator==(const Instrument&, const Instrument&) = default;
};
// What a workshop uses for this point when nobody says otherwise (common practice, no source: P-23). Where
// the accuracy is a share of the value (marked spring rate ±4 %, stated gas force ±10 %), give the canonical
// value; without it a rear shock's is assumed.
Instrument usual_instrument(Point point, std::optional<double> value = std::nullopt);
// Spread of one person repeating this reading, standard deviation, canonical; used when n = 1 (P-23).
double usual_spread(Point point);
inline constexpr double usual_spread_dof = 8.0;  // known to 25 %: GUM G.4.2, table E.1

struct Reading {
    Point point = Point::eye_to_eye;
    std::vector<Typed> repeats;  // at least one
    Instrument instrument;
    std::string where;           // free text: "on the stand, mid span"; how clicks were counted
    friend bool operator==(const Reading&, const Reading&) = default;
};

struct Measured {             // canonical units of the point's dimension
    double value = 0.0;       // mean of the repeats
    double u = 0.0;           // standard uncertainty
    double dof = 0.0;         // effective degrees of freedom; may be infinite
    double spread = 0.0;      // largest − smallest repeat
    int repeats = 0;
    double common = 0.0;      // part of u that another reading with the same instrument shares: its accuracy
};
Measured measured(const Reading& reading);
// The same text, or the same number but for rounding: 12 5/16 in and 312.7375 mm are one length.
bool same_value(const Reading& a, const Reading& b);
double coverage_95(double dof);          // two-sided Student t at 95 %, 1.959963985 at infinity
double expanded_95(const Measured& m);   // U = t95·u
// The same reading for a difference from another one with the same instrument at the same mark: what both share
// cancels (GUM 5.2.2; a tape's zero error is in neither difference).
// Two stamped values that mean the same: one and the same number in two units differs by rounding, no more than half a
// per cent. The stamp of a spring may be 4 % off what the spring has, and is the same stamp all the same.
bool same_stamp(double a, double b);
Measured without_common(const Measured& m);

// Text points (Dimension::text) hold one repeat of 1 to 80 bytes.
// Refused: no repeats, a repeat that is no number, a wrong unit, or outside the point's hard limits.
Outcome validate(const Reading& reading);

}  // namespace restand
