#include "app/pad/instruments.h"

namespace restand {

// Resolutions and accuracies: common practice, no source (P-23: tape ±1, rule ±0.5, calliper ±0.05 mm). Those
// of the height gauge and the rate tester are our estimate.
std::vector<Instrument> instruments(Point point, std::optional<double> value) {
    std::vector<Instrument> all = {usual_instrument(point, value)};
    const auto add = [&](Instrument other) {
        if (other.name != all.front().name) all.push_back(std::move(other));
    };
    if (facts(point).dimension == Dimension::length) {
        add({"tape", 1.0, 1.0});
        add({"rule", 0.5, 0.5});
        add({"calliper", 0.01, 0.05});
        add({"height gauge", 0.1, 0.2});
    }
    if (point == Point::spring_rate) add({"rate tester", 0.1, 0.01 * value.value_or(100.0)});
    return all;
}

Instrument next_instrument(Point point, const Instrument& now, std::optional<double> value) {
    const auto all = instruments(point, value);
    for (std::size_t i = 0; i + 1 < all.size(); ++i)
        if (all[i].name == now.name) return all[i + 1];
    return all.front();
}

}  // namespace restand
