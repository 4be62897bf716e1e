// The bikes of a case of format 2 as the solver takes them: made by the functions that the app uses.

#include "core/casefile/ledger_fields.h"
#include "core/ledger/map_of.h"
#include "core/ledger/whole_bike.h"

namespace restand::case_file {
namespace {

// What the ledger's functions miss, by its place in the file: "set_up (rear spring_rate)".
Error in_file(Error error) {
    if (error.code == ErrorCode::contradiction && error.subject == "pivot_height")
        error.subject = "bike (pivot_height)";
    if (error.code != ErrorCode::missing) return error;
    if (error.detail == "bike") return {error.code, "bike (" + error.subject + ")", ""};
    if (error.detail == "rear" || error.detail == "front")
        return {error.code, "set_up (" + error.detail + " " + error.subject + ")", ""};
    return error;
}

// The ranges of format 1. The ledger keeps what was typed; a solver needs a motorcycle.
Outcome plausible(const Geometry& g) {
    const std::pair<const std::optional<Length>&, Range> lengths[] = {
        {g.swingarm, {"swingarm_mm", 200, 1000}},
        {g.wheelbase, {"wheelbase_mm", 800, 2500}},
        {g.rear_wheel_radius, {"rear_wheel_radius_mm", 100, 500}},
        {g.front_wheel_radius, {"front_wheel_radius_mm", 100, 500}},
        {g.offset, {"offset_mm", -200, 500}},
        {g.pivot_height, {"pivot_height_mm", 0, 1000}}};
    for (const auto& [length, range] : lengths)
        if (length && !(in_mm(*length) >= range.low && in_mm(*length) <= range.high))
            return Error{ErrorCode::out_of_range, "bike.geometry." + std::string(range.name), to_text(range)};
    return Done{};
}

// The slot of the axle, counted from its front.
std::optional<AxleSlot> slot_of(const BikeBody& bike, const SetUp& setup) {
    const auto now = setup.length(End::rear, Point::axle_position);
    if (!now || !bike.mechanism.slot_length) return std::nullopt;
    return AxleSlot{*now, mm(0), *bike.mechanism.slot_length};
}

std::optional<MeasuredLinkage> measured_linkage(const BikeBody& bike) {
    const LinkageTable table = strut_table(bike);
    if (table.pairs.empty() || !bike.mechanism.linkage || !bike.geometry.swingarm) return std::nullopt;
    return MeasuredLinkage{*bike.mechanism.linkage, *bike.geometry.swingarm, table};
}

}  // namespace

void read_ledger_bikes(const Json& root, BikeCase& out, std::optional<Error>& error) {
    const LedgerCase c = read_ledger_bike(root, error);
    const auto fresh = root.find("new");
    out.changed = fresh != root.end();
    const auto changes = read_values(out.changed ? &*fresh : nullptr, "new", error);
    if (error) return;
    if (const auto sound = plausible(c.bike.geometry); !sound) {
        error = sound.error();
        return;
    }
    out.of_ledger = true;
    SetUp setup = setup_of(c.set_up), described = c.described.empty() ? setup : setup_of(c.described);
    SetUp now = setup;
    forget_what_rolled(now, changes);
    for (const SetValue& v : changes) now.values[{v.end, v.reading.point}].reading = v.reading;
    share_fork_length({&setup, &described, &now});

    const auto before = whole_bike(c.bike, setup, described);
    const auto with_new =
        before ? fitted_with(*before, c.bike, now, described) : Result<WholeBike>(before.error());
    if (!with_new) {
        error = in_file(with_new.error());
        return;
    }
    out.before = *before;
    out.bike = *with_new;
    out.slot = slot_of(c.bike, now);
    out.measured = measured_linkage(c.bike);
    if (const auto drive = drive_of(c.bike, now, described); drive && c.bike.gearbox.rpm)
        out.engine = EngineDrive{*drive, *c.bike.gearbox.rpm};
}

}  // namespace restand::case_file
