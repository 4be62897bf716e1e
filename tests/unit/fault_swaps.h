#pragma once
// Swaps of a shock in which one thing is wrong, simulated from the truth: how the bike really stands, what is
// read of it with the usual instruments, what the core answers, and where its answer really leads. For the
// benchmark and the tests.
//
// The bike: a leverage ratio, known exactly. Ranges of parts and loads: common practice, no source. Each
// reading is the truth, the instrument's error (the same in all of its readings of one swap; the stamp of a
// spring and a stated gas force have each their own), the usual spread of one person – of a height with the
// bike settled anew –, and the rounding to its resolution (measure/reading.h). The setting is made until the
// instrument reads what was answered.

#include <cmath>
#include <cstdio>
#include <numbers>

#include "core/ledger/swap_solution.h"
#include "tests/unit/restore_cases.h"

namespace restand::test {

enum class Fault {
    none,
    fuel_read, fuel_unread,      // 12 kg out between before and check
    rider_read, rider_unread,    // 8 kg more at the check
    gas_read, hot_gas,           // the new damper 50 K warmer at the check
    swingarm_stand,              // 'topped out' read on a stand under the swingarm: near static
    other_mark,                  // the check read to a mark 100 mm higher
    soft_spring,                 // the new spring's rate 6 % under its stamp
    collar_turn,                 // the collar set one turn off, and the answer's length typed
    top_out_spring,              // in the new shock, and nobody read it
};
inline constexpr Fault all_faults[] = {
    Fault::none,          Fault::fuel_read, Fault::fuel_unread,    Fault::rider_read,
    Fault::rider_unread,  Fault::gas_read,  Fault::hot_gas,        Fault::swingarm_stand, Fault::other_mark,
    Fault::soft_spring,   Fault::collar_turn, Fault::top_out_spring};
inline const char* name_of(Fault fault) {
    constexpr const char* names[] = {
        "none",
        "12 kg of fuel out, read", "12 kg of fuel out",
        "8 kg more rider, read", "8 kg more rider",
        "gas 50 K warmer, read", "gas 50 K warmer",
        "stand under the swingarm", "mark 100 mm off", "spring 6 % soft", "collar one turn off",
        "top-out spring"};
    return names[static_cast<std::size_t>(fault)];
}

// What is really there. Units of the new one as it was found; lengths as read unloaded.
struct Truth {
    double ratio;
    SuspensionUnit old_unit, new_unit;
    Length topped_out;             // the mark over the axle, old unit, wheel off the ground
    Force still, rider;            // wheel loads before the swap
    double new_stamp, old_stamp, new_stated, old_stated;
    bool gas_read_before, gas_read_after;
    double fuel_share, rider_share;
    double wrong_turn;             // 1 or -1
    TopOutSpring top_out;
};

inline HeightMap map_of_truth(const Truth& t) {
    return HeightMap::leverage(t.ratio)->anchored(t.old_unit.length, t.topped_out).value();
}
inline Result<Length> height_under(const Truth& t, const SuspensionUnit& as_read, Force load) {
    const auto stands = standing_under({at_stop(as_read), map_of_truth(t)}, load);
    if (!stands) return stands.error();
    return stands->height;
}

inline SuspensionUnit shock(double length, double rate, double free, double preload, double gas) {
    SuspensionUnit unit;
    unit.length = mm(length);
    unit.spring = {newton_per_mm(rate), mm(free), {}};
    unit.installed_length = mm(free - preload);
    unit.gas.topped_out = newton(gas);
    return unit;
}

// The same truth for every fault, but for the fault.
inline Truth truth_of(Random& r, Fault fault) {
    Truth t{};
    t.ratio = r.between(1.8, 2.4);
    t.topped_out = mm(r.between(480, 560));
    t.old_stamp = std::round(r.between(80, 110));
    t.new_stamp = std::round(t.old_stamp * r.between(0.9, 1.1));
    const double old_rate = t.old_stamp * r.between(0.96, 1.04);
    const double wrong = r.between(0.96, 1.04), soft = fault == Fault::soft_spring ? 0.94 : wrong;
    const double old_gas = r.between(0, 450);
    const double new_gas = std::max(0.0, old_gas + r.between(-225, 225));
    t.old_stated = old_gas / r.between(0.9, 1.1);
    t.new_stated = new_gas / r.between(0.9, 1.1);
    t.gas_read_before = !r.one_in(3);
    t.gas_read_after = !r.one_in(3);
    const double length = r.between(300, 320);
    t.old_unit = shock(length, old_rate, r.between(150, 170), r.between(8, 15), old_gas);
    t.new_unit = shock(length + r.between(-4, 4), t.new_stamp * soft, r.between(150, 170), r.between(8, 15),
                       new_gas);
    t.new_unit.travel = mm(r.between(60, 75));
    const double sag = r.between(5, 15), with_rider = sag + r.between(18, 30);
    const EndModel end{t.old_unit, map_of_truth(t)};
    t.still = standing_at(end, t.topped_out - mm(sag))->load;
    t.rider = standing_at(end, t.topped_out - mm(with_rider))->load;
    t.fuel_share = r.between(0.35, 0.55);
    t.rider_share = r.between(0.5, 0.7);
    t.wrong_turn = r.one_in(2) ? 1 : -1;
    t.top_out = {newton_per_mm(r.between(20, 60)), mm(r.between(8, 15))};
    if (fault == Fault::top_out_spring) t.new_unit.top_out = t.top_out;
    return t;
}

// The workshop's instruments on that day. A reading's errors depend on the swap, its step and its point.
class Reader {
public:
    // `repeats`: of each height, settled anew.
    Reader(std::uint64_t seed, Swap& swap, int repeats) : seed_(seed), swap_(swap), repeats_(repeats) {}
    // The error of an instrument against the truth, without spread.
    double common(Point point, double near) const {
        const Instrument i = usual_instrument(point, near);
        std::uint64_t hash = seed_;
        for (const char c : i.name) hash = hash * 1099511628211ull + static_cast<unsigned char>(c);
        return i.accuracy * Random(hash).between(-1, 1);
    }
    void read(Phase phase, Point point, double truth) const {
        const bool stamp = point == Point::spring_rate || point == Point::gas_force;
        const double off = stamp ? 0 : common(point, truth) + spread(phase, point, 0);
        type(phase, point, truth + off);
        if (!is_ride_height(point)) return;
        for (int i = 1; i < repeats_; ++i)
            type_again(phase, point, truth + common(point, truth) + spread(phase, point, i));
    }
    // As it is typed, rounded to what the instrument shows.
    void type(Phase phase, Point point, double value) const {
        Instrument i = usual_instrument(point, value);
        StoredReading stored;
        stored.reading = {point, {typed(point, value, i)}, i, ""};
        stored.at = {static_cast<std::int64_t>(phase) + 1, 0};
        swap_.stored_readings[{phase, End::rear, point}] = {stored};
    }
    double spread(Phase phase, Point point, int repeat) const {
        Random r(seed_ * 1000003 + static_cast<unsigned>(phase) * 257 + static_cast<unsigned>(point) +
                 static_cast<unsigned>(repeat) * 65537);
        const double u = std::max(1e-12, r.between(0, 1));
        return usual_spread(point).settled * std::sqrt(-2 * std::log(u)) *
               std::cos(2 * std::numbers::pi * r.between(0, 1));
    }

private:
    static Typed typed(Point point, double value, const Instrument& i) {
        const double shown = i.resolution > 0 ? std::round(value / i.resolution) * i.resolution : value;
        char text[32];
        std::snprintf(text, sizeof text, "%.3f", std::max(0.0, shown));
        return {text, chosen({}, facts(point).dimension)};
    }
    void type_again(Phase phase, Point point, double value) const {
        Reading& reading = swap_.stored_readings[{phase, End::rear, point}].front().reading;
        reading.repeats.push_back(typed(point, value, reading.instrument));
        reading.settled_anew = true;
    }

