// Each state of the bike is solved once. The implicit function theorem gives the derivatives of the state.
// Every target of that state is then an ordinary function of numbers that carry derivatives.

#include "core/restore/whole_model.h"

#include <Eigen/Dense>
#include <cmath>

#include "core/machine/chain_kernel.h"
#include "core/machine/travel_table.h"

namespace restand {
namespace {

using D = Dual<adjustable_count>;      // with respect to the adjustables
using Q = Dual<4 + adjustable_count>;  // with respect to the state and the adjustables

// The bike in one state, with derivatives.
struct Posed {
    Adjustables<D> adjustables;
    BikeState<D> state;
    GroundTerms<D> ground;
    std::optional<D> mass_height;
    LinkageTerms<D> link;
    D shock_travel;
};

D with(double value, const ByKnob& slope) {
    return D(value, slope);
}

struct SolvedStates {
    const WholeBike& bike;
    const LinkageMap& map;
    Adjustables<D> adjustables;
    std::array<std::optional<Posed>, 3> posed, leaning;
    std::array<bool, 3> stopped{};

    AtStop at_stop;

    SolvedStates(const WholeBike& b, const LinkageMap& m, const Adjustables<double>& k, AtStop stop)
        : bike(b), map(m), at_stop(stop) {
        for (int i = 0; i < adjustable_count; ++i) adjustables.at[i] = D(k.at[i], adjustable_count, i);
    }

    // `unconstrained`: without the stops, if an end stands on one in this state.
    Result<const Posed*> at(State s, bool unconstrained = false) {
        if (const auto& unconstrained_of = leaning[static_cast<std::size_t>(s)];
            unconstrained && unconstrained_of)
            return &*unconstrained_of;
        auto& place = posed[static_cast<std::size_t>(s)];
        if (place) return &*place;
        auto made = s == State::topped_out ? hung() : stood(s == State::rider ? Rider::on : Rider::off, s);
        if (!made) return made.error();
        place = std::move(*made);
        return &*place;
    }

    Posed finished(const BikeState<D>& state) const {
        Posed p{adjustables,
                state,
                ground_terms(bike, adjustables, state.droop, state.fork_travel, state.rear_radius,
                             state.front_radius),
                {},
                linkage_terms<D>(map.constants(), state.droop, adjustables[Adjustable::rod]),
                D(0.0)};
        p.shock_travel = adjustables[Adjustable::shock_length] - p.link.length;
        return p;
    }

    // Both ends hang: at the stop, l(α, rod) = shock length; else where the hanging end is in balance.
    Result<Posed> hung() const {
        const auto pose = hanging_pose(bike, map);
        if (!pose) return pose.error();
        const double droop = pose->droop.value, travel = pose->fork_travel.value;
        const auto here = linkage_terms<D>(map.constants(), D(droop), adjustables[Adjustable::rod]);
        ByKnob rear = (adjustables[Adjustable::shock_length].derivatives() - here.length.derivatives()) /
                      here.slope.value();
        ByKnob fork = ByKnob::Zero();
        if (bike.shock.top_out || bike.fork.top_out) {
            const auto left =
                hanging<Q>(bike, map.constants(), with_state(), Q(droop, 4 + adjustable_count, 0),
                           Q(travel, 4 + adjustable_count, 1));
            const auto in_balance = [](const Q& end, int row) {
                return ByKnob(-end.derivatives().tail<adjustable_count>() / end.derivatives()[row]);
            };
            if (pose->droop < *map.droop_at(bike.shock.length)) rear = in_balance(left.rear, 0);
            if (travel > 0.0) fork = in_balance(left.fork, 1);
        }
        return finished({with(droop, rear), with(travel, fork), adjustables[Adjustable::rear_radius],
                         adjustables[Adjustable::front_radius]});
    }

    // The adjustables as variables after the four of the state.
    Adjustables<Q> with_state() const {
        Adjustables<Q> k;
        const Adjustables<double> plain = adjustables_of(bike);
        for (int i = 0; i < adjustable_count; ++i) k.at[i] = Q(plain.at[i], 4 + adjustable_count, 4 + i);
        return k;
    }

