// Texts of the season: events, actions of the restore plan, table columns.

#include "app/views/season_wording.h"

#include <fmt/format.h>

#include <chrono>
#include <cstdlib>

#include "app/views/point_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"

namespace restand::wording {

std::string label(EventField field) {
    switch (field) {
        case EventField::day:
            return "day";
        case EventField::circuit:
            return "circuit";
        case EventField::session:
            return "session";
        case EventField::weather:
            return "weather";
        case EventField::tyre:
            return "tyre";
        case EventField::words:
            return "rider's words";
        case EventField::distance:
            return "distance, km";
        case EventField::running:
            return "running time, h";
        case EventField::air:
            return "air, °C";
        case EventField::track:
            return "track, °C";
    }
    return "";
}

std::string label(PartField field) {
    switch (field) {
        case PartField::name:
            return "part";
        case PartField::limit_km:
            return "service after, km";
        case PartField::limit_h:
            return "service after, h";
        case PartField::used_km:
            return "run so far, km";
        case PartField::used_h:
            return "run so far, h";
    }
    return "";
}

std::string label(Derived what) {
    switch (what) {
        case Derived::preload:
            return "preload";
        case Derived::free_sag:
            return "free sag";
        case Derived::rider_sag:
            return "rider sag";
        case Derived::final_drive:
            return "final drive";
        case Derived::spring_rate_at_wheel:
            return "spring rate at the wheel";
    }
    return "";
}

std::string change_of(ChangeOf of) {
    constexpr const char* names[] = {"unit's length",
                                     "spring and preload",
                                     "gas",
                                     "fork, its length and position",
                                     "link rod",
                                     "fork oil",
                                     "chain and axle",
                                     "tyre",
                                     "tank and bodywork",
                                     "insides",
                                     "settings"};
    return names[static_cast<std::size_t>(of)];
}

std::string label(Watched what, Point point) {
    switch (what) {
        case Watched::point:
            return label(point);
        case Watched::preload:
            return "preload";
        case Watched::free_sag:
            return "free sag";
        case Watched::rider_sag:
            return "rider sag";
        case Watched::stiction:
            return "stiction";
        case Watched::chain_elongation:
            return "chain elongation";
    }
    return "";
}

std::string end(End end) {
    return end == End::rear ? "rear" : "front";
}

std::string heights_not_read(const SetUp& setup) {
    std::string text;
    const auto add = [&](const std::string& what) { text += (text.empty() ? "" : ", ") + what; };
    for (const End of : {End::rear, End::front}) {
        const auto known = [&](Point height) { return setup.stored(of, height) != nullptr; };
        if (std::none_of(ride_heights.begin(), ride_heights.end(), known)) add(end(of) + " heights");
        for (const Point height : ride_heights)
            if (setup.stale.contains({of, height})) add(end(of) + " " + state(*height_state(height)));
    }
    return text.empty() ? "" : text + " not read";
}

std::string heading(End end) {
    return end == End::rear ? "Rear" : "Front";
}

std::string tried(std::size_t settings) {
    return fmt::format("{} setting{} tried, not set", settings, settings == 1 ? "" : "s");
}

std::string moment(std::string_view kind) {
    if (kind == "event") return "on the track";
    if (kind == "way") return "way back";
    if (kind == "record") return "older reading";
    return std::string(kind);
}

std::string happened(const EventBody& e) {
    std::string text;
    for (const std::string& part : {e.circuit, e.session, e.weather, e.tyre})
        if (!part.empty()) text += (text.empty() ? "" : " · ") + part;
    if (e.distance_km)
        text += fmt::format("{}{} km", text.empty() ? "" : " · ", plain(*e.distance_km, Unit::one));
    if (e.track_c)
        text += fmt::format("{}track {} °C", text.empty() ? "" : " · ", plain(*e.track_c, Unit::one));
    return text;
}

namespace {
std::string with_unit(const Typed& typed) {
    const std::string unit(symbol(typed.unit));
    return unit.empty() ? typed_number(typed) : typed_number(typed) + " " + unit;
}

std::string to(const PlanAction& a) {
    if (!a.to) return "";
    return is_text(a.point) ? a.to->text : with_unit(*a.to);
}
}  // namespace

namespace {
std::string values_line(const std::vector<SetValue>& values) {
    std::string text;
    for (const SetValue& v : values) {
        if (text.size() > 90) return text + " …";
        text += fmt::format("{}{} {}", text.empty() ? "" : " · ", label(v.reading.point, v.end),
                            reading(v.reading));
    }
    return text;
}

// One line for a moment, by its kind.
struct Said {
    std::string operator()(const BaselineBody& b) const { return b.reason; }
    std::string operator()(const SwapBody& b) const { return parts(b.parts) + " swap begun"; }
    std::string operator()(const ChangeBody& b) const {
        return b.note.empty() ? values_line(b.values) : b.note + " · " + values_line(b.values);
    }
    std::string operator()(const EventBody& b) const { return happened(b); }
    std::string operator()(const PartBody& b) const {
        return b.gone                     ? b.name + " off the bike"
               : b.used_km + b.used_h > 0 ? b.name
                                          : b.name + ", counted from here";
    }
    std::string operator()(const ReadingBody& b) const {
        return label(b.reading.point) + " " + reading(b.reading);
    }
    std::string operator()(const PlanStepBody& b) const { return values_line(b.values); }
    std::string operator()(const BikeBody& b) const { return "numbers of " + b.name; }
    std::string operator()(const ShelfBody& b) const {
        return b.gone ? b.name + " off the shelf" : b.name + " on the shelf";
    }
    std::string operator()(const JobBody& b) const {
        return b.what + (b.done ? ", done" : b.dropped ? ", dropped" : "");
    }
    std::string operator()(const PlanBody&) const { return "back to an earlier moment"; }
    std::string operator()(const RecordBody& b) const {
        return fmt::format("{}{}{}", b.day, b.source.empty() ? "" : " · " + b.source + " · ",
                           values_line(b.values));
    }
    template <class T>
    std::string operator()(const T&) const {
        return "";
    }
};

}  // namespace

std::string said(const Body& body) {
    return std::visit(Said{}, body);
}

std::string said(const NewEntry& entry) {
    const auto body = body_from_json(entry.kind, entry.body);
    return body ? said(*body) : "written by a newer Restand";
}

std::string action(const PlanAction& a, const UnitChoice& units) {
    const std::string where = end(a.end) + ": ";
    switch (a.doing) {
        case Doing::fit:
            if (a.point == Point::chain_links && a.links)
                return fmt::format("chain to {} links ({} {})", to(a), std::abs(*a.links),
                                   *a.links > 0 ? "more" : "out");
            if (a.point == Point::sprocket_front || a.point == Point::sprocket_rear)
                return fmt::format("fit {} with {} teeth", label(a.point), to(a));
            if (a.point == Point::fork_oil_level) break;  // filled to it, not fitted
            return fmt::format("{}fit {} {}", where, label(a.point), to(a));
        case Doing::set_length:
            return fmt::format("{}length {} to {}", where,
                               a.turns ? turns(*a.turns, "out", "in") : "adjuster", to(a));
        case Doing::set_preload:
            return fmt::format("{}collar {} to {}", where, a.turns ? turns(*a.turns, "in", "out") : "turned",
                               to(a));
        case Doing::set_clicks:
            return fmt::format(
                "{}{}{} to {}", where, label(a.point),
                a.clicks ? " " + counted(*a.clicks, "click", "clicks", *a.clicks > 0 ? "out" : "in") : "",
                to(a));
        case Doing::measure:
            if (a.expect)
                return fmt::format("{}measure {}, expect {}", where, label(a.point),
                                   value(*a.expect, chosen(units, facts(a.point).dimension)));
            return fmt::format("{}measure {}", where, label(a.point));
        case Doing::set_position:
        case Doing::set_axle:
        case Doing::set_slack:
        case Doing::set_pressure:
            break;
    }
    return fmt::format("{}{} to {}", where, label(a.point), to(a));
}

std::string left_out(const LeftOut& left) {
    if (left.why == LeftOut::Why::not_read_then)
        return end(left.end) + ": nothing was read of it then, it stays as it is";
    std::string clicks;
    for (const Point point : left.points) clicks += (clicks.empty() ? "" : ", ") + label(point);
    return end(left.end) + ": another damper is fitted than then; its clicks do not carry over: " + clicks;
}

std::string limit(LimitCode code, End end, const std::string& bound, const std::string& beyond) {
    switch (code) {
        case LimitCode::length_adjuster_bound:
            return fmt::format("{} ends at {}; {} more is wanted.",
                               end == End::rear ? "The length adjuster" : "The fork position", bound, beyond);
        case LimitCode::negative_preload:
            return fmt::format(
                "The spring would be loose by {}: too stiff, or too much gas force. Set with no preload.",
                beyond);
        case LimitCode::coil_bind_before_full_travel:
            return fmt::format("Coils touch {} before full travel. Do not ride it: another spring.", beyond);
        case LimitCode::off_the_map:
            return fmt::format("{} past the measured table. Measure the table further.", beyond);
        case LimitCode::travel_exhausted:
            return fmt::format("The unit's travel is {} too short.", beyond);
        case LimitCode::collar_bound:
            return fmt::format("The collar's thread ends {} too early.", beyond);
    }
    return "";
}

std::string limit(const EndLimit& of, const UnitChoice& units) {
    return heading(of.end) + ": " + limit(of.code, of.end, length(of.bound, units), length(of.beyond, units));
}

std::string column(const ColumnUse& use) {
    switch (use.is) {
        case ColumnUse::Is::nothing:
            return "not taken";
        case ColumnUse::Is::day:
            return "day";
        case ColumnUse::Is::point:
            return "what was read";
        case ColumnUse::Is::value:
            return "its number";
        case ColumnUse::Is::value_of_point:
            return fmt::format("{} ({})", label(use.point, use.end_of), symbol(use.unit));
        case ColumnUse::Is::end:
            return "rear or front";
        case ColumnUse::Is::unit:
            return "unit";
        case ColumnUse::Is::where:
            return "where it was read";
        case ColumnUse::Is::source:
            return "from where";
    }
    return "";
}

std::string file_name(const std::string& path) {
    return path.substr(path.find_last_of('/') + 1);
}

std::string file_sentence(const Error& e) {
    const std::string name = file_name(e.subject);
    const std::string more = e.detail.empty() ? "" : " (" + e.detail + ")";
    switch (e.code) {
        case ErrorCode::not_found:
            return name + " is not there any more. Put the stick back, or choose another place.";
        case ErrorCode::read_only:
            return name + " cannot be written to" + more + ". Choose another place.";
        case ErrorCode::damaged:
        case ErrorCode::truncated:
            return name + " is damaged" + more + ". Nothing was taken from it.";
        case ErrorCode::not_ours:
            return name + " is no file of Restand's. Nothing was taken from it.";
        case ErrorCode::newer_version:
            return name + " was made by a newer Restand. Update this one first.";
        case ErrorCode::too_large:
            return name + " is larger than allowed" + more + ".";
        case ErrorCode::in_use:
            return name + " is open in another Restand. Close it there first.";
        case ErrorCode::io:
            return name + ": the system refused" + more + ". Nothing was changed.";
        default:
            return wording::sentence(e);
    }
}

std::string iso_day(std::int64_t ms, int utc_offset_min) {
    const std::chrono::sys_time<std::chrono::milliseconds> at{
        std::chrono::milliseconds(ms + utc_offset_min * 60'000LL)};
    const std::chrono::year_month_day d{std::chrono::floor<std::chrono::days>(at)};
    return fmt::format("{:04}-{:02}-{:02}", int(d.year()), unsigned(d.month()), unsigned(d.day()));
}

}  // namespace restand::wording
