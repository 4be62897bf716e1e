#include "app/views/plot.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace restand {

namespace {
constexpr double area_wide = 420, area_tall = 96;  // mm, of the plotting area

struct Range {
    double low = 0, high = 1;
    double at(double v, double length) const { return (v - low) / (high - low) * length; }
};

void widen(Range& r, double least) {
    const double missing = least - (r.high - r.low);
    if (missing > 0) r.low -= missing / 2, r.high += missing / 2;
    const double margin = 0.06 * (r.high - r.low);
    r.low -= margin;
    r.high += margin;
}

Range range_of_x(const Plot& of) {
    Range r{of.points.front().x, of.points.back().x};
    if (!of.band.empty())
        r.low = std::min(r.low, of.band.front().x), r.high = std::max(r.high, of.band.back().x);
    if (!of.was.empty())
        r.low = std::min(r.low, of.was.front().x), r.high = std::max(r.high, of.was.back().x);
    widen(r, 1);
    return r;
}

Range range_of_y(const Plot& of) {
    Range r{of.points.front().y, of.points.front().y};
    const auto take = [&](double low, double high) {
        r.low = std::min(r.low, low);
        r.high = std::max(r.high, high);
    };
    for (const PlotPoint& p : of.points) take(p.y - p.expanded, p.y + p.expanded);
    for (const PlotPoint& p : of.was) take(p.y, p.y);
    // A wide band far from the points may extend beyond the plot.
    const double seen = std::max(r.high - r.low, of.least_span);
    for (const PlotBand& b : of.band)
        take(std::max(b.middle - b.half, r.low - seen), std::min(b.middle + b.half, r.high + seen));
    // Room for the names of marks.
    for (const PlotMark& m : of.marks)
        take(m.above ? m.y : m.y - 0.15 * seen, m.above ? m.y + 0.08 * seen : m.y);
    if (of.limit && std::fabs(*of.limit - (r.low + r.high) / 2) < 4 * seen) take(*of.limit, *of.limit);
    widen(r, of.least_span);
    return r;
}

void axes(const Plot& of, const Range& x, const Range& y, Drawing& d) {
    d.strokes.push_back({{{0, area_tall}, {0, 0}, {area_wide, 0}}, Line::wide, Ink::ink, false, false});
    const double step = axis_step(y.low, y.high, 5);
    const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
    for (double v = std::ceil(y.low / step) * step; v <= y.high; v += step) {
        const double at = y.at(v, area_tall);
        d.strokes.push_back({{{-1.5, at}, {area_wide, at}}, Line::narrow, Ink::quiet, false, false});
        const double shown = std::fabs(v) < step / 2 ? 0.0 : v;  // avoids "-0"
        d.labels.push_back({{-3, at}, fmt::format("{:.{}f}", shown, decimals), Ink::ink, LabelAt::left});
    }
    d.labels.push_back({{0, area_tall + 6}, of.y_name, Ink::ink, LabelAt::right, true});
    if (!of.x_name.empty()) {
        const double along = axis_step(x.low, x.high, 6);
        for (double v = std::ceil(x.low / along) * along; v <= x.high; v += along) {
            const double at = x.at(v, area_wide);
            d.strokes.push_back({{{at, 0}, {at, -1.5}}, Line::narrow, Ink::ink, false, false});
            const double shown = std::fabs(v) < along / 2 ? 0.0 : of.x_falls ? -v : v;
            d.labels.push_back({{at, -6}, fmt::format("{:.0f}", shown), Ink::ink, LabelAt::middle});
        }
        d.labels.push_back({{area_wide, -16}, of.x_name, Ink::ink, LabelAt::left, true});
        return;
    }
    if (!of.x_text) return;
    constexpr int marks = 6;
    for (int i = 0; i <= marks; ++i) {
        const double v = x.low + (x.high - x.low) * i / marks, at = x.at(v, area_wide);
        d.strokes.push_back({{{at, 0}, {at, -1.5}}, Line::narrow, Ink::ink, false, false});
        d.labels.push_back({{at, -6}, of.x_text(v), Ink::ink, LabelAt::middle});
    }
}

void band(const Plot& of, const Range& x, const Range& y, Drawing& d) {
    if (of.band.size() < 2) return;
    Stroke fill{{}, Line::narrow, Ink::quiet, true, true},
        line{{}, Line::narrow, Ink::baseline, false, false};
    const auto inside = [&](double v) { return std::clamp(y.at(v, area_tall), 0.0, area_tall); };
    for (const PlotBand& b : of.band) {
        fill.points.push_back({x.at(b.x, area_wide), inside(b.middle + b.half)});
        line.points.push_back({x.at(b.x, area_wide), inside(b.middle)});
    }
    for (auto b = of.band.rbegin(); b != of.band.rend(); ++b)
        fill.points.push_back({x.at(b->x, area_wide), inside(b->middle - b->half)});
    d.strokes.push_back(std::move(fill));
    d.strokes.push_back(std::move(line));
}

void points(const Plot& of, const Range& x, const Range& y, Drawing& d) {
    Stroke ghost{{}, Line::ghost, Ink::baseline, false, false};
    for (const PlotPoint& p : of.was) ghost.points.push_back({x.at(p.x, area_wide), y.at(p.y, area_tall)});
    if (ghost.points.size() > 1) d.strokes.push_back(std::move(ghost));
    Stroke joined{{}, Line::wide, of.ink, false, false};
    for (const PlotPoint& p : of.points) {
        const Vec2 at{x.at(p.x, area_wide), y.at(p.y, area_tall)};
        // A setting was changed in between: the line breaks.
        if (!p.same_setting && joined.points.size() > 1) d.strokes.push_back(joined);
        if (!p.same_setting) joined.points.clear();
        joined.points.push_back(at);
        if (of.curve) continue;
        const double half = p.expanded / (y.high - y.low) * area_tall;
        if (half > 0.6) {
            d.strokes.push_back(
                {{{at.x, at.y - half}, {at.x, at.y + half}}, Line::narrow, Ink::ink, false, false});
            for (const double s : {-half, half})
                d.strokes.push_back(
                    {{{at.x - 1, at.y + s}, {at.x + 1, at.y + s}}, Line::narrow, Ink::ink, false, false});
        }
        d.strokes.push_back({{{at.x - 1.2, at.y - 1.2},
                              {at.x + 1.2, at.y - 1.2},
                              {at.x + 1.2, at.y + 1.2},
                              {at.x - 1.2, at.y + 1.2}},
                             Line::wide,
                             Ink::ink,
                             true,
                             true});
    }
    if (joined.points.size() > 1) d.strokes.push_back(std::move(joined));
}

// Beside the plotting area, as high as the curve ends: no line runs through a name there.
void names(const Plot& of, const Range& y, Drawing& d) {
    const auto name = [&](std::span<const PlotPoint> curve, const std::string& text, Ink ink) {
        if (curve.empty() || text.empty()) return;
        d.labels.push_back(
            {{area_wide + 3, y.at(curve.back().y, area_tall)}, text, ink, LabelAt::right, true});
    };
    name(of.points, of.name, of.ink);
    name(of.was, of.was_name, Ink::baseline);
}

void marks(const Plot& of, const Range& x, const Range& y, Drawing& d) {
    for (const PlotMark& m : of.marks) {
        const Vec2 at{x.at(m.x, area_wide), y.at(m.y, area_tall)};
        constexpr double r = 2;
        d.strokes.push_back({{{at.x - r, at.y}, {at.x, at.y + r}, {at.x + r, at.y}, {at.x, at.y - r}},
                             Line::wide,
                             m.ink,
                             true,
                             true});
        const LabelAt lies = m.above                    ? LabelAt::middle
                             : at.x < area_wide / 3     ? LabelAt::right
                             : at.x > 2 * area_wide / 3 ? LabelAt::left
                                                        : LabelAt::middle;
        if (!m.text.empty())
            d.labels.push_back({{at.x, at.y + (m.above ? 6 : -7)}, m.text, m.ink, lies, true});
    }
}
// "rider sag, mm" as name and unit.
PlotScale scale_of(const std::string& name, const Range& range, double length) {
    PlotScale out;
    const std::size_t comma = name.rfind(", ");
    out.name = name.substr(0, comma);
    if (comma != std::string::npos) out.unit = name.substr(comma + 2);
    out.zero = range.low;
    out.per_mm = (range.high - range.low) / length;
    // A tenth of a step of the axis is what can be told by eye.
    const double step = axis_step(range.low, range.high, 5) / 10;
    out.decimals = std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 6);
    return out;
}

