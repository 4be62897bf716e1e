#include "platform/terminal/stance.h"

#include <cmath>

#include "core/quantity/unit.h"
#include "platform/terminal/bike_case.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

struct Row {
    const char* name;
    double value;  // NaN: not known
    int digits;
};
using Rows = std::vector<Row>;

template <class Bike>
void add_ends(Rows& rows, const Bike& s) {
    const auto height = [](const std::optional<Length>& l) { return l ? in_mm(*l) : std::nan(""); };
    const Attitude& a = s.attitude;
    const Rows more = {{"rear wheel travel, mm", in_mm(s.rear_travel), 1},
                       {"fork travel, mm", in_mm(s.pose.fork_travel), 1},
                       {"shock as it stands, mm", in_mm(s.shock_length), 1},
                       {"shock force, N", in_newton(s.shock_force), 0},
                       {"fork force, N", in_newton(s.fork_force), 0},
                       {"rear height to the mark, mm", height(a.tail_height), 1},
                       {"motion ratio", s.motion_ratio, 4},
                       {"its slope, 1/m", 1000.0 * s.motion_ratio_slope, 3},
                       {"wheel rate, N/mm", in_newton_per_mm(s.wheel_rate), 2},
                       {"pitch, deg", in_degrees(a.pitch), 2},
                       {"rake, deg", in_degrees(a.rake), 2},
                       {"trail, mm", in_mm(a.trail), 1},
                       {"normal trail, mm", in_mm(a.normal_trail), 1},
                       {"wheelbase, mm", in_mm(a.wheelbase), 1},
                       {"swingarm to ground, deg", in_degrees(a.arm_to_ground), 2},
                       {"pivot height, mm", in_mm(a.pivot_height), 1}};
    rows.insert(rows.end(), more.begin(), more.end());
}

// Unknown without masses.
Rows loads(const std::optional<WheelLoads>& l) {
    const double unknown = std::nan("");
    return {{"rear wheel load, N", l ? in_newton(l->rear) : unknown, 0},
            {"front wheel load, N", l ? in_newton(l->front) : unknown, 0},
            {"centre of mass ahead, mm", l ? in_mm(l->mass_ahead) : unknown, 0},
            {"centre of mass height, mm", l ? in_mm(l->mass_height) : unknown, 0}};
}

Rows rows_of(const StandingBike& s) {
    Rows rows = loads(s.loads);
    add_ends(rows, s);
    return rows;
}

// The loads with the rider, if there is one.
Rows rows_of(const AtPose& at) {
    Rows rows = loads(at.with_rider ? at.with_rider : at.alone);
    add_ends(rows, at);
    return rows;
}

void print_columns(const StanceResult& s, std::ostream& out) {
    std::vector<std::pair<const char*, Rows>> columns;
    if (s.alone) columns.emplace_back("bike alone", rows_of(*s.alone));
    if (s.with_rider) columns.emplace_back("with rider", rows_of(*s.with_rider));
    if (s.at_pose) columns.emplace_back("in the pose", rows_of(*s.at_pose));
    out << padded("", 30);
    for (const auto& [title, rows] : columns) out << at_right(title, 14);
    out << "\n";
    for (std::size_t i = 0; i < columns.front().second.size(); ++i) {
        out << padded(columns.front().second[i].name, 30);
        for (const auto& [title, rows] : columns)
            out << at_right(std::isfinite(rows[i].value) ? print_fixed(rows[i].value, rows[i].digits) : "-",
                            14);
        out << "\n";
    }
}

void print_stops(const StandingBike& s, const StopForces& stops, const char* who, std::ostream& out) {
    const auto newtons = [](Force f) { return ", pressed with " + print_fixed(in_newton(f), 0) + " N.\n"; };
    if (s.rear_topped_out) out << who << " the rear stands on its top-out stop" << newtons(stops.rear);
    if (s.fork_topped_out) out << who << " the fork stands on its top-out stop" << newtons(stops.fork);
    if (s.rear_bottomed) out << who << " the rear is at the end of its travel" << newtons(stops.rear);
    if (s.fork_bottomed) out << who << " the fork is at the end of its travel" << newtons(stops.fork);
}

// The other equilibria: the bike would stay there if it were pushed there.
void print_rests(const std::vector<Length>& rests, const char* who, std::ostream& out) {
    if (rests.size() < 2) return;
    out << who << " it comes to rest in more than one place, with the shock in by";
    for (std::size_t i = 0; i < rests.size(); ++i)
        out << (i == 0 ? " " : i + 1 < rests.size() ? ", " : " or ") << print_fixed(in_mm(rests[i]), 1);
    out << " mm; shown is the first, where it stays when it is let down off its stands.\n";
}

void print_squat(const Squat& squat, const char* when, std::ostream& out) {
    out << "anti-squat " << when << " " << print_fixed(squat.anti_squat_percent, 0) << " %, squat angle "
        << print_fixed(in_degrees(squat.squat_angle), 1) << " deg, load-transfer angle "
        << print_fixed(in_degrees(squat.transfer_angle), 1) << " deg\n";
}

void print_stance(const StanceResult& s, std::ostream& out) {
    print_columns(s, out);
    if (s.alone) print_stops(*s.alone, s.alone_stops, "Alone,", out);
    if (s.with_rider) print_stops(*s.with_rider, s.rider_stops, "With the rider,", out);
    print_rests(s.alone_rests, "Alone,", out);
    print_rests(s.rider_rests, "With the rider,", out);
    if (s.weighed) {
        const CentreOfMass& c = s.weighed->whole;
        const PointMass& frame = s.weighed->sprung;
        out << "On the scales: " << print_fixed(in_kilogram(c.mass), 1) << " kg, centre of mass "
            << print_fixed(in_mm(c.ahead), 0) << " mm ahead of the rear contact, "
            << print_fixed(in_mm(c.height), 0) << " mm above the ground; of it the frame "
            << print_fixed(in_kilogram(frame.mass), 1) << " kg at [" << print_fixed(in_mm(frame.at.x), 0)
            << ", " << print_fixed(in_mm(frame.at.z), 0) << "]\n";
    }
    if (s.squat) print_squat(*s.squat, "with the rider", out);
    if (s.at_pose && s.at_pose->squat) print_squat(*s.at_pose->squat, "in the pose", out);
}

}  // namespace

int stance_of(const Request& request, std::ostream& out, std::ostream& err) {
    if (no_table(request, err)) return exit_bad_input;
    const auto c = case_of(request);
    if (!c) return complain(err, c.error());
    // A pose needs no loads; the equilibrium does.
    auto s =
        c->pose && !has_loads(c->bike, Rider::off) ? Result<StanceResult>(StanceResult{}) : stance(c->bike);
    if (!s) return no_answer(request, *c, s.error(), out, err);
    s->weighed = c->weighed;
    if (c->pose) {
        const auto at = at_pose(c->bike, *c->pose);
        if (!at) return no_answer(request, *c, at.error(), out, err);
        s->at_pose = *at;
    }
    if (request.text)
        print_stance(*s, out);
    else
        out << stance_json(*s);
    return exit_done;
}

}  // namespace restand
