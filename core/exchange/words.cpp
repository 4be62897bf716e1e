#include "core/exchange/words.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/quantity/unit.h"

namespace restand {
namespace {

std::string pretty(std::string text) {
    for (std::size_t at = text.find("<="); at != std::string::npos; at = text.find("<=", at))
        text.replace(at, 2, "≤");
    return text;
}

// Details of two parts are written "first; second".
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
    if (e.detail == "another workshop") return e.subject + " is a copy of another workshop; --other restores it all the same";
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
            return "cancelled; nothing was changed";
    }
    return e.subject;
}

// Edits from one word to the other (Levenshtein).
std::size_t distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t above = row[j];
            row[j] = std::min({above + 1, row[j - 1] + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1)});
            diagonal = above;
        }
    }
    return row[b.size()];
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

std::string_view key(ErrorCode code) {
    switch (code) {
        case ErrorCode::not_a_number:
            return "not_a_number";
        case ErrorCode::out_of_range:
            return "out_of_range";
        case ErrorCode::unknown_unit:
            return "unknown_unit";
        case ErrorCode::wrong_unit:
            return "wrong_unit";
        case ErrorCode::wrong_type:
            return "wrong_type";
        case ErrorCode::unknown_key:
            return "unknown_key";
        case ErrorCode::missing:
            return "missing";
        case ErrorCode::not_sorted:
            return "not_sorted";
        case ErrorCode::not_monotone:
            return "not_monotone";
        case ErrorCode::contradiction:
            return "contradiction";
        case ErrorCode::too_large:
            return "too_large";
        case ErrorCode::truncated:
            return "truncated";
        case ErrorCode::damaged:
            return "damaged";
        case ErrorCode::not_ours:
            return "not_ours";
        case ErrorCode::newer_version:
            return "newer_version";
        case ErrorCode::read_only:
            return "read_only";
        case ErrorCode::in_use:
            return "in_use";
        case ErrorCode::not_found:
            return "not_found";
        case ErrorCode::io:
            return "io";
        case ErrorCode::no_solution:
            return "no_solution";
        case ErrorCode::cancelled:
            return "cancelled";
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

std::string state_key(State state) {
    switch (state) {
        case State::topped_out:
            return "topped_out";
        case State::static_:
            return "static";
        case State::rider:
            return "rider";
    }
    return "";
}

std::string clocks_apart(std::int64_t apart_ms) {
    if (apart_ms == 0) return "";
    constexpr std::int64_t day_ms = 86'400'000;
    const std::int64_t days = ((apart_ms < 0 ? -apart_ms : apart_ms) + day_ms / 2) / day_ms;
    return "Another device dates its entries " + std::to_string(days) + (days == 1 ? " day " : " days ") + (apart_ms > 0 ? "after" : "before") +
           " this one's clock: one of the two clocks is wrong; set it right. What is written after an entry was seen still follows it";
}

std::string nearest(std::string_view word, const std::vector<std::string_view>& candidates) {
    std::string_view best;
    std::size_t least = word.size();
    for (const std::string_view candidate : candidates) {
        // A forgotten or a wrong unit suffix counts as near.
        const bool same_start =
            word.size() >= 4 && (candidate.starts_with(word) || word.starts_with(candidate));
        const std::size_t d = same_start ? 1 : distance(word.substr(0, 64), candidate);
        if (d >= least || d > std::max<std::size_t>(2, candidate.size() / 3)) continue;
        least = d;
        best = candidate;
    }
    return std::string(best);
}

}  // namespace restand
