#pragma once
// A value over the season with its uncertainty band, and when it will reach its limit.
//
// Line: weighted least squares, weights 1/U², through the samples since the last change of a setting that
// moves the value. Band: 95 % prediction interval of the line (Student t, n − 2) for a sample of the mean
// weight.
// Forecast: the time when the line meets the limit; `earliest` and `latest` are the times when the edges of
// the band meet it, within 20 years. With fewer than three samples, or a slope whose 95 % interval contains
// zero, there is no forecast and `why_not` gives the reason.
// Simplifications: wear is a straight line over time; every U counts as the same multiple of its u.
// Source: Draper & Smith, Applied Regression Analysis, 3rd ed., ch. 1 and 9 (weighted) [from memory].

#include <span>
#include <string>
#include <vector>

#include "core/ledger/compare.h"
#include "core/machine/chain.h"

namespace restand {

struct Sample {
    std::int64_t at_ms = 0;
    double value = 0, expanded = 0;      // canonical, U at 95 %
    Id entry;
    bool same_setting = true;            // no setting that moves this value changed since the one before
};
enum class Watched { point, preload, free_sag, rider_sag, stiction, chain_elongation };
std::string_view key(Watched what);

// `facts`: of one bike in any order (baselines, changes, plan steps, readings of swaps, records). Result:
// oldest first. Each reading is one sample, at the time it was made, however many baselines carry it over. A
// swap's readings of phase `before` count at once; the others count when the swap is kept, because its
// baseline then holds them. Text points have no samples. Stiction: half the difference of the heights after
// lifting and after pressing, mm. Chain elongation: (length of n links) / (n pitches) − 1, a fraction
// (ISO 606).
std::vector<Sample> samples(std::span<const Fact* const> facts, Watched what, End end, Point point,
                            Length chain_pitch = usual_chain_pitch);

struct Forecast {
    double per_day = 0, per_day_expanded = 0;            // slope and its U
    std::optional<std::int64_t> meets_ms, earliest_ms, latest_ms;
    std::string why_not;                                 // key: "few", "level", "away"; empty: forecast made
};
Forecast forecast(std::span<const Sample> samples, double limit, std::int64_t now_ms);
// The value of the line at a time and the half width of its band. nullopt: fewer than three samples, or a
// time before the samples of the line when there are older samples.
std::optional<std::pair<double, double>> band_at(std::span<const Sample> samples, std::int64_t at_ms);

// The use of parts with service limits, from their entries and the bike's events. An event counts for a part
// if it was written after the part's entry and its day is after that entry too. An edited event counts from
// the time when it was first written.
struct PartUse {
    Id part; std::string name;
    double km = 0, hours = 0;
    std::optional<double> limit_km, limit_h;
    double share = 0;                                    // of the nearer limit; 0 without limits
    Id head;                                             // entry to supersede when it is serviced
};
std::vector<PartUse> part_use(std::span<const Fact* const> facts);   // of one bike, nearest its limit first

}  // namespace restand
