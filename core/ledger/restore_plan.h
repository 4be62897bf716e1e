#pragma once
// The plan from the current set-up to an earlier one (the target): the shortest list of actions, in an
// order that works.
//
// If the same parts are fitted as in the target, the settings are copied exactly. If a part differs (another
// unit, another spring), its settings are solved again so that the bike stands as in the target (restore.h):
// from the heights read with the parts now in, as a correction, else from those of the target. Where it
// stands as then already, its settings stay. `held` says whether this is possible. A value that is already
// right is not listed.
//
// Order: 1 parts that must come off before others (wheel out for sprockets, unit out for its spring), 2
// lengths and preload on the bench, 3 fork position, 4 chain and axle, 5 clicks, 6 pressures, 7 readings to
// check.
// Every action is one thing a person does with one tool. A plan step names an action by its key. After a
// change of sprocket or chain the axle and the slack are set again, whatever they read before.

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "core/ledger/setup.h"
#include "core/restore/verdict.h"

namespace restand {

enum class Doing {
    fit,          // another part: sprocket, chain, tyre, unit, spring (text or number of the target)
    set_length,   // of the length adjuster, to `to`
    set_preload,  // by the collar, to installed length `to`
    set_position, // of the fork tubes in the yokes
    set_axle, set_slack,
    set_clicks, set_pressure,
    measure,      // check at the end: ride heights and slack
};
std::string_view key(Doing doing);
std::string action_key(Doing doing, End end, Point point);   // "set_clicks:rear:clicks_rebound_low"
bool is_measuring(std::string_view action_key);

struct PlanAction {
    std::string key;                      // action_key(); unique within a plan
    Doing doing;
    End end;
    Point point;
    std::optional<StoredReading> from;    // as it was read; nullopt: not known, or moved since
    std::optional<Typed> to;              // value to set; nullopt: only to be measured
    std::optional<double> turns;          // of an adjuster, signed: positive = longer, or collar in
    std::optional<double> clicks;         // signed; positive = out
    std::optional<int> links;             // chain links to add (positive) or take out
    bool solved = false;                  // computed for another part, not copied from the target
    bool as_read = false;                 // computed from the heights read with the parts now in
    std::vector<SetValue> brings{};       // of a part that is fitted again: all that is known of it
    std::optional<double> expect;         // for `measure`: the target's value, canonical
};

struct EndLimit : Limit { End end; };

// Settings or an end that a person may expect in the list but that it does not contain.
struct LeftOut {
    End end;
    enum class Why {
        other_damper,                     // the target's clicks do not apply to the damper now fitted
        not_read_then,                    // the target has no reading at all of this end
    } why;
    std::vector<Point> points;            // the clicks; empty for a whole end
};

struct PlanActions {
    std::vector<PlanAction> actions;       // empty: the bike is already set so
    bool held = true;                     // every ride height of the target comes back within tolerance
    std::vector<EndLimit> limits;         // what prevents it, for all ends
    // Why an end could not be computed. Error missing: subject the point's key, detail the end ("rear").
    std::vector<Error> unsaid;
    std::vector<LeftOut> left_out;        // does not change `held`
    // Another spring is in than then. Done, it takes the place of the settings solved for the one now in: the
    // list made anew copies those of then.
    std::vector<PlanAction> refits;
    // By end: the heights measured since they were moved, against those of the target, as a check after a
    // swap judges them. An end of which none was measured yet is absent.
    std::map<End, CheckResult> checks{};
    bool parts_of_then = true;            // the same dampers and springs are in: every setting is copied
    std::optional<Verdict> verdict() const;       // of all checks; nullopt: there are none
    const PlanAction* find(std::string_view key) const;   // of `actions` or `refits`; nullptr: neither
};
// `walked`: the plan with the steps done so far; nullptr: not started. `now` already contains what these
// steps set. What they moved must still be measured, until a step records the measurement.
PlanActions restore_plan(const BikeBody& bike, const SetUp& now, const SetUp& target,
                         const RestorePlan* walked = nullptr);

// The values that `action` sets; empty for `measure`. For plan steps, and for the test of a whole plan.
std::vector<SetValue> done(const PlanAction& action);

}  // namespace restand
