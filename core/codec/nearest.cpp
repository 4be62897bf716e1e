#include "core/codec/nearest.h"

#include <algorithm>
#include <numeric>

namespace restand {
namespace {

// Number of edits from one word to the other (Levenshtein distance).
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

}  // namespace

std::string nearest(std::string_view word, const std::vector<std::string_view>& candidates) {
    std::string_view best;
    std::size_t least = word.size();
    for (const std::string_view candidate : candidates) {
        // A missing or extra unit suffix counts as one edit.
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
