#pragma once
// Targets, adjusters and other springs for the tests of restoring through the whole bike.

#include <doctest/doctest.h>

#include "core/machine/travel_table.h"
#include "core/restore/whole.h"
#include "core/restore/whole_model.h"
#include "tests/unit/random_bike.h"

namespace restand::test {

inline const std::vector<Target> everything = {{TargetKind::rear_height, State::topped_out},
                                        {TargetKind::rear_height, State::static_},
                                        {TargetKind::rear_height, State::rider},
                                        {TargetKind::front_height, State::rider},
                                        {TargetKind::rear_sag, State::rider},
                                        {TargetKind::front_sag, State::static_},
                                        {TargetKind::rake, State::rider},
                                        {TargetKind::trail, State::rider},
                                        {TargetKind::arm_to_ground, State::rider},
                                        {TargetKind::wheelbase, State::static_},
                                        {TargetKind::pivot_height, State::rider},
                                        {TargetKind::wheel_rate, State::rider},
                                        {TargetKind::anti_squat, State::rider},
                                        {TargetKind::final_drive}};

// The targets of a bike, on a map of its own linkage.
inline Result<std::vector<TargetTerm>> terms_of(const WholeBike& bike, const std::vector<Target>& targets,
                                                const Adjustables<double>& adjustables) {
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    return target_terms(bike, *map, targets, adjustables);
}

inline std::vector<Target> measured(const WholeBike& bike, std::vector<Target> targets) {
    auto out = measured_by(bike, std::move(targets));
    REQUIRE(out.has_value());
    return *out;
}

inline WholeAdjuster any(Adjustable adjustable, const WholeBike& bike, double range = 60) {
    const double now = value(bike, adjustable);
    return {adjustable, now, now - range, now + range};
}

// A stiffer or softer shock spring of another length, at an arbitrary setting; the same for a fork spring.
inline WholeBike with_other_springs(WholeBike b, RandomBikes& random) {
    b.shock.spring.rate = b.shock.spring.rate * random.between(0.9, 1.12);
    b.shock.spring.free_length += mm(random.between(-6, 10));
    b.shock.length += mm(random.between(-3, 3));
    b.shock.installed_length = b.shock.spring.free_length - mm(random.between(6, 12));
    b.shock.gas.topped_out = newton(random.between(0, 220));
    b.fork.spring.rate = b.fork.spring.rate * random.between(0.93, 1.07);
    return b;
}


}  // namespace restand::test
