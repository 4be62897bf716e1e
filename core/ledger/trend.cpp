// The line through the samples of a value, its band, and the time when it meets a limit.

#include "core/ledger/trend.h"

#include <cmath>

#include "core/ledger/day.h"

namespace restand {
namespace {

// The fitted line around the weighted mean of the times. Times are in days from the first sample.
struct LineFit {
    double middle = 0, level = 0, slope = 0;
    double u_level = 0, u_slope = 0, spread = 0, weight = 0;
    double t = 0;
};

// The samples from the last change of a setting on.
std::span<const Sample> stretch(std::span<const Sample> samples) {
    std::size_t from = samples.size();
    while (from > 0 && samples[from - 1].same_setting) --from;
    return samples.subspan(from > 0 ? from - 1 : 0);
}

std::optional<LineFit> fitted_line(std::span<const Sample> samples) {
    if (samples.size() < 3) return std::nullopt;
    const auto x = [&](const Sample& s) {
        return static_cast<double>(s.at_ms - samples.front().at_ms) / day_ms;
    };
    // A sample without uncertainty gets the weight of the sample with the smallest uncertainty.
    double least = 0;
    for (const Sample& s : samples)
        if (s.expanded > 0 && (least == 0 || s.expanded < least)) least = s.expanded;
    const auto weight = [&](const Sample& s) {
        const double u = s.expanded > 0 ? s.expanded : least;
        return u > 0 ? 1 / (u * u) : 1.0;
    };
    double w = 0, wx = 0, wy = 0;
    for (const Sample& s : samples) w += weight(s), wx += weight(s) * x(s), wy += weight(s) * s.value;
    LineFit line;
    line.middle = wx / w;
    line.level = wy / w;
    double sxx = 0, sxy = 0;
    for (const Sample& s : samples) {
        const double dx = x(s) - line.middle;
        sxx += weight(s) * dx * dx;
        sxy += weight(s) * dx * (s.value - line.level);
    }
    if (sxx <= 0) return std::nullopt;
    line.slope = sxy / sxx;
    // The scatter around the line is computed from the readings, not from their U. It includes effects that U
    // does not, such as a mark that is not quite the same each time.
    double rss = 0;
    for (const Sample& s : samples)
        rss += weight(s) * std::pow(s.value - line.level - line.slope * (x(s) - line.middle), 2);
    const double dof = static_cast<double>(samples.size()) - 2;
    const double variance = rss / dof;  // for a sample of weight 1
    line.t = coverage_95(dof);
    line.u_level = std::sqrt(variance / w);
    line.u_slope = std::sqrt(variance / sxx);
    line.weight = w / static_cast<double>(samples.size());
    line.spread = std::sqrt(variance / line.weight);  // for a sample of the mean weight
    return line;
}

double at_day(const LineFit& line, double day) {
    return line.level + line.slope * (day - line.middle);
}

double half_band(const LineFit& line, double day) {
    return line.t * std::sqrt(line.spread * line.spread + line.u_level * line.u_level +
                              std::pow(line.u_slope * (day - line.middle), 2));
}

// The first day from `from` on when the line plus `sign` × half band meets the limit. Searches 20 years;
// nullopt: not within them.
std::optional<double> meets(const LineFit& line, double from, double limit, double sign) {
    const double up = line.slope > 0 ? 1 : -1;
    const auto short_of = [&](double day) {
        return up * (limit - at_day(line, day) - sign * half_band(line, day));
    };
    if (short_of(from) <= 0) return from;
    double low = from, high = from + 20 * 365.25;
    if (short_of(high) > 0) return std::nullopt;
    for (int i = 0; i < 80; ++i) {
        const double middle = (low + high) / 2;
        (short_of(middle) > 0 ? low : high) = middle;
    }
    return high;
}

}  // namespace

Forecast forecast(std::span<const Sample> all, double limit, std::int64_t now_ms) {
    const auto samples = stretch(all);
    Forecast f;
    const auto line = fitted_line(samples);
    if (!line) {
        f.why_not = "few";
        return f;
    }
    f.per_day = line->slope;
    f.per_day_expanded = line->t * line->u_slope;
    if (std::fabs(f.per_day) <= f.per_day_expanded) {
        f.why_not = "level";
        return f;
    }
    const auto day = [&](std::int64_t ms) {
        return static_cast<double>(ms - samples.front().at_ms) / day_ms;
    };
    const auto ms = [&](std::optional<double> d) -> std::optional<std::int64_t> {
        if (!d) return std::nullopt;
        return samples.front().at_ms + static_cast<std::int64_t>(*d * day_ms);
    };
    const double from = day(now_ms), up = line->slope > 0 ? 1 : -1;
    // The line was past the limit at the first sample and moves further away.
    if (up * (limit - at_day(*line, from)) < 0 && up * (limit - at_day(*line, 0)) < 0) {
        f.why_not = "away";
        return f;
    }
    // The edge of the band on the side of the limit meets it first.
    f.meets_ms = ms(meets(*line, from, limit, 0));
    f.earliest_ms = ms(meets(*line, from, limit, up));
    f.latest_ms = ms(meets(*line, from, limit, -up));
    if (!f.meets_ms) f.why_not = "away";
    return f;
}

std::optional<std::pair<double, double>> band_at(std::span<const Sample> all, std::int64_t at_ms) {
    const auto samples = stretch(all);
    const auto line = fitted_line(samples);
    if (!line || (samples.size() < all.size() && at_ms < samples.front().at_ms)) return std::nullopt;
    const double day = static_cast<double>(at_ms - samples.front().at_ms) / day_ms;
    return std::pair(at_day(*line, day), half_band(*line, day));
}

}  // namespace restand