    // On its wheels: the state follows the adjustables so that the balance holds.
    Result<Posed> stood(Rider rider, State as) {
        const auto stands = standing(bike, map, rider);
        if (!stands) return stands.error();
        const auto hold = [](bool top, bool bottom) {
            return top ? Hold::topped_out : bottom ? Hold::bottomed : Hold::spring;
        };
        const Hold rear = hold(stands->rear_topped_out, stands->rear_bottomed),
                   fork = hold(stands->fork_topped_out, stands->fork_bottomed);
        const bool on_stop = rear != Hold::spring || fork != Hold::spring;
        stopped[static_cast<std::size_t>(as)] = on_stop;
        if (on_stop && at_stop != AtStop::held)
            leaning[static_cast<std::size_t>(as)] =
                moved(*stands, rider, at_stop == AtStop::fork_on_spring ? rear : Hold::spring,
                      at_stop == AtStop::rear_on_spring ? fork : Hold::spring);
        return moved(*stands, rider, rear, fork);
    }

    Posed moved(const StandingBike& stands, Rider rider, Hold rear, Hold fork) const {
        const Adjustables<Q> k = with_state();
        const BikeState<Q> q{Q(stands.pose.droop.value, 4 + adjustable_count, 0),
                             Q(stands.pose.fork_travel.value, 4 + adjustable_count, 1),
                             Q(stands.radii.rear.value, 4 + adjustable_count, 2),
                             Q(stands.radii.front.value, 4 + adjustable_count, 3)};
        const auto b = balance<Q>(bike, map.constants(), k, q, rider == Rider::on, rear, fork);
        Eigen::Matrix<double, 4, 4 + adjustable_count> slopes;
        slopes << b.rear.derivatives().transpose(), b.fork.derivatives().transpose(),
            b.rear_radius.derivatives().transpose(), b.front_radius.derivatives().transpose();
        // Column 0 is the residual of the balance: zero where the bike stands, nonzero without the stop.
        Eigen::Matrix<double, 4, 1 + adjustable_count> right;
        right << Eigen::Vector4d(b.rear.value(), b.fork.value(), b.rear_radius.value(),
                                 b.front_radius.value()),
            slopes.rightCols<adjustable_count>();
        const Eigen::Matrix4d by_state = slopes.leftCols<4>();
        const Eigen::Matrix<double, 4, 1 + adjustable_count> moves = by_state.householderQr().solve(-right);
        const auto part = [&](const Q& v, int row) {
            return with(v.value() + moves(row, 0), moves.row(row).tail<adjustable_count>().transpose());
        };
        Posed p = finished(
            {part(q.droop, 0), part(q.fork_travel, 1), part(q.rear_radius, 2), part(q.front_radius, 3)});
        if (!bike.masses) return p;
        const Eigen::Matrix<double, 4 + adjustable_count, 1>& h = b.mass_height.derivatives();
        p.mass_height =
            with(b.mass_height.value() + h.head<4>().dot(moves.col(0)),
                 h.tail<adjustable_count>() + moves.rightCols<adjustable_count>().transpose() * h.head<4>());
        return p;
    }
};

D rear_height(const WholeBike& bike, const Posed& p) {
    if (!bike.tail_mark) return D(-p.ground.rear_axle.z);
    return length_of(vec<D>(*bike.tail_mark) - p.ground.rear_axle);
}
D front_height(const WholeBike& bike, const Posed& p) {
    return D(D(bike.fork.length.value) - p.adjustables[Adjustable::fork_position] - p.state.fork_travel);
}

// The slope treats the unit's own rate as constant.
D wheel_rate(const WholeBike& bike, const Posed& p) {
    const auto wheel = wheel_terms(p.adjustables[Adjustable::arm], p.state.droop, p.link.slope, p.link.bend);
    const double travel = std::max(0.0, p.shock_travel.value());
    const D force = force_terms<D>(bike.shock, D(p.shock_travel), p.adjustables[Adjustable::shock_installed]);
    const double rate = unit_terms(bike.shock, travel, false).d_travel;
    return D(rate * wheel.motion_ratio * wheel.motion_ratio + force * wheel.slope);
}

struct Slack {
    D span, excess;
};
Slack slack_terms(const ChainRun& run, const Adjustables<D>& k, const D& droop) {
    const D centre = length_of(vec<D>(run.front_sprocket) - axle_at(k[Adjustable::arm], droop));
    const auto at = run_terms(run.pitch.value, k[Adjustable::front_teeth], k[Adjustable::rear_teeth], centre);
    return {at.span, D(run.length.value / run.links * k[Adjustable::links] - at.needed)};
}

// tan σ/tan τ in per cent, as in squat().
std::optional<D> anti_squat(const WholeBike& bike, const Posed& p) {
    const auto at = squat_terms(*bike.chain, p.adjustables[Adjustable::front_teeth],
                                p.adjustables[Adjustable::rear_teeth], p.ground.rear_axle);
    if (!at || !p.mass_height) return std::nullopt;
    const D height = p.ground.height_of(at->meet), ahead = p.ground.ahead_of_rear(at->meet);
    return D(100.0 * height / ahead * p.ground.wheelbase / *p.mass_height);
}

Error target_lacks(const Target& t, const char* what) {
    return {ErrorCode::missing, std::string(key(t.what)), what};
}

struct Teller {
    const WholeBike& bike;
    SolvedStates& states;

