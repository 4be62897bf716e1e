// The bikes of a case of format 2 as the solver takes them: made by the functions that the app uses.

#include <algorithm>

#include "core/casefile/ledger_fields.h"
#include "core/ledger/map_of.h"
#include "core/ledger/whole_bike.h"

namespace restand::case_file {
namespace {

bool has_value_at(const std::vector<SetValue>& values, std::string_view end, std::string_view point) {
    return std::any_of(values.begin(), values.end(), [&](const SetValue& v) {
        return key(v.end) == end && facts(v.reading.point).key == point;
    });
}

// The list that lacks this point, where one of them does.
std::string list_of(const LedgerCase& c, std::string_view end, std::string_view point) {
    const bool only_described = !c.described.empty() && has_value_at(c.set_up, end, point);
    return only_described && !has_value_at(c.described, end, point) ? "described" : "set_up";
}

// The subjects of errors that the machine names by other keys.
constexpr std::pair<std::string_view, std::string_view> places[] = {
    {"pivot_height", "bike (pivot_height)"},
    {"bike.pivot_height_mm", "bike.geometry.pivot_height_mm"},
    {"bike.rake_deg", "bike.geometry.rake_deg"},
    {"bike.shock.travel_mm", "set_up (rear travel)"},
    {"chain.front_teeth", "set_up (rear sprocket_front)"},
    {"chain.rear_teeth", "set_up (rear sprocket_rear)"},
    {"chain.links", "set_up (rear chain_links)"},
    {"chain_links", "set_up (rear chain_links)"},
    {"chain.pitch_mm", "bike.mechanism.chain_pitch_mm"}};

Error by_place(Error error) {
    for (const auto& [subject, place] : places)
        if (error.subject == subject) error.subject = place;
    if (error.subject.starts_with("map.linkage")) error.subject.replace(0, 3, "bike.mechanism");
    return error;
}

// The slot of the axle, counted from its front.
std::optional<AxleSlot> slot_of(const BikeBody& bike, const SetUp& setup) {
    const auto now = setup.length(End::rear, Point::axle_position);
    if (!now || !bike.mechanism.slot_length) return std::nullopt;
    return AxleSlot{*now, mm(0), *bike.mechanism.slot_length};
}

std::optional<MeasuredLinkage> measured_linkage(const BikeBody& bike) {
    const LinkageTable table = strut_table(bike);
    const bool few = table.pairs.size() < 3;  // two tell nothing: the rise has no zero
    if (few || !bike.mechanism.linkage || !bike.geometry.swingarm) return std::nullopt;
    return MeasuredLinkage{*bike.mechanism.linkage, *bike.geometry.swingarm, table};
}

}  // namespace

Error in_file(const Error& error, const LedgerCase& c) {
    const auto& [code, subject, where] = error;
    if (code == ErrorCode::missing && where == "bike") return {code, "bike (" + subject + ")", ""};
    if (code == ErrorCode::missing && (where == "rear" || where == "front"))
        return {code, list_of(c, where, subject) + " (" + where + " " + subject + ")", ""};
    return by_place(error);
}

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

Error of_ledger_bike(const Error& error, const BikeCase& c) {
    if (error.code == ErrorCode::missing && error.subject == "bike.chain" && c.no_chain) return *c.no_chain;
    if (error.code != ErrorCode::missing || error.subject != "bike.masses") return by_place(error);
    const Point height = c.bike.carried.alone ? Point::ride_height_rider : Point::ride_height_static;
    return {error.code, "set_up (" + std::string(facts(height).key) + ")", "needed of both ends"};
}

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
    // Files of earlier versions have the slack as it was when the bike was described.
    if (described.stored(End::rear, Point::chain_slack))
        setup.at_slack = std::make_shared<const SetUp>(described);
    SetUp now = setup;
    forget_what_rolled(now, changes);
    for (const SetValue& v : changes) now.values[{v.end, v.reading.point}].reading = v.reading;
    share_fork_length({&setup, &described, &now});

    const auto before = whole_bike(c.bike, setup, described);
    const auto with_new =
        before ? fitted_with(*before, c.bike, now, described) : Result<WholeBike>(before.error());
    if (!with_new) {
        error = in_file(with_new.error(), c);
        const bool fresh_is_wrong = before && error->subject.starts_with("set_up");
        if (fresh_is_wrong) error->subject.replace(0, std::string_view("set_up").size(), "new");
        return;
    }
    if (const auto chain = chain_of(c.bike, setup, described); !chain)
        out.no_chain = in_file(chain.error(), c);
    out.before = *before;
    out.bike = *with_new;
    out.slot = slot_of(c.bike, now);
    out.measured = measured_linkage(c.bike);
    if (const auto drive = drive_of(c.bike, now, described); drive && c.bike.gearbox.rpm)
        out.engine = EngineDrive{*drive, *c.bike.gearbox.rpm};
}

}  // namespace restand::case_file
