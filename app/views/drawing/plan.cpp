#include "app/views/drawing/plan.h"

#include <algorithm>
#include <initializer_list>

#include "core/ledger/map_of.h"

namespace restand::drawing {
namespace {

constexpr double guessed_droop = 15 * pi / 180;
constexpr double steepest = 0.8;  // sine of the swingarm's angle that is still drawn

std::optional<double> known(const PictureInput& input, Point point) {
    const auto found = input.known.find(point);
    if (found == input.known.end()) return std::nullopt;
    return found->second;
}

std::optional<double> value(std::optional<Length> l) {
    if (!l) return std::nullopt;
    return in_mm(*l);
}

// Topped-out height: as given, else as measured, else slightly above the drawn height, else the guess.
Heights heights_of(const PictureInput& input, double guess) {
    Heights h;
    const auto said =
        input.topped_out ? value(input.topped_out) : known(input, Point::ride_height_topped_out);
    h.topped_out = tame(said ? said : value(input.height), guess, 20, 1500);
    const auto near = [&](std::optional<double> v, double otherwise) {
        return tame(v, otherwise, h.topped_out - 400, h.topped_out + 400);
    };
    h.drawn = near(value(input.height), h.topped_out);
    if (input.ghost) h.ghost = near(value(input.ghost), h.topped_out);
    h.of_static = near(known(input, Point::ride_height_static), h.drawn);
    h.of_rider = near(known(input, Point::ride_height_rider), h.drawn);
    return h;
}

void size_unit(const PictureInput& input, UnitSizes& u, double shortest, double longest) {
    const auto get = [&](Point point, double guess, double low, double high) {
        return tame(known(input, point), guess, low, high);
    };
    const bool rear = input.end == End::rear;
    u.length = get(rear ? Point::eye_to_eye : Point::fork_length, u.length, shortest, longest);
    u.length_min = get(Point::eye_to_eye_min, u.length - 10, 0.8 * u.length, u.length);
    u.length_max = get(Point::eye_to_eye_max, u.length + 6, u.length, 1.2 * u.length);
    u.travel = get(Point::travel, u.travel, 5, 0.4 * u.length);
    const double seats = 0.75 * u.length;  // what fits between the seats of a unit this long
    const auto installed = known(input, Point::spring_installed_length);
    const auto free = known(input, Point::spring_free_length);
    u.installed = tame(installed ? installed : free, u.installed, 30, seats);
    u.free = tame(free, u.installed * 1.06, 30, 700);
    u.block = get(Point::spring_block_length, 0.5 * u.free, 10, 0.9 * u.free);
    u.fork_position = get(Point::fork_position, u.fork_position, -50, 150);
    u.fork_position_min = get(Point::fork_position_min, u.fork_position_min, -50, 150);
    u.fork_position_max = get(Point::fork_position_max, u.fork_position_max, -50, 150);
}

void size_chain(const PictureInput& input, ChainSizes& c) {
    c.teeth_front = tame(known(input, Point::sprocket_front), c.teeth_front, 8, 40);
    c.teeth_rear = tame(known(input, Point::sprocket_rear), c.teeth_rear, 12, 90);
    if (input.bike) c.pitch = tame(in_mm(input.bike->mechanism.pitch()), c.pitch, 5, 30);
    c.slack = tame(known(input, Point::chain_slack), c.slack, 4, 120);
    c.axle_position = tame(known(input, Point::axle_position), c.axle_position, 0, 60);
}

void size_chassis(const PictureInput& input, Plan& p) {
    const Geometry g = input.bike ? input.bike->geometry : Geometry{};
    p.swingarm = tame(value(g.swingarm), p.swingarm, 250, 1200);
    p.rear_radius = tame(value(g.rear_wheel_radius), p.rear_radius, 120, 600);
    p.front_radius = tame(value(g.front_wheel_radius), p.front_radius, 120, 600);
    p.offset = tame(value(g.offset), p.offset, -50, 120);
    p.wheelbase = tame(value(g.wheelbase), std::max(1400.0, p.swingarm + 820), p.swingarm + 500, 3000);
    const std::optional<double> rake = g.rake ? std::optional(g.rake->value) : std::nullopt;
    p.rake_rad = tame(rake, 24 * pi / 180, 0, 45 * pi / 180);
}

void size_mechanism(const PictureInput& input, Plan& p) {
    if (!input.bike) return;
    const Mechanism& m = input.bike->mechanism;
    if (m.linkage && LinkageMap::of(*m.linkage)) p.linkage = m.linkage;
    if (m.front_sprocket)
        p.output_shaft = {tame(value(m.front_sprocket->x), 92, 30, 250),
                          tame(value(m.front_sprocket->z), 16, -150, 150)};
}

// The pivot's height is read with the bike standing: that gives α at static height.
void set_droop(const PictureInput& input, Plan& p) {
    p.droop_sin = std::sin(guessed_droop);
    if (input.bike && input.bike->geometry.pivot_height) {
        const double pivot = tame(value(input.bike->geometry.pivot_height), 430, 0, 1500);
        p.droop_sin =
            (pivot - p.rear_radius) / p.swingarm + (p.rear.topped_out - p.rear.of_static) / p.swingarm;
    }
    p.droop_sin = std::clamp(p.droop_sin, -0.5, 0.5);
}

// The far end sinks as much as the near one, so that the ground stays level under both.
void level(Plan& p, bool rear) {
    const double up = p.along_fork ? std::cos(p.rake_rad) : 1;  // of the axle, per height read
    if (rear)
        p.front.drawn = p.front.topped_out - (p.rear.topped_out - p.rear.drawn) / up;
    else
        p.rear.drawn = p.rear.topped_out - (p.front.topped_out - p.front.drawn) * up;
}

}  // namespace

double tame(std::optional<double> value, double guess, double low, double high) {
    const double v = value && std::isfinite(*value) ? *value : guess;
    return std::clamp(v, low, std::max(low, high));
}

Vec2 Plan::rear_axle(double height) const {
    const double s = std::clamp(droop_sin - (rear.topped_out - height) / swingarm, -steepest, steepest);
    return Vec2{-std::sqrt(1 - s * s), -s} * swingarm;
}

Vec2 Plan::rear_mark() const {
    return rear_axle(rear.topped_out) + Vec2{0, rear.topped_out};
}

double Plan::fork_travel(double height) const {
    return (front.topped_out - height) / (along_fork ? 1.0 : std::cos(rake_rad));
}

Vec2 Plan::front_axle(double height) const {
    // Topped out, both tyres on one level.
    const Vec2 rear_axle0 = rear_axle(rear.topped_out);
    const Vec2 axle0 = rear_axle0 + Vec2{wheelbase, front_radius - rear_radius};
    return axle0 + steering() * fork_travel(height);
}

Vec2 Plan::front_mark() const {
    const Vec2 up = along_fork ? steering() : Vec2{0, 1};
    return front_axle(front.topped_out) + up * front.topped_out;
}

double Plan::shock_length(double height) const {
    const double l = shock.length - (rear.topped_out - height) / rear_leverage;
    return std::clamp(l, 0.7 * shock.length, 1.1 * shock.length);
}

Plan plan_of(const PictureInput& input) {
    Plan p;
    size_chassis(input, p);
    p.fork.length = 740;
    p.fork.travel = 120;
    p.fork.installed = 250;
    const bool rear = input.end == End::rear;
    const PictureInput other;  // the far end is drawn from guesses
    p.rear = heights_of(rear ? input : other, 500);
    p.front = heights_of(rear ? other : input, 560);
    if (rear)
        size_unit(input, p.shock, 150, 700);
    else
        size_unit(input, p.fork, 400, 1200);
    size_chain(input, p.chain);
    size_mechanism(input, p);
    set_droop(input, p);
    if (input.bike && input.bike->rear.leverage)
        p.rear_leverage = tame(*input.bike->rear.leverage, 2, 0.8, 6);
    if (input.bike) p.along_fork = reads_along_fork(*input.bike);
    level(p, rear);
    if (input.far) {
        PictureInput far;
        far.topped_out = input.far->topped_out;
        far.height = input.far->height;
        far.ghost = input.far->ghost;
        far.known = input.far->known;
        far.end = rear ? End::front : End::rear;
        if (rear && !far.known.empty()) size_unit(far, p.fork, 400, 1200);
        if (!rear && !far.known.empty()) size_unit(far, p.shock, 150, 700);
        (rear ? p.front : p.rear) = heights_of(far, rear ? 560 : 500);
    }
    return p;
}

bool all_measured(const PictureInput& input) {
    const auto has = [&](std::initializer_list<Point> points) {
        return std::all_of(points.begin(), points.end(),
                           [&](Point point) { return known(input, point).has_value(); });
    };
    const Geometry g = input.bike ? input.bike->geometry : Geometry{};
    const bool rear = input.end == End::rear;
    const bool height = input.topped_out || has({Point::ride_height_topped_out});
    const bool arm = g.swingarm && g.rear_wheel_radius && g.pivot_height;
    const bool fork = g.rake && g.offset && g.front_wheel_radius;
    switch (input.scene) {
        case Scene::stand:
            return height && (rear ? arm && has({Point::eye_to_eye}) : fork && has({Point::fork_length}));
        case Scene::chain:
            return rear ? g.swingarm &&
                              has({Point::sprocket_front, Point::sprocket_rear, Point::axle_position})
                        : height && fork && has({Point::fork_length});
        case Scene::dampers:
            return has({rear ? Point::eye_to_eye : Point::fork_length});
        case Scene::bench:
            return has({rear ? Point::eye_to_eye : Point::fork_length, Point::spring_free_length,
                        Point::spring_installed_length});
        case Scene::whole:
            return arm && fork && g.wheelbase;
    }
    return false;
}

}  // namespace restand::drawing