    std::uint64_t seed_;
    Swap& swap_;
    int repeats_;
};

constexpr double length_pitch = 1.0, collar_pitch = 1.5, fuel_before = 15, rider_before = 76;

inline void read_heights(const Reader& reader, Phase phase, const std::array<Length, 3>& heights) {
    for (std::size_t i = 0; i < heights.size(); ++i) reader.read(phase, ride_heights[i], in_mm(heights[i]));
}

// The heights of this unit by state. On a stand under the swingarm the wheel hangs a millimetre over static.
inline Result<std::array<Length, 3>> heights_under(const Truth& t, const SuspensionUnit& unit, Force still,
                                                   Force rider, bool on_stand) {
    const auto top = height_under(t, unit, newton(0)), alone = height_under(t, unit, still),
               loaded = height_under(t, unit, rider);
    for (const auto* height : {&top, &alone, &loaded})
        if (!*height) return height->error();
    return std::array{on_stand ? *alone + mm(1) : *top, *alone, *loaded};
}

inline void read_parts(const Reader& reader, const Truth& t) {
    using P = Point;
    for (const bool old : {true, false}) {
        const Phase phase = old ? Phase::before : Phase::new_part;
        const SuspensionUnit* unit = old ? &t.old_unit : &t.new_unit;
        reader.read(phase, P::eye_to_eye, in_mm(unit->length));
        reader.type(phase, P::spring_rate, old ? t.old_stamp : t.new_stamp);
        reader.read(phase, P::spring_free_length, in_mm(unit->spring.free_length));
        reader.read(phase, P::spring_installed_length, in_mm(unit->installed_length));
        if (old ? t.gas_read_before : t.gas_read_after)
            reader.type(phase, P::gas_force, old ? t.old_stated : t.new_stated);
    }
    reader.type(Phase::new_part, P::eye_to_eye_min, in_mm(t.new_unit.length) - 8);
    reader.type(Phase::new_part, P::eye_to_eye_max, in_mm(t.new_unit.length) + 8);
    reader.type(Phase::new_part, P::length_mm_per_turn, length_pitch);
    reader.type(Phase::new_part, P::collar_mm_per_turn, collar_pitch);
    reader.type(Phase::new_part, P::travel, in_mm(*t.new_unit.travel));
}

// The unit set until rule and calliper read what was answered.
inline SuspensionUnit as_set(const Reader& reader, const Truth& t, const Setting& answer, Fault fault) {
    using P = Point;
    SuspensionUnit unit = t.new_unit;
    const auto settled = [&](P point, Length asked) {
        reader.type(Phase::set, point, in_mm(asked));
        return asked - mm(reader.common(point, in_mm(asked)) + reader.spread(Phase::set, point, 0));
    };
    unit.length = settled(P::eye_to_eye, answer.length);
    unit.installed_length = settled(P::spring_installed_length, answer.installed_length);
    if (fault == Fault::collar_turn) unit.installed_length += mm(t.wrong_turn * collar_pitch);
    return unit;
}

struct AtCheck {
    Force still, rider;
    SuspensionUnit unit;
    Length mark{};
};
inline AtCheck at_check(const Truth& t, const SuspensionUnit& unit, Fault fault) {
    AtCheck out{t.still, t.rider, unit};
    constexpr double g = standard_gravity, fuel_out = 12, heavier = 8;
    if (fault == Fault::fuel_read || fault == Fault::fuel_unread)
        for (Force* load : {&out.still, &out.rider}) *load = *load - newton(g * fuel_out * t.fuel_share);
    if (fault == Fault::rider_read || fault == Fault::rider_unread)
        out.rider = out.rider + newton(g * heavier * t.rider_share);
    // A rod of 14 mm; sealed at 20 °C.
    const Area rod = mm(14) * mm(14) * (std::numbers::pi / 4);
    if (fault == Fault::hot_gas || fault == Fault::gas_read)
        out.unit.gas = *at_temperature(unit.gas, {20, 70, rod});
    if (fault == Fault::other_mark) out.mark = mm(100);
    return out;
}

inline void read_loads(const Reader& reader, Fault fault) {
    const double fuel_out = 12, heavier = 8;
    if (fault == Fault::fuel_read) {
        reader.read(Phase::before, Point::fuel, fuel_before);
        reader.read(Phase::check, Point::fuel, fuel_before - fuel_out);
    }
    if (fault == Fault::rider_read) {
        reader.read(Phase::before, Point::rider_mass, rider_before);
        reader.read(Phase::check, Point::rider_mass, rider_before + heavier);
    }
    if (fault == Fault::gas_read) {
        reader.read(Phase::before, Point::damper_temperature, 20);
        reader.read(Phase::check, Point::damper_temperature, 70);
    }
}

struct FaultRun {
    bool answered = false;         // there is an answer that can be set
    // Rider height, mm: of the answer's setting, true change less the one promised; its interval at 95 %
    double miss = 0, expanded = 0;
    double check_shift = 0;        // rider height as it would be read at the check without error, less before
    std::optional<Verdict> verdict{};
    double check_expanded = 0;     // of the difference that the check reads, at 95 %
    bool turns_help = false, ordered = false;
    double collar = 0, length = 0; // turns ordered
    // How far from before it really stands, with the load, mark and gas of before: left as it is; as ordered
    double left = 0, corrected = 0;
    bool worse() const { return ordered && corrected > left + 0.05; }
};

// The correction's turns on the unit as it is; not judged where it could not stand.
inline void follow(const Truth& t, const EndSolution& end, const SuspensionUnit& set, Length before,
                   FaultRun& out) {
    const auto left = height_under(t, set, t.rider);
    if (!left) return;
    out.left = std::fabs(in_mm(*left - before));
    if (!out.turns_help || !end.correction) return;
    const Setting& to = end.correction->detent;
    out.collar = to.collar_turns.value_or(0);
    out.length = to.length_turns.value_or(0);
    out.ordered = std::fabs(out.collar) > 0.1 || std::fabs(out.length) > 0.1;
    SuspensionUnit turned = set;
    turned.length += mm(out.length * length_pitch);
    turned.installed_length -= mm(out.collar * collar_pitch);
    const auto stands = height_under(t, turned, t.rider);
    out.corrected = stands ? std::fabs(in_mm(*stands - before)) : 1e3;
}

// One swap from the first reading to the correction; each height read so many times.
inline FaultRun simulate(std::uint64_t seed, Fault fault, int repeats = 1) {
    Random random(seed);
    const Truth t = truth_of(random, fault);
    const bool on_stand = fault == Fault::swingarm_stand;
    BikeBody bike;
    bike.rear.leverage = t.ratio;
    Swap swap;
    swap.parts = {SwapPart::shock};
    const Reader reader(seed, swap, repeats);
    FaultRun out;
    const auto before = heights_under(t, t.old_unit, t.still, t.rider, on_stand);
    if (!before) return out;
    read_heights(reader, Phase::before, *before);
    read_parts(reader, t);
    const SwapSite site{bike, swap};
    const SwapSolution first = solve_swap(site);
    const auto answer = uncertainty_of(site, first, End::rear);
    if (!answer || !answer->answer.held) return out;

    const Setting& setting = answer->answer.detent;
    SuspensionUnit exactly = t.new_unit;
    exactly.length = setting.length;
    exactly.installed_length = setting.installed_length;
    const auto stands = height_under(t, exactly, t.rider);
    const auto promised = answer->answer.predicted_detent.residual_at(State::rider);
    const Uncertain* change = must_hold_change(*answer);
    if (!stands || !promised || !change) return out;
    out.answered = true;
    out.miss = in_mm(*stands - before->back() - *promised);
    out.expanded = change->expanded;

    const SuspensionUnit set = as_set(reader, t, setting, fault);
    const AtCheck now = at_check(t, set, fault);
    auto again = heights_under(t, now.unit, now.still, now.rider, on_stand);
    if (!again) return out;
    for (Length& height : *again) height += now.mark;
    out.check_shift = in_mm(again->back() - before->back());
    read_heights(reader, Phase::check, *again);
    read_loads(reader, fault);
    const SwapSolution last = solve_swap(site);
    out.verdict = last.verdict();
    const EndSolution& end = *last.end(End::rear);
    const CheckResult* check = end.judged();
    out.turns_help = check && check->turns_help();
    if (check) out.check_expanded = in_mm(check->heights.back().expanded);
    follow(t, end, set, before->back(), out);
    return out;
}

}  // namespace restand::test