    Result<TargetTerm> operator()(const Target& t) const {
        auto term = told(t, false);
        if (!term) return term;
        term->stopped = states.stopped[static_cast<std::size_t>(t.state)];
        if (!states.leaning[static_cast<std::size_t>(t.state)]) return term;
        const auto leant = told(t, true);
        const bool further =
            leant && leant->miss * term->miss > 0.0 && std::fabs(leant->miss) > std::fabs(term->miss);
        if (leant && (further || states.at_stop != AtStop::further)) {
            term->miss = leant->miss;
            term->slope = leant->slope;
        }
        return term;
    }
    Result<TargetTerm> told(const Target& t, bool leaning) const {
        switch (t.what) {
            case TargetKind::stand_slack:
            case TargetKind::tight_slack:
                return slack(t);
            case TargetKind::final_drive:
                if (!bike.chain) return target_lacks(t, "the chain");
                return plain(t, D(states.adjustables[Adjustable::rear_teeth] /
                                  states.adjustables[Adjustable::front_teeth]));
            case TargetKind::rear_sag:
            case TargetKind::front_sag:
                return sag(t, leaning);
            default:
                break;
        }
        const auto p = states.at(t.state, leaning);
        if (!p) return p.error();
        return posed(t, **p);
    }

private:
    static TargetTerm plain(const Target& t, const D& v) {
        return {v.value(), v.value() - t.value, v.derivatives(), v.derivatives()};
    }

    Result<TargetTerm> posed(const Target& t, const Posed& p) const {
        using std::cos, std::sin;
        constexpr double deg = 180.0 / pi;
        const D& rake = p.ground.rake;
        switch (t.what) {
            case TargetKind::rear_height:
                return plain(t, rear_height(bike, p));
            case TargetKind::front_height:
                return plain(t, front_height(bike, p));
            case TargetKind::rake:
                return plain(t, D(deg * rake));
            case TargetKind::trail:
                return plain(t,
                             D((p.state.front_radius * sin(rake) - bike.geometry.offset.value) / cos(rake)));
            case TargetKind::arm_to_ground:
                return plain(t, D(deg * (p.state.droop - p.ground.pitch)));
            case TargetKind::wheelbase:
                return plain(t, p.ground.wheelbase);
            case TargetKind::pivot_height:
                return plain(t, p.ground.height_of({D(0.0), D(0.0)}));
            case TargetKind::wheel_rate:
                return plain(t, wheel_rate(bike, p));
            default: {
                if (!bike.chain) return target_lacks(t, "the chain");
                const auto squat = p.mass_height ? anti_squat(bike, p) : std::nullopt;
                if (!squat) return target_lacks(t, "weights, and a chain that is not in line with the arm");
                return plain(t, *squat);
            }
        }
    }

