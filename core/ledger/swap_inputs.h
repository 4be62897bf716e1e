#pragma once
// Every number that the answer of one end is made of, and how it is known. One pure function makes the list;
// the case, the uncertainty budget and the screens read it.
//
//   read      in this swap
//   carried   as the bike stood when the swap began; keeps its own uncertainty and its age
//   assumed   nobody read it: the middle of a range, with the range as its uncertainty; never silently 0
//
// An input may be known beside another one: 'the new gas force is that of the old damper, ± the range'. The
// two then vary together.
//
// Heights belong to one mark, rider and fuel. If one was read in this swap, another one of the same end is
// carried as its difference from it (as a sag), not as a height.
//
// Ranges of what is assumed, as half widths of rectangular distributions (common practice, no source):
//   gas force       225 ± 225 N for a damper (from no gas to a 16 mm rod at 22 bar), 90 ± 90 N for both fork
//                   legs (0 over oil of a known level); read on one side only: as there, ± the same
//   spring rate     as on the other side ± 15 %; read on neither: 95 ± 25 N/mm, fork 9.5 ± 1.5 N/mm
//   preload         10 ± 8 mm
//   sag             rider 35 ± 10 mm, free 10 ± 5 mm; a static height was read: the rider lowers it by 25 ± 8
//   unit length     as on the other side ± 10 mm; fork position 6 ± 6 mm; fork length as the other's ± 10 mm
//   tyre            turns as far as the old one ± 30 mm
//   hanging         20 ± 5 kg at the rear axle, 16 ± 4 kg at the front one; counts beside a top-out spring
//   tank, bodywork  750 ± 300 mm ahead of the rear axle; the new one's as the old one's ± 150 mm
// Exact, because only differences count: the datum of the heights if none was read, the length of a fork or
// of a shock on a leverage map, the free length of a spring whose preload is known.

#include <array>
#include <span>
#include <string_view>

#include "core/ledger/swap_site.h"

namespace restand {

enum class Origin { read, carried, assumed };
std::string_view key(Origin origin);

struct Slot {
    Phase phase;
    Point point;
    friend bool operator==(const Slot&, const Slot&) = default;
};

struct SwapInput {
    Slot slot;
    Origin origin;
    Measured known;               // canonical; with `beside`: the difference from that input's value
    std::optional<Slot> beside{};
    Instrument instrument{};      // of the reading; without a name: assumed, or two readings
    Id by{};                      // who read it, and when; nil: assumed
    Clock at{};
};
// "new_part.gas_force"
std::string name_of(const Slot& slot);

// All numbers a case is made of, by phase and point; canonical units.
class CaseValues {
public:
    std::optional<double>& at(Slot slot) { return v_[index(slot)]; }
    std::optional<double> get(Slot slot) const { return v_[index(slot)]; }
    std::optional<double>& at(Phase phase, Point point) { return at(Slot{phase, point}); }
    std::optional<double> get(Phase phase, Point point) const { return get(Slot{phase, point}); }
    std::optional<Length> maybe(Phase phase, Point point) const {
        const auto v = get(phase, point);
        return v ? std::optional(mm(*v)) : std::nullopt;
    }
    Length length(Phase phase, Point point) const { return mm(get(phase, point).value_or(0.0)); }

private:
    static std::size_t index(Slot slot) {
        return static_cast<std::size_t>(slot.phase) * point_count + static_cast<std::size_t>(slot.point);
    }
    std::array<std::optional<double>, 4 * point_count> v_;
};

// The inputs of one end.
struct SwapInputs {
    const SwapSite& site;
    End end;
    CaseValues values;                             // what is known and what is assumed
    std::vector<SwapInput> list{};                 // what moves the answer; `beside` names an earlier one
    std::string_view old_tyre{}, new_tyre{};       // their markings
    Length arm_longer{};                           // the axle as answered is this much further back

    const Swap& swap() const { return site.swap; }
    bool rear() const { return end == End::rear; }
    bool whole() const { return swap().has(rear() ? SwapPart::shock : SwapPart::fork); }
    const SwapInput* find(Slot slot) const;        // nullptr: it does not move the answer, or is exact
    bool height_read() const;                      // one of this end, before, in this swap
    // The height before the swap as it was read or carried; nullopt: assumed.
    std::optional<Measured> height_before(State state) const;
    // `values` with these numbers in place of the list's, same order.
    CaseValues with(std::span<const double> numbers) const;
};

// `axle_by`: how far the swap's chain moves the axle back; nullopt: not known, or the swap does not refit
// the chain. Error missing: a reading without which nothing can be said (swap.h), or the first wanted one if
// fewer than two are known; subject its key, detail its phase.
Result<SwapInputs> swap_inputs(const SwapSite& site, End end, std::optional<Length> axle_by);
std::vector<Input> as_inputs(std::span<const SwapInput> list);

}  // namespace restand
