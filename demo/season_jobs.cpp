// What the team still has to do at the end of its season, and what is done. Invented, as all of the demo.

#include "demo/season_table.h"

namespace restand::demo {

namespace {

PlannedJob job(int bike, const char* what, std::optional<Milestone> before, double minutes) {
    PlannedJob planned{bike, {}, {}};
    planned.body.what = what;
    planned.body.before = before;
    if (minutes > 0) planned.body.minutes_planned = minutes;
    return planned;
}

PlannedJob because(PlannedJob planned, const char* why) {
    planned.body.why = why;
    return planned;
}

PlannedJob after(PlannedJob planned, std::vector<int> first) {
    planned.after = std::move(first);
    return planned;
}

PlannedJob with_part(PlannedJob planned, const char* part, const char* from, const char* ordered,
                     const char* due) {
    planned.body.part = part;
    planned.body.from = from;
    planned.body.ordered = ordered;
    planned.body.due = due;
    return planned;
}

PlannedJob done(PlannedJob planned, double minutes) {
    planned.body.done = true;
    planned.body.minutes_taken = minutes;
    return planned;
}

}  // namespace

const std::vector<PlannedJob>& planned_jobs() {
    using enum Milestone;
    static const std::vector<PlannedJob> all = {
        job(0, "Drain the tank", {}, 20),
        after(because(job(0, "Change the tank for the light one", start_up, 60),
                      "the pump stays, the seal is new"),
              {0}),
        with_part(job(0, "Wire the fan past its old plug", start_up, 40), "relay, 40 A", "the wholesaler",
                  "22 October", "Friday"),
        because(job(0, "Cut the undertray so that the shock comes out", shakedown, 45),
                "20 min lost at each swap"),
        after(job(0, "Trim the right panel where it touches the radiator", shakedown, 30), {3}),
        job(0, "Rear spindle: torque again after the first run", scrutineering, 5),
        job(0, "New stand pads, the old ones are worn", {}, 15),
        done(job(0, "Lead the brake hose away from the tyre", dyno, 20), 25),
        job(1, "Rain tyres on the spare wheels", wet_session, 50),
        with_part(job(1, "Replace the bent foot rest", scrutineering, 15), "foot rest, left", "its maker",
                  "20 October", "in a week"),
        because(job(2, "Read the bike as it stands", shakedown, 30), "it came back from its loan"),
    };
    return all;
}

}  // namespace restand::demo
