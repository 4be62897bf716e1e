#pragma once
// A value over the season with its band, and when it will meet its limit.
//
// Line: weighted least squares, weights 1/U², through the samples since something that moves the value was
// last changed; band: 95 % prediction interval of the line (Student t, n − 2) for a sample of the mean
// weight.
// Forecast: where the line meets the limit; `earliest`, `latest` where the band's edges do, 20 years at
// most. Fewer than three samples, or a slope whose 95 % interval holds zero: no forecast, and `why_not`
// says so.
// Simplifications: wear is a straight line over time; every U is taken as the same multiple of its u.
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
    bool same_setting = true;            // as the sample before: nothing that moves this value was changed
};
enum class Watched { point, preload, free_sag, rider_sag, stiction, chain_elongation };
std::string_view key(Watched what);

// Facts of one bike in any order (baselines, changes, ticks, readings of swaps, records); oldest first out.
// Each reading is one sample, at the time it was taken, however often baselines carry it on. Of a swap's
// readings those before it count, the others once the swap is kept: then its baseline holds them. Text
// points have no samples. Stiction: half the difference of the heights after lifting and after pressing,
// mm. Chain elongation: length over n links against n pitches, as a share (ISO 606).
std::vector<Sample> samples(std::span<const Fact* const> facts, Watched what, End end, Point point,
                            Length chain_pitch = usual_chain_pitch);

struct Forecast {
    double per_day = 0, per_day_expanded = 0;            // slope and its U
    std::optional<std::int64_t> meets_ms, earliest_ms, latest_ms;
    std::string why_not;                                 // key: "few", "level", "away"; empty: there is one
};
Forecast forecast(std::span<const Sample> samples, double limit, std::int64_t now_ms);
// The line's value and half width of its band at a time; nullopt with fewer than three samples, and before
// the first of those the line goes through.
std::optional<std::pair<double, double>> band_at(std::span<const Sample> samples, std::int64_t at_ms);

// Use of parts with service limits, from their entries and the bike's events. An event counts for a part
// when it was written, and when its day was, after the part's entry; written anew it counts from when it
// was first written.
struct PartUse {
    Id part; std::string name;
    double km = 0, hours = 0;
    std::optional<double> limit_km, limit_h;
    double share = 0;                                    // of the nearer limit; 0 without limits
    Id head;                                             // entry to supersede when it is serviced
};
std::vector<PartUse> part_use(std::span<const Fact* const> facts);   // of one bike, nearest its limit first

}  // namespace restand