    Result<TargetTerm> sag(const Target& t, bool leaning) const {
        const auto top = states.at(State::topped_out);
        if (!top) return top.error();
        const auto p = states.at(t.state, leaning);
        if (!p) return p.error();
        const auto height = t.what == TargetKind::rear_sag ? rear_height : front_height;
        return plain(t, D(height(bike, **top) - height(bike, **p)));
    }

    // The miss is computed from the excess. For a wanted slack s over a span c, the excess is √(c² + s²) − c,
    // and 1 mm of excess equals √(c² + s²)/s mm of slack.
    Result<TargetTerm> slack(const Target& t) const {
        if (!bike.chain) return target_lacks(t, "the chain");
        const auto top = states.at(State::topped_out);
        if (!top) return top.error();
        const D& droop = (*top)->state.droop;
        const Slack run = t.what == TargetKind::stand_slack
                              ? slack_terms(*bike.chain, states.adjustables, droop)
                              : tight(droop);
        const double slack = slack_of(mm(run.span.value()), mm(run.excess.value())).value;
        const double wanted = std::max(t.value, 1.0);
        const D whole = sqrt(D(run.span * run.span + wanted * wanted));
        const D miss = D((run.excess - (whole - run.span)) * (whole.value() / wanted));
        TargetTerm term{slack, miss.value(), miss.derivatives(), {}};
        if (slack > 0.0)
            term.value_slope = D(sqrt(D(run.excess * (2.0 * run.span + run.excess)))).derivatives();
        return term;
    }

    Slack tight(const D& top) const {
        const Angle at = tightest_droop(*bike.chain, least_droop(bike, states.map), radians(top.value()));
        return slack_terms(*bike.chain, states.adjustables, at.value == top.value() ? top : D(at.value));
    }
};

}  // namespace

std::string_view key(TargetKind kind) {
    constexpr std::string_view keys[] = {"rear_height",  "front_height", "rear_sag",      "front_sag",
                                         "rake",         "trail",        "arm_to_ground", "wheelbase",
                                         "pivot_height", "wheel_rate",   "stand_slack",   "tight_slack",
                                         "anti_squat",   "final_drive"};
    return keys[static_cast<int>(kind)];
}

bool is_slack(TargetKind kind) {
    return kind == TargetKind::stand_slack || kind == TargetKind::tight_slack;
}

double usual_tolerance(TargetKind kind) {
    switch (kind) {
        case TargetKind::rake:
        case TargetKind::arm_to_ground:
            return 0.1;  // a digital protractor
        case TargetKind::wheel_rate:
            return 0.5;  // springs are marked to 2 or 3 %
        case TargetKind::stand_slack:
        case TargetKind::tight_slack:
            return 5.0;  // by hand, at a rule
        case TargetKind::final_drive:
            return 5e-4;
        default:
            return 1.0;  // mm at a tape or a rule; % of anti-squat
    }
}

double tolerance_of(const Target& t) {
    return t.tolerance.value_or(usual_tolerance(t.what));
}

Result<std::vector<TargetTerm>> target_terms(const WholeBike& bike, const LinkageMap& map,
                                             const std::vector<Target>& targets,
                                             const Adjustables<double>& adjustables, AtStop at_stop) {
    SolvedStates states(bike, map, adjustables, at_stop);
    const Teller tell{bike, states};
    std::vector<TargetTerm> terms;
    terms.reserve(targets.size());
    for (const Target& t : targets) {
        auto term = tell(t);
        if (!term) return term.error();
        terms.push_back(*term);
    }
    return terms;
}

Result<std::vector<Target>> measured_by(const WholeBike& bike, std::vector<Target> targets) {
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    const auto terms = target_terms(bike, *map, targets, adjustables_of(bike));
    if (!terms) return terms.error();
    for (std::size_t i = 0; i < targets.size(); ++i) targets[i].value = (*terms)[i].value;
    return targets;
}

}  // namespace restand
