#pragma once
// Rows that the tables of the season have in common: clicks of a damper, and how something was read.

#include "demo/season_table.h"

namespace restand::demo {

inline constexpr const char* counted = "out from fully closed, closed is 0";
inline constexpr const char* on_the_stand = "on the stand, mid span, tightest place";
inline constexpr const char* pulled_tight = "pulled tight, pin to pin, over the most worn part";

inline std::vector<Line> operator+(std::vector<Line> a, const std::vector<Line>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

// Compression low and high, rebound low and high.
inline std::vector<Line> clicks(const char* low, const char* high, const char* rebound,
                                const char* rebound_high) {
    return {{Point::clicks_compression_low, low, counted},
            {Point::clicks_compression_high, high, counted},
            {Point::clicks_rebound_low, rebound, counted},
            {Point::clicks_rebound_high, rebound_high, counted}};
}
inline std::vector<Line> clicks(const char* compression, const char* rebound) {
    return {{Point::clicks_compression_low, compression, counted},
            {Point::clicks_rebound_low, rebound, counted}};
}

}  // namespace restand::demo
