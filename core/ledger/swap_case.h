#pragma once
// The readings of one end of a swap, and the case for the solver that they make. Inside core/ledger only.
//
// What neither the swap nor the bike's set-up knows is assumed as follows, and nothing else is assumed:
//   gas force 0; an adjuster without a known end has no limit there; an unknown pitch gives no turns;
//   a shock without ends and without pitch has a fixed length;
//   an unknown fork length is the other fork's, or 700 mm (only differences count on a leverage map);
//   the front height map comes from the rake when nothing better is known; a tyre without a size is as large
//   as the old one.
// A spring swap keeps the unit's length: the adjuster is held where it was.

#include <array>
#include <span>
#include <string_view>

#include "core/ledger/swap_site.h"

namespace restand {

// All numbers a case is made of, by phase and point; canonical units.
class CaseValues {
public:
    std::optional<double>& at(Phase phase, Point point) { return v_[index(phase, point)]; }
    std::optional<double> get(Phase phase, Point point) const { return v_[index(phase, point)]; }
    std::optional<Length> maybe(Phase phase, Point point) const {
        const auto v = get(phase, point);
        return v ? std::optional(mm(*v)) : std::nullopt;
    }
    Length length(Phase phase, Point point) const { return mm(get(phase, point).value_or(0.0)); }

private:
    static std::size_t index(Phase phase, Point point) {
        return static_cast<std::size_t>(phase) * point_count + static_cast<std::size_t>(point);
    }
    std::array<std::optional<double>, 4 * point_count> v_;
};

// The readings of one end, and which of them move the answer.
struct CaseReadings {
    const SwapSite& site;
    End end;
    CaseValues values;
    std::string_view old_tyre{}, new_tyre{};       // their markings
    std::vector<std::pair<Phase, Point>> slots{};  // of the inputs, same order
    std::vector<Input> inputs{};
    Length arm_longer{};  // the axle as answered is this much further back

    const Swap& swap() const { return site.swap; }
    bool rear() const { return end == End::rear; }
    bool whole() const { return swap().has(rear() ? SwapPart::shock : SwapPart::fork); }
};

// `axle_by`: how far the swap's chain moves the axle back; nullopt: not known, or the swap does not refit
// the chain.
Result<CaseReadings> case_readings(const SwapSite& site, End end, std::optional<Length> axle_by);
Result<SwapCase> make_case(const CaseReadings& read, const CaseValues& values, Length arm_longer);
Result<SwapCase> case_as_answered(const CaseReadings& read);
// With the axle where it was really set; as answered if that was not read.
Result<SwapCase> case_as_set(const CaseReadings& read, const Result<SwapCase>& as_answered);

// Unit length and installed length as they were really set.
struct LengthsSet { Length length, installed; };
// Error missing (detail "set") until the set readings are there.
Result<LengthsSet> lengths_set(const CaseReadings& read, const SwapCase& swap);

}  // namespace restand
