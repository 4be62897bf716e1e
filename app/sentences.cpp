#include "app/sentences.h"

#include <algorithm>
#include <cmath>

#include "core/quantity/unit.h"

namespace restand {
namespace {

std::string pretty(std::string text) {
    for (std::size_t at = text.find("<="); at != std::string::npos; at = text.find("<=", at))
        text.replace(at, 2, "≤");
    return text;
}

// A detail about two parts has the form "first; second".
std::pair<std::string, std::string> parts_of(const std::string& detail) {
    const std::size_t at = detail.find("; ");
    if (at == std::string::npos) return {"", detail};
    return {detail.substr(0, at), detail.substr(at + 2)};
}

std::string tail(const std::string& detail) {
    return detail.empty() ? "" : "; " + detail;
}
std::string behind(const std::string& detail) {
    return detail.empty() ? "" : ": " + detail;
}

std::string of_range(const Error& e) {
    const auto [what, range] = parts_of(e.detail);
    const std::string allowed = range.empty() ? "" : "; allowed: " + range;
    return e.subject + ": " + (what.empty() ? "out of range" : what + " is out of range") + allowed;
}

std::string of_contradiction(const Error& e) {
    if (e.detail == "given twice") return e.subject + " is given twice";
    if (e.detail == "the workshop itself") return e.subject + " is the workshop itself; nothing was changed";
    if (e.detail == "another workshop")
        return e.subject + " is a copy of another workshop; --other restores it all the same";
    const auto [other, rule] = parts_of(e.detail);
    if (other.empty()) return e.subject + behind(rule);
    return e.subject + " contradicts " + other + behind(rule);
}

std::string of_newer(const Error& e) {
    return e.subject + " is from a newer Restand" + (e.detail.empty() ? "" : " (version " + e.detail + ")") +
           "; update this one to work with it";
}

std::string raw_sentence(const Error& e) {
    switch (e.code) {
        case ErrorCode::not_a_number:
            return e.subject + ": " + (e.detail.empty() ? "this" : e.detail) + " is no number";
        case ErrorCode::out_of_range:
            return of_range(e);
        case ErrorCode::unknown_unit:
            return e.subject + ": unknown unit" + behind(e.detail);
        case ErrorCode::wrong_unit:
            return e.subject + ": a unit of another kind" + behind(e.detail);
        case ErrorCode::wrong_type:
            return e.subject + ": expected " + e.detail;
        case ErrorCode::unknown_key:
            return e.subject + ": unknown key" +
                   (e.detail.empty() ? "" : "; did you mean '" + e.detail + "'?");
        case ErrorCode::missing:
            return e.subject + " is missing" + tail(e.detail);
        case ErrorCode::not_sorted:
            return e.subject + ": not in rising order" + behind(e.detail);
        case ErrorCode::not_monotone:
            return e.subject + ": ride height must rise with unit length" + behind(e.detail);
        case ErrorCode::contradiction:
            return of_contradiction(e);
        case ErrorCode::too_large:
            return e.subject + " is larger than allowed: " + e.detail;
        case ErrorCode::truncated:
            return e.subject + " is cut short" + behind(e.detail);
        case ErrorCode::damaged:
            return e.subject + " is damaged" + behind(e.detail);
        case ErrorCode::not_ours:
            return e.subject + ": this is no file of Restand's" + behind(e.detail);
        case ErrorCode::newer_version:
            return of_newer(e);
        case ErrorCode::read_only:
            return e.subject + " is read-only; nothing was written";
        case ErrorCode::in_use:
            return e.subject + " is open in another Restand; close it there first";
        case ErrorCode::not_found:
            return e.subject + " was not found" + behind(e.detail);
        case ErrorCode::io:
            return e.subject + ": the system refused" + behind(e.detail);
        case ErrorCode::no_solution:
            return "no solution (" + e.subject + ")" + behind(e.detail);
        case ErrorCode::cancelled:
            return "cancelled";
    }
    return e.subject;
}

std::string in_tenths(Length length) {
    return print_fixed(in_mm(length), 1) + " mm";
}

std::string turns(double count, std::string_view positive, std::string_view negative) {
    const std::string amount = print_quarters(count);
    if (amount == "0") return "leave as it is";
    // Up to one turn is singular: "¾ turn", "1 turn", "1¼ turns".
    const bool single = std::round(std::fabs(count) * 4.0) <= 4.0;
    return amount + (single ? " turn " : " turns ") + std::string(count > 0.0 ? positive : negative);
}

}  // namespace

std::string sentence(const Error& error) {
    return pretty(raw_sentence(error));
}

std::string sentence(const Limit& limit, End end) {
    const std::string beyond = in_tenths(limit.beyond), bound = in_tenths(limit.bound);
    const std::string further = "; " + beyond + " further would be needed";
    switch (limit.code) {
        case LimitCode::length_adjuster_bound:
            if (end == End::front) return "Fork position is at the end of its range" + further;
            return "Length adjuster ends at " + bound + further;
        case LimitCode::negative_preload:
            return "Spring would have to be loose by " + beyond +
                   ": its rate or the gas force is too high for this";
        case LimitCode::coil_bind_before_full_travel:
            return "Coils touch " + beyond + " before full travel (block length " + bound +
                   "): do not ride on it";
        case LimitCode::off_the_map:
            return "Height map ends at " + bound + " unit length" + further + ": measure more pairs";
        case LimitCode::travel_exhausted:
            return "Unit would be pushed " + beyond + " beyond its travel of " + bound;
        case LimitCode::collar_bound:
            return "Collar's thread ends at " + bound + " spring length" + further;
    }
    return "";
}

std::string length_turns(double count) {
    return turns(count, "out", "in");
}
std::string collar_turns(double count) {
    return turns(count, "in", "out");
}

std::string height_name(State state) {
    switch (state) {
        case State::topped_out:
            return "Topped out";
        case State::static_:
            return "Static";
        case State::rider:
            return "Rider";
    }
    return "";
}

std::string clocks_apart(std::int64_t apart_ms) {
    if (apart_ms == 0) return "";
    constexpr std::int64_t day_ms = 86'400'000;
    const std::int64_t days = ((apart_ms < 0 ? -apart_ms : apart_ms) + day_ms / 2) / day_ms;
    return "Another device dates its entries " + std::to_string(days) + (days == 1 ? " day " : " days ") +
           (apart_ms > 0 ? "after" : "before") +
           " this one's clock: one of the two clocks is wrong; set it right. What is written after an entry "
           "was seen still follows it";
}

}  // namespace restand
