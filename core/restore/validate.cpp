// Checks that the case is possible before it is solved; returns the first fault found. The rules follow from
// geometry; the ranges are wide enough for any two-wheeler.

#include <cmath>

#include "core/machine/unit_terms.h"
#include "core/restore/restore.h"

namespace restand {
namespace {

// A field's path in pieces. They are joined only to name a fault, so a valid case builds no strings.
struct Path {
    const char *start, *middle = "", *end = "";
    std::size_t number = 0;  // index in a list, from 1; 0: not in a list
    std::string text() const {
        return std::string(start) + middle + end + (number ? "." + std::to_string(number) : "");
    }
};

// Keeps the first fault; later calls have no effect.
class Faults {
public:
    void range(Path path, double value, double low, double high, const char* allowed,
               bool low_allowed = false) {
        if (first_) return;
        if (!std::isfinite(value))
            fail(ErrorCode::not_a_number, path, allowed);
        else if (value > high || value < low || (value == low && !low_allowed))
            fail(ErrorCode::out_of_range, path, allowed);
    }
    void length(Path path, Length value) { range(path, value.value, 0.0, 2000.0, "0 < x <= 2000"); }
    void number(Path path, Length value) {
        if (!first_ && std::isnan(value.value)) fail(ErrorCode::not_a_number, path, "a length");
    }
    void exclude(bool wrong, Path path, const char* rule) {
        if (!first_ && wrong) fail(ErrorCode::contradiction, path, rule);
    }
    Outcome outcome() const {
        if (first_) return *first_;
        return Done{};
    }

private:
    void fail(ErrorCode code, Path path, const char* detail) { first_ = Error{code, path.text(), detail}; }
    std::optional<Error> first_;
};

void check_spring(Faults& f, const char* unit, const char* which, const Spring& spring) {
    if (spring.table.empty())
        f.range({unit, which, ".rate_n_per_mm"}, spring.rate.value, 0.0, 2000.0, "0 < x <= 2000");
    SpringPoint last{};
    for (const SpringPoint& point : spring.table) {
        const Path table{unit, which, ".force_table"};
        f.range(table, point.deflection.value, 0.0, 2000.0, "0 < deflection <= 2000");
        f.range(table, point.force.value, 0.0, 1e6, "0 < force <= 1e6");
        f.exclude(point.deflection <= last.deflection || point.force <= last.force, table,
                  "deflection and force rise from 0");
        last = point;
    }
    f.length({unit, which, ".free_length_mm"}, spring.free_length);
    if (!spring.block_length) return;
    const Path block{unit, which, ".block_length_mm"};
    f.length(block, *spring.block_length);
    f.exclude(*spring.block_length >= spring.free_length, block, "block length < free_length_mm");
}

void check_gas(Faults& f, const char* path, const SuspensionUnit& unit) {
    f.range({path, ".gas_force_n"}, unit.gas.topped_out.value, 0.0, 20000.0, "0 <= x <= 20000", true);
    if (!unit.gas.chamber) return;
    const Gas::Chamber& chamber = *unit.gas.chamber;
    f.range({path, ".reservoir.area_mm2"}, chamber.area.value, 0.0, 20000.0, "0 < x <= 20000");
    f.range({path, ".reservoir.volume_mm3"}, chamber.volume.value, 0.0, 1e7, "0 < x <= 1e7");
    f.range({path, ".reservoir.exponent"}, chamber.exponent, 1.0, 2.0, "1 <= n <= 2", true);
    f.exclude(unit.travel && unit.travel->value >= gas_travel_end(unit.gas), {path, ".reservoir.volume_mm3"},
              "volume > area x travel_mm");
}

void check_top_out(Faults& f, const char* path, const SuspensionUnit& unit) {
    if (!unit.top_out) return;
    const Path reach{path, ".top_out_spring.reach_mm"};
    f.range({path, ".top_out_spring.rate_n_per_mm"}, unit.top_out->rate.value, 0.0, 2000.0, "0 < x <= 2000");
    f.length(reach, unit.top_out->reach);
    f.exclude(unit.travel && unit.top_out->reach >= *unit.travel, reach, "reach < travel_mm");
}

void check_unit(Faults& f, const char* path, const SuspensionUnit& unit) {
    check_spring(f, path, ".spring", unit.spring);
    if (unit.helper) {
        check_spring(f, path, ".helper_spring", *unit.helper);
        f.exclude(!unit.spring.table.empty() || !unit.helper->table.empty(), {path, ".helper_spring"},
                  "a spring with a force table has no helper");
    }
    if (unit.other_leg) check_spring(f, path, ".other_leg", unit.other_leg->spring);
    check_gas(f, path, unit);
    check_top_out(f, path, unit);
    f.range({path, ".legs"}, unit.legs, 1.0, 4.0, "1 <= legs <= 4", true);
    if (unit.travel) f.length({path, ".travel_mm"}, *unit.travel);
    for (std::size_t i = 0; i < unit.bump.size(); ++i) {
        const Path at{path, ".bump_rubber", "", i + 1};
        const BumpPoint& point = unit.bump[i];
        f.range(at, point.travel.value, 0.0, 2000.0, "0 <= travel <= 2000", true);
        f.range(at, point.force.value, 0.0, 1e6, "0 <= force <= 1e6", true);
        const bool falls =
            i > 0 && (point.travel <= unit.bump[i - 1].travel || point.force < unit.bump[i - 1].force);
        f.exclude(falls, at, "travel and force rise");
    }
}

void check_installed(Faults& f, Path path, const SuspensionUnit& unit, Length installed) {
    const auto& block = unit.spring.block_length;
    f.length(path, installed);
    f.exclude(block && !unit.helper && installed <= *block, path, "installed length > block_length_mm");
}

struct AdjusterPaths {
    Path now, min, max, per_turn;
};

void check_adjuster(Faults& f, const Adjuster& a, const AdjusterPaths& path) {
    f.length(path.now, a.now);
    // A range may be infinite.
    f.number(path.min, a.min);
    f.number(path.max, a.max);
    f.exclude(a.min > a.max, path.min, "min <= max");
    f.exclude(a.now < a.min || a.now > a.max, path.now, "min <= now <= max");
    if (a.per_turn) f.range(path.per_turn, a.per_turn->value, 0.0, 50.0, "0 < x <= 50");
    f.range(path.per_turn, a.detent_turns, 0.0, 100.0, "0 < settable turns <= 100");
    f.range(path.per_turn, a.detent.value, 0.0, 100.0, "0 <= settable step <= 100", true);
}

void check_heights(Faults& f, const SwapCase& swap) {
    constexpr Path top{"baseline.ride_height_mm.topped_out"}, still{"baseline.ride_height_mm.static"},
        rider{"baseline.ride_height_mm.rider"};
    const auto& before = swap.before;
    const auto height = [&f](Path at, Length h) { f.range(at, h.value, -5000, 5000, "-5000 < x <= 5000"); };
    height(top, before.topped_out);
    if (before.static_) {
        height(still, *before.static_);
        f.exclude(*before.static_ > before.topped_out + height_slack, still, "static <= topped_out");
    }
    if (!before.rider) return;
    height(rider, *before.rider);
    f.exclude(before.static_ && *before.rider > *before.static_ + height_slack, rider, "rider <= static");
    f.exclude(*before.rider > before.topped_out + height_slack, rider, "rider <= topped_out");
}

}  // namespace

Outcome validate(const SwapCase& swap) {
    Faults f;
    const SuspensionUnit& old_unit = swap.before.unit;
    f.length({"baseline.unit.eye_to_eye_mm"}, old_unit.length);
    check_unit(f, "baseline.unit", old_unit);
    constexpr Path old_installed{"baseline.unit.spring.installed_length_mm"};
    check_installed(f, old_installed, old_unit, old_unit.installed_length);
    // A loose spring is an error in the baseline on the bike; on the bench it is allowed.
    f.exclude(preload(old_unit) < mm(0.0), old_installed, "installed length <= free_length_mm");
    check_heights(f, swap);

    check_unit(f, "new_unit", swap.new_unit);
    constexpr const char *length = "new_unit.eye_to_eye_mm", *spring = "new_unit.spring";
    constexpr Path now{spring, ".installed_length_now_mm"};
    check_adjuster(f, swap.length,
                   {{length, ".now"}, {length, ".min"}, {length, ".max"}, {length, ".mm_per_turn"}});
    check_adjuster(f, swap.installed,
                   {now,
                    {spring, ".installed_length_min_mm"},
                    {spring, ".installed_length_max_mm"},
                    {spring, ".collar_mm_per_turn"}});
    check_installed(f, now, swap.new_unit, swap.installed.now);
    f.range({"load_scale"}, swap.load_scale, 0.1, 10.0, "0.1 <= x <= 10", true);
    f.range({"hanging_kg"}, swap.hanging.value, 0.0, 2000.0, "0 <= weight <= 2000 N", true);
    f.range({"tolerance_mm"}, swap.tolerance.value, 0.0, 100.0, "0 < x <= 100");
    if (auto sound = f.outcome(); !sound) return sound;
    if (!swap.before.static_ && !swap.before.rider)
        return Error{ErrorCode::missing, "baseline.ride_height_mm.rider", "rider or static ride height"};
    return Done{};
}

}  // namespace restand
