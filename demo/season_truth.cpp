#include "demo/season_truth.h"

#include <algorithm>

namespace restand::demo {
namespace {

template <class T>
T sound(Result<T> result) {
    check(result.has_value(), "a sound end in the demo's table");
    return std::move(*result);
}

HeightMap described(const BikeBody& bike, End end) {
    const EndSetup& setup = bike.setup(end);
    if (end == End::rear && bike.mechanism.linkage)
        return sound(
            HeightMap::linkage(sound(LinkageMap::of(*bike.mechanism.linkage)), *bike.geometry.swingarm));
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
           p == Point::spring_free_length || p == Point::spring_installed_length;
}

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

EndTruth::EndTruth(const BikeBody& bike, End end, const EndAsFound& found)
    : end_(end), still_(found.still), rider_(found.rider), map_(described(bike, end)) {
    for (const Line& line : found.parts) know(line);
    if (knows(Point::spring_rate)) map_ = sound(map_.anchored(unit().length, found.topped_out));
}

void EndTruth::know(const Line& line) {
    const Typed text = typed(line);
    const bool name = is_text(line.point);
    known_[line.point] = {text, name ? 0.0 : canonical_value(text), line.where};
}

void EndTruth::fit(const std::vector<Line>& parts, double off_the_mark) {
    for (const Line& line : parts) know(line);
    off_the_mark_ = off_the_mark;
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

double EndTruth::height(Point point) const {
    const Force load = point == Point::ride_height_rider    ? rider_
                       : point == Point::ride_height_static ? still_
                                                            : newton(0);
    return in_mm(sound(standing_under({unit(), map_}, load)).height);
}

Reading EndTruth::read(Point point, bool gauge, bool comma, Scatter& scatter) const {
    if (!is_measured(point)) {
        const Known& known = known_.at(point);
        return reading({point, known.typed.text.c_str(), known.where.c_str()});
    }
    const double truth = is_height(point) ? height(point) : in_mm(value(point));
    const Habit how = habit(point, gauge);
    Reading read{point, {}, usual_instrument(point), is_height(point) ? "axle to the mark on the tail" : ""};
    if (is_height(point) && end_ == End::front) read.where = "axle to the lower yoke";
    if (is_height(point) && gauge) read.instrument = height_gauge;
    for (int i = 0; i < how.repeats; ++i)
        read.repeats.push_back(
            {written(truth + how.scatter * scatter.next(), how.decimals, comma), Unit::mm});
    return read;
}

}  // namespace restand::demo