Readout readout_of(const Plot& of, const Range& x, const Range& y) {
    Readout out;
    out.x = scale_of(of.x_name, x, area_wide);
    out.y = scale_of(of.y_name, y, area_tall);
    out.high = area_wide;
    out.top = area_tall;
    out.y.name.clear();
    out.x.text = of.x_text;
    if (of.x_falls) out.x.zero = -out.x.zero, out.x.per_mm = -out.x.per_mm;
    const auto curve = [&](std::span<const PlotPoint> points, const std::string& name) {
        if (points.empty()) return;
        Readout::Curve made{name, {}, of.curve};
        for (const PlotPoint& p : points) made.points.push_back({x.at(p.x, area_wide), y.at(p.y, area_tall)});
        out.curves.push_back(std::move(made));
    };
    curve(of.points, of.name);
    curve(of.was, of.was_name.empty() ? "as it is" : of.was_name);
    return out;
}
}  // namespace

double axis_step(double low, double high, int wanted) {
    const double rough = (high - low) / std::max(1, wanted);
    if (!(rough > 0) || !std::isfinite(rough)) return 1;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double times : {1.0, 2.0, 5.0})
        if (rough <= times * power) return times * power;
    return 10 * power;
}

Drawing plot(const Plot& of) {
    Drawing d;
    d.low = {-24, of.x_name.empty() ? -14.0 : -22.0};
    d.high = {area_wide + (of.name.empty() ? 6 : 32), area_tall + 14};
    if (of.points.empty()) return d;
    const Range x = range_of_x(of), y = range_of_y(of);
    for (const double end : {x.low, x.high, y.low, y.high})
        if (!std::isfinite(end)) return d;
    band(of, x, y, d);
    axes(of, x, y, d);
    if (of.limit && *of.limit >= y.low && *of.limit <= y.high) {
        const double at = y.at(*of.limit, area_tall);
        d.strokes.push_back({{{0, at}, {area_wide, at}}, Line::hidden, of.limit_ink, false, false});
        d.labels.push_back({{area_wide, at + 3}, of.limit_name, of.limit_ink, LabelAt::left});
    }
    points(of, x, y, d);
    marks(of, x, y, d);
    names(of, y, d);
    d.readout = readout_of(of, x, y);
    return d;
}

}  // namespace restand
