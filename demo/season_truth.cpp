#include "demo/season_truth.h"

#include <algorithm>
#include <cmath>

#include "core/machine/bike.h"
#include "demo/season_rows.h"

namespace restand::demo {
namespace {

template <class T>
T sound(Result<T> result) {
    check(result.has_value(), "a sound end in the demo's table");
    return std::move(*result);
}

HeightMap described(const BikeBody& bike, End end, Length arm) {
    const EndSetup& setup = bike.setup(end);
    if (end == End::rear && bike.mechanism.linkage)
        return sound(HeightMap::linkage(sound(LinkageMap::of(*bike.mechanism.linkage)), arm));
    if (!setup.pairs.empty()) return sound(HeightMap::pairs(setup.pairs));
    return sound(HeightMap::leverage(setup.leverage.value_or(cos(bike.geometry.rake.value_or(degrees(24))))));
}

bool is_height(Point p) {
    return p == Point::ride_height_topped_out || p == Point::ride_height_static ||
           p == Point::ride_height_rider;
}

// Read with a tool each time; everything else is read off a mark or counted, and says the same again.
bool is_measured(Point p) {
    return is_height(p) || p == Point::eye_to_eye || p == Point::fork_length || p == Point::fork_position ||
           p == Point::spring_free_length || p == Point::spring_installed_length || p == Point::chain_slack;
}

// Of a mass, what the rear wheel carries. Not what the app takes it for: nobody knows it so well.
constexpr double fuel_at_rear = 0.47, rider_at_rear = 0.58;

// The team's own tool for heights: a scale on a foot, read at a pointer.
const Instrument height_gauge = {"height gauge", 0.1, 0.2};

struct Habit {
    int repeats, decimals;
    double scatter;
};  // scatter: ± mm

Habit habit(Point point, bool gauge) {
    if (is_height(point)) return gauge ? Habit{3, 1, 0.2} : Habit{3, 0, 0.6};
    if (point == Point::eye_to_eye) return {2, 1, 0.1};
    if (point == Point::fork_length) return {1, 0, 0.3};
    if (point == Point::spring_installed_length) return {2, 1, 0.08};
    if (point == Point::chain_slack) return {1, 0, 0.0};
    return {1, 1, 0.06};
}

std::string written(double mm_value, int decimals, bool comma) {
    std::string text = print_fixed(mm_value, decimals);
    if (comma) std::replace(text.begin(), text.end(), '.', ',');
    return text;
}

}  // namespace

// A linear congruence modulo 2^64 (Knuth's constants); the upper bits are the even ones.
double Scatter::next() {
    state_ = state_ * 6364136223846793005ull + 1442695040888963407ull;
    return static_cast<double>(state_ >> 40) / static_cast<double>(1ull << 23) - 1.0;
}

Typed typed(const Line& line) {
    const Dimension dimension = facts(line.point).dimension;
    if (dimension == Dimension::text) return {line.text, Unit::one};
    return sound(read_typed(line.text, chosen({}, dimension)));
}

Reading reading(const Line& line) {
    const Typed text = typed(line);
    const bool name = is_text(line.point);
    return {line.point,
            {text},
            usual_instrument(line.point, name ? std::nullopt : std::optional(canonical_value(text))),
            line.where};
}

EndTruth::EndTruth(const BikeAsFound& bike, End end)
    : bike_(bike.body),
      end_(end),
      front_sprocket_(bike.front_sprocket),
      map_(described(bike.body, end, *bike.body.geometry.swingarm)) {
    const EndAsFound& found = end == End::rear ? bike.rear : bike.front;
    still_ = found.still;
    rider_ = found.rider;
    for (const Line& line : found.parts) know(line);
    know({Point::fuel, bike.fuel_kg});
    know({Point::rider_mass, bike.rider_kg});
    fuel_found_ = number(Point::fuel);
    rider_found_ = number(Point::rider_mass);
    if (!knows(Point::spring_rate)) return;
    map_ = sound(map_.anchored(unit().length, found.topped_out));
    alone_found_ = mm(height(Point::ride_height_static));
    if (end == End::front) return;
    axle_found_ = value(Point::axle_position);
    tighten(value(Point::chain_slack));
}

void EndTruth::know(const Line& line) {
    const Typed text = typed(line);
    const bool name = is_text(line.point);
    known_[line.point] = {text, name ? 0.0 : canonical_value(text), line.where};
}

void EndTruth::fit(const std::vector<Line>& parts, double off_the_mark) {
    for (const Line& line : parts) know(line);
    off_the_mark_ = off_the_mark;
    const bool new_chain =
        std::any_of(parts.begin(), parts.end(), [](const Line& l) { return l.point == Point::chain_links; });
    if (new_chain) known_.erase(Point::chain_gauge_length);
}

bool EndTruth::knows(Point point) const {
    return is_height(point) || known_.contains(point);
}

void EndTruth::set(Point point, Length value) {
    known_[point] = {{}, in_mm(value), ""};
}

Length EndTruth::value(Point point) const {
    const auto found = known_.find(point);
    check(found != known_.end(), "a part the demo's table left out");
    return mm(found->second.value);
}

SuspensionUnit EndTruth::unit() const {
    const bool rear = end_ == End::rear;
    SuspensionUnit unit;
    unit.length = rear ? value(Point::eye_to_eye) : value(Point::fork_length) - value(Point::fork_position);
    unit.legs = rear ? 1 : 2;
    unit.spring.rate = newton_per_mm(value(Point::spring_rate).value * (1.0 + off_the_mark_));
    unit.spring.free_length = value(Point::spring_free_length);
    unit.installed_length = value(Point::spring_installed_length);
    unit.gas.topped_out = newton(value(Point::gas_force).value);
    return unit;
}

void EndTruth::move_axle(Length position) {
    know({Point::axle_position, print_fixed(in_mm(position), 1).c_str()});
    if (bike_.mechanism.linkage) map_ = described(bike_, end_, arm()).shifted(map_.shift());
}

void EndTruth::tighten(Length slack) {
    move_axle(value(Point::axle_position) + sound(arm_for(chain(), hanging(), slack)) - arm());
}

ChainRun EndTruth::chain() const {
    ChainRun run;
    run.front_sprocket = front_sprocket_;
    run.sprockets = {static_cast<int>(number(Point::sprocket_front)),
                     static_cast<int>(number(Point::sprocket_rear))};
    run.pitch = bike_.mechanism.pitch();
    run.links = static_cast<int>(number(Point::chain_links));
    const Length link = known_.contains(Point::chain_gauge_length)
                            ? value(Point::chain_gauge_length) / number(Point::chain_gauge_links)
                            : run.pitch;
    run.length = link * run.links;
    return run;
}

Length EndTruth::arm() const {
    return *bike_.geometry.swingarm + value(Point::axle_position) - axle_found_;
}

// From the pivot's height, measured with the bike as it came standing alone.
Angle EndTruth::hanging() const {
    const Geometry& g = bike_.geometry;
    const Length below =
        *g.pivot_height - *g.rear_wheel_radius + mm(height(Point::ride_height_topped_out)) - alone_found_;
    return radians(std::asin(below / *g.swingarm));
}

Length EndTruth::slack() const {
    return slack_at(chain(), arm(), hanging()).slack;
}

Force EndTruth::load(Point point) const {
    if (point == Point::ride_height_topped_out) return newton(0);
    const auto carried = [this](double at_rear) { return end_ == End::rear ? at_rear : 1.0 - at_rear; };
    const double fuel = (number(Point::fuel) - fuel_found_) * carried(fuel_at_rear),
                 rider = (number(Point::rider_mass) - rider_found_) * carried(rider_at_rear);
    if (point == Point::ride_height_static) return still_ + newton(standard_gravity * fuel);
    return rider_ + newton(standard_gravity * (fuel + rider));
}

double EndTruth::height(Point point) const {
    return in_mm(sound(standing_under({unit(), map_}, load(point))).height);
}

Reading EndTruth::read(Point point, bool gauge, bool comma, Scatter& scatter) const {
    if (!is_measured(point)) {
        const Known& known = known_.at(point);
        return reading({point, known.typed.text.c_str(), known.where.c_str()});
    }
    const double truth = is_height(point)              ? height(point)
                         : point == Point::chain_slack ? in_mm(slack())
                                                       : in_mm(value(point));
    const Habit how = habit(point, gauge);
    Reading read{point, {}, usual_instrument(point), is_height(point) ? "axle to the mark on the tail" : ""};
    if (is_height(point) && end_ == End::front) read.where = "axle to the lower yoke";
    if (point == Point::chain_slack) read.where = on_the_stand;
    if (is_height(point) && gauge) read.instrument = height_gauge;
    read.settled_anew = is_height(point);
    for (int i = 0; i < how.repeats; ++i)
        read.repeats.push_back(
            {written(truth + how.scatter * scatter.next(), how.decimals, comma), Unit::mm});
    return read;
}

}  // namespace restand::demo
