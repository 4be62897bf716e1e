#pragma once
// From the bike as it is to an earlier set-up: the shortest list of things to do, in an order that works.
//
// Where the same parts are fitted as then, the settings are brought back exactly. Where a part differs
// (other unit, other spring), its settings are solved anew so that the bike stands as then (restore.h), and
// `held` says whether it can. Nothing is listed that is already so.
//
// Order: 1 parts that must come off before others (wheel out for sprockets, unit out for its spring), 2
// lengths and preload on the bench, 3 fork position, 4 chain and axle, 5 clicks, 6 pressures, 7 readings to
// check.
// Every action is one thing a person does with one tool, and has a key that a tick names. After another
// sprocket or chain the axle and the slack are set whatever they read before.

#include <string>
#include <vector>

#include "core/ledger/setup.h"

namespace restand {

enum class Doing {
    fit,          // another part: sprocket, chain, tyre, unit, spring (text or number of the target)
    set_length,   // a length adjuster, to `to`
    set_preload,  // collar, to installed length `to`
    set_position, // tubes in the yokes
    set_axle, set_slack,
    set_clicks, set_pressure,
    measure,      // check at the end: ride heights and slack
};
std::string_view key(Doing doing);
std::string action_key(Doing doing, End end, Point point);   // "set_clicks:rear:clicks_rebound_low"

struct PlanAction {
    std::string key;                      // action_key(); of one way, unique
    Doing doing;
    End end;
    Point point;
    std::optional<StoredReading> from;             // as it is; nullopt: not known
    std::optional<Typed> to;              // as to be set; nullopt: only to be measured
    std::optional<double> turns;          // of an adjuster, signed: positive = longer, or collar in
    std::optional<double> clicks;         // signed; positive = out
    std::optional<int> links;             // chain links to add (positive) or take out
    bool solved = false;                  // computed for another part, not copied from then
    std::optional<double> expect;         // of `measure`: the target's canonical value
};

struct EndLimit : Limit { End end; };

// What the list says nothing of, though somebody would look for it there.
struct LeftOut {
    End end;
    enum class Why {
        other_damper,                     // clicks of then: they say nothing of the damper now in
        not_read_then,                    // the target has no reading at all of this end
    } why;
    std::vector<Point> points;            // the clicks; empty for a whole end
};

struct PlanActions {
    std::vector<PlanAction> actions;       // empty: it already stands so
    bool held = true;                     // every ride height of the target comes back within tolerance
    std::vector<EndLimit> limits;         // what is in the way, of all ends
    // What could not be computed. Missing: subject the point's key, detail the end ("rear").
    std::vector<Error> unsaid;
    std::vector<LeftOut> left_out;        // says nothing against `held`
};
// `walked`: the way as far as it was gone, when it was begun. What was done on it is in `now` already; what
// it moved still asks to be measured, until a tick says that it was.
PlanActions restore_plan(const BikeBody& bike, const SetUp& now, const SetUp& target, const RestorePlan* walked = nullptr);

// What the bike's set-up is once `action` is done (for ticks, and for the test of the whole).
std::vector<SetValue> done(const PlanAction& action);

}  // namespace restand
