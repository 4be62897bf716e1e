// The rear end over its travel: one quantity as a curve, the tried set-up against the current one.

#include <fmt/format.h>

#include <algorithm>

#include "app/trial/chassis_parts.h"
#include "app/views/plot.h"
#include "app/views/wording.h"

namespace restand {

namespace {
using Curve = std::vector<PlotPoint>;

void choice_row(TravelPlot shown, std::vector<Row>& rows) {
    rows.push_back(
        row::Choice{"plot",
                    "",
                    {"motion ratio", "wheel rate", "chain slack"},
                    {act::OverTravel{TravelPlot::motion_ratio}, act::OverTravel{TravelPlot::wheel_rate},
                     act::OverTravel{TravelPlot::slack}},
                    static_cast<std::size_t>(shown) - static_cast<std::size_t>(TravelPlot::motion_ratio)});
}

// Both curves in the plot, each with its name: blue for current, a warm colour for tried.
Drawing curves_drawn(Plot of, const Curve& tried, const Curve& as_it_is) {
    of.curve = true;
    if (tried.empty()) {
        of.points = as_it_is;
        of.ink = Ink::baseline;
        of.name = "as it is";
    } else {
        of.points = tried;
        of.ink = Ink::now;
        of.name = "tried";
        of.was = as_it_is;
        of.was_name = "as it is";
    }
    return plot(of);
}

struct Compared {
    SetUp described, now, tried;
    bool is_tried;
    Compared(const AppState& state, const Id& bike)
        : described(setup_described(state, bike)),
          now(setup_now(state.ledger, bike)),
          tried(setup_tried(state, bike)),
          is_tried(!state.trial.tried.empty()) {}
};

void draw_linkage(const Bike& bike, const Compared& setups, bool rate, PageView& page) {
    const auto curve = [&](const SetUp& setup) -> Result<Curve> {
        const auto rows = travel_of(bike.body, setup, setups.described);
        if (!rows) return rows.error();
        Curve out;
        for (const TravelRow& r : *rows)
            out.push_back({in_mm(r.wheel_travel), rate ? in_newton_per_mm(r.wheel_rate) : r.motion_ratio});
        return out;
    };
    const auto tried = curve(setups.tried), now = curve(setups.now);
    if (!tried) return missing_rows(bike, tried.error(), page.panel.rows);
    Plot of;
    of.y_name = rate ? "wheel rate, N/mm" : "motion ratio";
    of.x_name = "wheel travel, mm";
    of.least_span = rate ? 2 : 0.02;
    page.drawing = curves_drawn(std::move(of), setups.is_tried ? *tried : Curve{}, now ? *now : Curve{});
    page.wide_drawing = true;
    page.drawing.caption = "from the linkage's points";
}

// The chain's slack from the hanging wheel to the end of the travel. Travel counts from the measured ride
// height of the hanging wheel, so the curve starts at the measured slack. The linkage gives only the end of
// the travel.
struct SlackOver {
    bool travel;  // x: wheel travel; false: the swingarm's droop, falling to the right
    Unit unit;

    double x(const ChainNow& chain, Angle droop) const {
        return travel ? in_mm(chain.arm * (sin(chain.top) - sin(droop))) : -in_degrees(droop);
    }
    double y(const SlackAt& at) const { return from_canonical(at.slack.value, unit); }

    Curve curve(const ChainNow& chain) const {
        constexpr int parts = 60;
        std::vector<double> droops{chain.tight.droop.value};
        for (int i = 0; i <= parts; ++i)
            droops.push_back(chain.top.value + (chain.full.value - chain.top.value) * i / parts);
        std::sort(droops.rbegin(), droops.rend());
        Curve out;
        for (const double droop : droops)
            out.push_back({x(chain, radians(droop)), y(slack_at(chain.run, chain.arm, radians(droop)))});
        return out;
    }
    PlotMark tight(const ChainNow& chain, Ink ink, std::string text) const {
        return {x(chain, chain.tight.droop), y(chain.tight), std::move(text), ink};
    }
    std::string number(const ChainNow& chain) const { return wording::value(chain.tight.slack.value, unit); }
};

void draw_slack(const AppState& state, const Bike& bike, const Compared& setups, PageView& page) {
    const auto tried = chain_of(bike.body, setups.tried, setups.described),
               now = chain_of(bike.body, setups.now, setups.described);
    if (!tried) return missing_rows(bike, tried.error(), page.panel.rows);
    const Unit unit = state.ledger.units().length;
    const SlackOver over{travel_of(bike.body, setups.tried, setups.described).has_value(), unit};
    const std::string sign(symbol(unit));
    Plot of;
    of.y_name = "chain slack, " + sign;
    of.x_name = over.travel ? "wheel travel, mm" : "swingarm's droop, °";
    of.x_falls = !over.travel;
    of.least_span = from_canonical(4, unit);
    // One name for both marks, because they are usually close together.
    const bool taut = tried->too_short();
    std::string name = taut ? "taut at the tight spot" : "tight spot " + over.number(*tried);
    if (now && over.number(*now) != over.number(*tried)) name += " · was " + over.number(*now);
    if (now) of.marks.push_back(over.tight(*now, Ink::baseline, setups.is_tried ? "" : name));
    if (setups.is_tried) of.marks.push_back(over.tight(*tried, Ink::now, name));
    if (taut || state.trial.wanted_slack > 0) {
        of.limit = taut ? 0.0 : from_canonical(state.trial.wanted_slack, unit);
        of.limit_name = taut ? "taut" : "wanted at the tight spot";
        of.limit_ink = taut ? Ink::stop : Ink::ink;
    }
    page.drawing = curves_drawn(std::move(of), setups.is_tried ? over.curve(*tried) : Curve{},
                                now ? over.curve(*now) : Curve{});
    page.wide_drawing = true;
    page.drawing.caption = over.travel
                               ? "by the slack measured on the stand"
                               : "by the slack measured topped out · to a level arm, its travel is not known";
}
}  // namespace

void draw_travel(const AppState& state, const Bike& bike, PageView& page) {
    const TravelPlot shown = state.trial.over_travel;
    choice_row(shown, page.panel.rows);
    const Compared setups(state, bike.id);
    if (shown == TravelPlot::slack) return draw_slack(state, bike, setups, page);
    draw_linkage(bike, setups, shown == TravelPlot::wheel_rate, page);
}

}  // namespace restand
