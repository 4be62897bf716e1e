#include "app/views/wording.h"

#include <fmt/format.h>

#include <chrono>

namespace restand::wording {

namespace {
struct PointWords {
    Point point;
    const char* label;
    const char* guide;
};
using P = Point;
constexpr PointWords table[] = {
    {P::ride_height_topped_out, "ride height, topped out",
     "Wheel off the ground. Axle centre to the mark straight above it."},
    {P::ride_height_static, "ride height, static", "On its wheels, no rider. Settle it, let it rise, read."},
    {P::ride_height_rider, "ride height, rider",
     "Rider in kit, in position, somebody holding the bike upright."},
    {P::eye_to_eye, "eye to eye", "Centre of eye to centre of eye, nothing loading it."},
    {P::eye_to_eye_min, "eye to eye, shortest",
     "With the length adjuster wound right in, as the maker allows."},
    {P::eye_to_eye_max, "eye to eye, longest",
     "With the length adjuster wound out to the maker's limit, never past it."},
    {P::length_mm_per_turn, "length, one turn", "Measure ten turns and divide by ten."},
    {P::fork_length, "fork length", "Axle centre to the top of the tube, topped out."},
    {P::fork_position, "fork position", "Top of the tube above the upper yoke. Both legs alike."},
    {P::fork_position_min, "fork position, lowest", "The least the tubes may stand above the yoke."},
    {P::fork_position_max, "fork position, highest", "The most, before the tyre or the fender touches."},
    {P::travel, "travel", "Topped out to fully compressed, without the spring or from the maker's sheet."},
    {P::gas_force, "gas force", "What it takes to push the rod in, spring off. 0 where there is none."},
    {P::spring_rate, "spring rate",
     "What is marked is a hint; what a rate tester reads is better. Mind the unit."},
    {P::spring_free_length, "spring, free", "Loose on the bench, flat end to flat end."},
    {P::spring_installed_length, "spring, installed", "Between its seats, unit topped out."},
    {P::spring_block_length, "spring, coils touching", "Wire diameter times coils, or from the maker."},
    {P::collar_mm_per_turn, "collar, one turn", "Measure ten turns and divide by ten."},
    {P::clicks_compression_low, "compression, low speed", "Count out from fully closed, light fingers."},
    {P::clicks_compression_high, "compression, high speed", "Count out from fully closed, light fingers."},
    {P::clicks_rebound_low, "rebound, low speed", "Count out from fully closed, light fingers."},
    {P::clicks_rebound_high, "rebound, high speed", "Count out from fully closed, light fingers."},
    {P::chain_slack, "chain slack",
     "Full up and down play of the lower run, mid span, at its tightest place."},
    {P::axle_position, "axle from slot front", "Front of the slot to the axle centre. Both sides alike."},
    {P::sprocket_front, "front sprocket", "Count the teeth."},
    {P::sprocket_rear, "rear sprocket", "Count the teeth."},
    {P::chain_links, "chain links", "Inner and outer links together, the joining link too."},
    {P::tyre_pressure_cold, "tyre pressure, cold", "In the shade, before it has run."},
    {P::tyre_pressure_hot, "tyre pressure, hot", "Off the warmers, before it cools."},
    {P::chain_gauge_length, "chain, pulled tight",
     "Pin centre to pin centre over a counted number of links, chain pulled tight."},
    {P::chain_gauge_links, "links measured", "How many links lie between the two pins."},
    {P::ride_height_lifted, "ride height, after lifting",
     "Lift the end by hand, let it settle, read. No rider."},
    {P::ride_height_pressed, "ride height, after pressing",
     "Press the end down, let it rise, read. No rider."},
    {P::tyre, "tyre", "Size as on the side wall, and which one."},
    {P::part_name, "part", "What the team calls it, or what is stamped on it."},
    {P::rolling_circumference, "rolling circumference",
     "Chalk mark down, roll the bike one turn straight on, mark to mark. Pressure as it is ridden."},
    {P::link_rod, "link rod", "Centre of eye to centre of eye, off the bike."},
    {P::fork_oil_level, "fork oil level",
     "Top of the tube down to the oil: leg pushed together, spring out."},
    {P::fork_bore, "fork tube, inside", "Inside diameter of the tube the oil stands in."},
    {P::spring_preload, "spring, preload",
     "How far the collar presses it, unit topped out. 0: it just touches."},
    {P::fuel, "fuel in the tank",
     "Kilograms; a litre is about 0.75 kg. As it was when the heights were read."},
    {P::rider_mass, "rider in kit", "Kilograms, as the rider sat on the bike."},
    {P::preload_turns, "preload, in turns", "Turns of the collar from where the spring just touches."},
};

const PointWords& words_of(Point point) {
    for (const auto& w : table)
        if (w.point == point) return w;
    check(false, "a point without words");
    return table[0];
}

bool is_click(Point p) {
    return facts(p).dimension == Dimension::clicks;
}

std::string trimmed(std::string s) {
    if (s.find('.') == std::string::npos) return s;
    while (s.back() == '0') s.pop_back();
    if (s.back() == '.') s.pop_back();
    return s;
}

std::chrono::sys_time<std::chrono::milliseconds> local(std::int64_t ms, int offset_min) {
    return std::chrono::sys_time<std::chrono::milliseconds>(std::chrono::milliseconds(ms) +
                                                            std::chrono::minutes(offset_min));
}
}  // namespace

std::string label(Point point) {
    return words_of(point).label;
}

std::string short_label(Point point) {
    switch (point) {
        case P::ride_height_topped_out:
            return "topped out";
        case P::ride_height_static:
            return "static";
        case P::ride_height_rider:
            return "rider";
        case P::eye_to_eye_min:
            return "shortest";
        case P::eye_to_eye_max:
            return "longest";
        case P::length_mm_per_turn:
            return "one turn";
        case P::fork_position_min:
            return "lowest";
        case P::fork_position_max:
            return "highest";
        case P::spring_rate:
            return "rate";
        case P::spring_free_length:
            return "free";
        case P::spring_installed_length:
            return "installed";
        case P::spring_block_length:
            return "coils touch";
        case P::spring_preload:
            return "preload";
        case P::preload_turns:
            return "preload, turns";
        case P::collar_mm_per_turn:
            return "collar, a turn";
        case P::clicks_compression_low:
            return "comp., low";
        case P::clicks_compression_high:
            return "comp., high";
        case P::clicks_rebound_low:
            return "rebound, low";
        case P::clicks_rebound_high:
            return "rebound, high";
        case P::axle_position:
            return "axle in slot";
        case P::sprocket_front:
            return "front teeth";
        case P::sprocket_rear:
            return "rear teeth";
        case P::chain_links:
            return "links";
        case P::rolling_circumference:
            return "one turn rolls";
        case P::fork_oil_level:
            return "oil level";
        case P::fork_bore:
            return "tube, inside";
        case P::tyre_pressure_cold:
            return "tyre, cold";
        case P::tyre_pressure_hot:
            return "tyre, hot";
        default:
            return label(point);
    }
}

std::string guide(Point point, End end) {
    if (end == End::front && point == P::gas_force)
        return "Force of the air in both legs, topped out. 0 where there is none.";
    if (end == End::front && point == P::ride_height_topped_out)
        return "Wheel off the ground. Axle centre to the lower yoke, measured the same way every time.";
    if (end == End::front && point == P::spring_rate) return "Of one leg's spring. Mind the unit.";
    return words_of(point).guide;
}

std::string instrument(Point point, const Instrument& with) {
    if (with.resolution <= 0) return with.name;
    const Unit unit = chosen({}, facts(point).dimension);
    const std::string reads = trimmed(fmt::format("{:.3f}", from_canonical(with.resolution, unit)));
    return fmt::format("{} · reads {}{}{}", with.name, reads, symbol(unit).empty() ? "" : " ", symbol(unit));
}

std::string usual_where(Point point) {
    if (point == P::chain_slack) return "on the stand, mid span, tightest place";
    if (is_click(point)) return "out from fully closed, closed is 0";
    return "";
}

std::string step(Step6 step) {
    switch (step) {
        case Step6::before:
            return "Before";
        case Step6::new_part:
            return "New part";
        case Step6::answer:
            return "Answer";
        case Step6::set:
            return "Set";
        case Step6::check:
            return "Check";
        case Step6::keep:
            return "Keep";
    }
    return "";
}

std::string part(SwapPart part) {
    switch (part) {
        case SwapPart::shock:
            return "shock";
        case SwapPart::shock_spring:
            return "shock spring";
        case SwapPart::link_rod:
            return "link rod";
        case SwapPart::rear_tyre:
            return "rear tyre";
        case SwapPart::sprockets:
            return "sprockets";
        case SwapPart::chain:
            return "chain";
        case SwapPart::fork:
            return "fork";
        case SwapPart::fork_springs:
            return "fork springs";
        case SwapPart::fork_oil:
            return "fork oil";
        case SwapPart::front_tyre:
            return "front tyre";
    }
    return "";
}

std::string parts(const std::vector<SwapPart>& parts) {
    std::string all;
    for (const SwapPart one : parts) all += (all.empty() ? "" : ", ") + part(one);
    return all;
}

std::string usual_reason(const std::vector<SwapPart>& all) {
    return parts(all) + " swapped";
}

std::string verdict(Verdict v) {
    switch (v) {
        case Verdict::restored:
            return "restored";
        case Verdict::not_restored:
            return "not restored";
        case Verdict::cannot_tell:
            return "cannot tell";
    }
    return "";
}

std::string state(State s) {
    switch (s) {
        case State::topped_out:
            return "topped out";
        case State::static_:
            return "static";
        case State::rider:
            return "rider";
    }
    return "";
}

std::string plain(double canonical, Unit unit, std::optional<int> decimals) {
    return trimmed(
        fmt::format("{:.{}f}", from_canonical(canonical, unit), decimals.value_or(usual_decimals(unit))));
}

std::string value(double canonical, Unit unit) {
    return print_in(canonical, unit);
}

std::string value(Length length, const UnitChoice& units) {
    return print_in(length.value, units.length);
}

std::string length(Length length, const UnitChoice& units) {
    return value(length, units) + " " + std::string(symbol(units.length));
}

std::string typed_number(const Typed& typed) {
    const std::size_t end = typed.text.find_last_of("0123456789¼½¾⅛⅜⅝⅞");
    return end == std::string::npos ? typed.text : typed.text.substr(0, end + 1);
}

std::string shown(const Reading& r) {
    if (r.repeats.empty()) return "";
    if (is_text(r.point)) return r.repeats.back().text;
    if (r.repeats.size() == 1) return typed_number(r.repeats.front());
    return value(measured(r).value, r.repeats.back().unit);
}

std::string reading(const Reading& r) {
    if (r.repeats.empty()) return "";
    const std::string s(symbol(r.repeats.back().unit));
    return is_text(r.point) || s.empty() ? shown(r) : shown(r) + " " + s;
}

std::string signed_value(double canonical, Unit unit) {
    const std::string v = value(canonical, unit);
    const bool zero = v.find_first_of("123456789") == std::string::npos;
    return zero ? "0" : canonical > 0 ? "+" + v : v;
}

std::string turns(double t, const char* positive, const char* negative) {
    const std::string n = print_quarters(std::fabs(t));
    if (n == "0") return "leave it";
    const bool one = std::fabs(t) < 1.125;
    return n + (one ? " turn " : " turns ") + (t > 0 ? positive : negative);
}

namespace {
// "baseline.unit.spring.free_length_mm" is "spring, free" to a person.
std::string subject_words(const std::string& path) {
    std::string name = path.substr(path.find_last_of('.') + 1);
    name = name.substr(0, name.find('['));
    for (const char* unit : {"_n_per_mm", "_mm", "_n"})
        if (name.ends_with(unit)) {
            name.resize(name.size() - std::string_view(unit).size());
            break;
        }
    const auto point = point_of_key(name);
    return point ? label(*point) : path;
}
}  // namespace

std::string sentence(const Error& e) {
    switch (e.code) {
        case ErrorCode::not_a_number:
            return "Not a number. Type it like 312.5, 312,5 or 12 5/16.";
        case ErrorCode::unknown_unit:
            return "Unknown unit '" + e.detail + "'.";
        case ErrorCode::wrong_unit:
            return "That unit measures something else.";
        case ErrorCode::out_of_range:
            if (e.subject.empty()) return "Too large to be a reading.";
            return subject_words(e.subject) + " cannot be that. Allowed: " + e.detail + ".";
        case ErrorCode::too_large:
            return "Too long. " + e.detail;
        case ErrorCode::missing:
            return "Missing: " + subject_words(e.subject) +
                   (e.detail == "rear" || e.detail == "front" ? ", " + e.detail + "." : ".");
        case ErrorCode::contradiction:
            return subject_words(e.subject) + " does not go with the other readings: " + e.detail + ".";
        case ErrorCode::no_solution:
            return "No answer: " + e.detail + ".";
        case ErrorCode::not_monotone:
        case ErrorCode::not_sorted:
            return "The table must rise in both columns: " + e.detail + ".";
        default:
            return e.subject + (e.detail.empty() ? "" : ": " + e.detail) + ".";
    }
}

std::string out_of_range(double low, double high, Unit unit) {
    const std::string s(symbol(unit));
    return fmt::format("Cannot be. Allowed: {} to {}{}.", plain(low, unit), plain(high, unit),
                       s.empty() ? "" : " " + s);
}

std::string far_from_last(double away, Unit unit) {
    return fmt::format("{} {} from the last baseline. Same mark, same state?", signed_value(away, unit),
                       symbol(unit));
}

std::string far_from_answer(double away, Unit unit) {
    return fmt::format("{} {} from what the answer says. Is it set so?", signed_value(away, unit),
                       symbol(unit));
}

std::string longer_than_free(double free, Unit unit) {
    return fmt::format("Longer than the loose spring ({} {}). Right spring, right number?", plain(free, unit),
                       symbol(unit));
}

std::string count_again(int links, int fits) {
    return fmt::format("{} links do not fit here. Count again: {} fits. Same count?", links, fits);
}

std::string unusual(double low, double high, Unit unit) {
    return fmt::format("Usual is {} to {} {}. Right number, right unit?", plain(low, unit), plain(high, unit),
                       symbol(unit));
}

std::string day(std::int64_t ms, int utc_offset_min) {
    static constexpr const char* months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                             "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const std::chrono::year_month_day d{std::chrono::floor<std::chrono::days>(local(ms, utc_offset_min))};
    return fmt::format("{} {} {}", unsigned(d.day()), months[unsigned(d.month()) - 1], int(d.year()));
}

std::string clock(std::int64_t ms, int utc_offset_min) {
    const auto t = local(ms, utc_offset_min);
    const std::chrono::hh_mm_ss c{t - std::chrono::floor<std::chrono::days>(t)};
    return fmt::format("{:02}:{:02}:{:02}", c.hours().count(), c.minutes().count(), c.seconds().count());
}

}  // namespace restand::wording
