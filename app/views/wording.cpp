#include "app/views/wording.h"

#include <fmt/format.h>

#include <array>
#include <chrono>
#include <sstream>

#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "core/ledger/reading_at_fault.h"
#include "core/ledger/setup.h"

namespace restand::wording {

namespace {
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
        case SwapPart::load:
            return "tank or bodywork";
    }
    return "";
}

std::string parts(const std::vector<SwapPart>& parts) {
    std::string all;
    for (const SwapPart one : parts) all += (all.empty() ? "" : ", ") + part(one);
    return all;
}

std::string probability(double p) {
    if (p > 0.99) return "over 99 %";
    if (p < 0.01) return "under 1 %";
    return fmt::format("{:.0f} %", 100 * p);
}

std::string as_it_stands() {
    return "as it stands";
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
    if (r.repeats.size() == 1 && !is_computed(r)) return typed_number(r.repeats.front());
    return value(measured(r).value, r.repeats.back().unit);
}

std::string shown_in(const Reading& r, Unit unit) {
    if (r.repeats.empty() || is_text(r.point)) return shown(r);
    const std::string text = r.repeats.back().unit == unit ? shown(r) : value(measured(r).value, unit);
    return is_computed(r) ? "≈" + text : text;
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

std::string counted(double number, const char* one, const char* many, const char* direction) {
    const double n = std::fabs(number);
    return fmt::format("{} {} {}", plain(n, Unit::one), n < 1.5 ? one : many, direction);
}

namespace {
// "baseline.unit.spring.free_length_mm" is "spring, free" to a person.
std::string subject_words(const Error& e, End end) {
    if (const auto spot = reading_at_fault(e, end)) return label(spot->point);
    const auto point = point_of_key(e.subject);
    return point ? label(*point) : e.subject;
}

// The core gives a rule as "static <= topped_out".
std::string rule_words(std::string rule) {
    for (const auto& [sign, words] : {std::pair<std::string_view, std::string_view>{" <= ", " no more than "},
                                      {" < ", " less than "},
                                      {" > ", " more than "},
                                      {"topped_out", "topped out"},
                                      {"_mm", ""},
                                      {"_", " "}})
        for (std::size_t at = rule.find(sign); at != std::string::npos; at = rule.find(sign))
            rule.replace(at, sign.size(), words);
    return rule;
}

// The core gives a range as "0 < x <= 2000".
std::string range_words(const std::string& range) {
    std::array<std::string, 5> part;
    std::istringstream words(range);
    for (std::string& p : part) words >> p;
    const auto is_sign = [](const std::string& p) { return p == "<" || p == "<="; };
    if (!is_sign(part[1]) || !is_sign(part[3])) return range;
    if (part[1] == "<=" && part[3] == "<=") return part[0] + " to " + part[4];
    return (part[1] == "<" ? "more than " : "at least ") + part[0] +
           (part[3] == "<" ? ", less than " : ", at most ") + part[4];
}
}  // namespace

std::string sentence(const Error& e, End end) {
    switch (e.code) {
        case ErrorCode::not_a_number:
            return "Not a number. Type it like 312.5, 312,5 or 12 5/16.";
        case ErrorCode::unknown_unit:
            return "Unknown unit '" + e.detail + "'.";
        case ErrorCode::wrong_unit:
            return "That unit measures something else.";
        case ErrorCode::out_of_range:
            if (e.subject.empty()) return "Too large to be a reading.";
            return subject_words(e, end) + " cannot be that. Allowed: " + range_words(e.detail) + ".";
        case ErrorCode::too_large:
            return "Too long. " + e.detail;
        case ErrorCode::missing:
            return "Missing: " + subject_words(e, end) +
                   (e.detail == "rear" || e.detail == "front" ? ", " + e.detail + "." : ".");
        case ErrorCode::contradiction:
            return subject_words(e, end) + " does not go with the other readings: " + rule_words(e.detail) +
                   ".";
        case ErrorCode::no_solution:
            return "No answer: " + e.detail + ".";
        case ErrorCode::not_monotone:
        case ErrorCode::not_sorted:
            return "The table must rise in both columns: " + e.detail + ".";
        default:
            return e.subject + (e.detail.empty() ? "" : ": " + e.detail) + ".";
    }
}

std::string pen(bool night) {
    return night ? "white" : "black";
}

std::string how_many(std::size_t count, const char* one, const char* many) {
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string coils_touch(End end, Length apart, const UnitChoice& units) {
    return fmt::format("{}: Coils touch {} before full travel. Do not ride it.", heading(end),
                       length(abs(apart), units));
}

std::string chain_too_short(Length by, const UnitChoice& units) {
    const std::string much = by < mm(0.05) ? "just too short" : "too short by " + length(by, units);
    return fmt::format("Chain {} at the tight spot. Do not ride it.", much);
}

std::string day(std::int64_t ms, int utc_offset_min) {
    static constexpr const char* months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                             "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const std::chrono::year_month_day d{std::chrono::floor<std::chrono::days>(local(ms, utc_offset_min))};
    return fmt::format("{} {} {}", unsigned(d.day()), months[unsigned(d.month()) - 1], int(d.year()));
}

std::string short_day(std::int64_t ms, std::int64_t now_ms, int utc_offset_min) {
    const std::string then = day(ms, utc_offset_min), now = day(now_ms, utc_offset_min);
    const std::size_t year = then.rfind(' ');
    return then.substr(year) == now.substr(now.rfind(' ')) ? then.substr(0, year) : then;
}

std::string clock(std::int64_t ms, int utc_offset_min) {
    const auto t = local(ms, utc_offset_min);
    const std::chrono::hh_mm_ss c{t - std::chrono::floor<std::chrono::days>(t)};
    return fmt::format("{:02}:{:02}:{:02}", c.hours().count(), c.minutes().count(), c.seconds().count());
}

}  // namespace restand::wording
