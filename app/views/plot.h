#pragma once
// A plot as a drawing: axes with units, few lines, band, points and limit, each labelled in place.
// In millimetres of a page 420 x 100; the drawing widget fits it to the viewport.

#include <span>
#include <string>

#include "app/views/drawing.h"

namespace restand {

struct PlotPoint { double x = 0, y = 0, expanded = 0; bool same_setting = true; };
struct PlotBand { double x = 0, middle = 0, half = 0; };
// A spot on a curve, named below it or above.
struct PlotMark { double x = 0, y = 0; std::string text; Ink ink = Ink::ink; bool above = false; };
struct Plot {
    std::string y_name;                        // "rider sag, mm"
    std::span<const PlotPoint> points;         // x rising
    std::span<const PlotBand> band;            // x rising; may reach beyond the points
    std::span<const PlotPoint> was{};          // an earlier curve of the same quantity, drawn as a ghost
    bool curve = false;                        // a curve, without a mark at each point
    Ink ink = Ink::ink;                        // of the points
    std::string name{}, was_name{};            // label at the right end of each curve, in its ink
    std::vector<PlotMark> marks{};
    std::string x_name{};                      // "wheel travel, mm"; in place of x_text
    bool x_falls = false;                      // x is the quantity's negative: its numbers fall to the right
    std::optional<double> limit;
    std::string limit_name;
    Ink limit_ink = Ink::stop;
    double least_span = 1;                     // of y: small noise must not fill the plot
    // What stands under x: days, or nothing.
    std::string (*x_text)(double) = nullptr;
};
Drawing plot(const Plot& of);

// Round steps for an axis from `low` to `high`, about `wanted` of them: 1, 2 or 5 times a power of ten.
double axis_step(double low, double high, int wanted);

}  // namespace restand
