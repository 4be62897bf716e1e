// The samples of a value over the season.
//
// Rules
//   1  A reading is one sample, at the time it was made. A baseline that carries it over adds no sample.
//   2  A value made of two readings needs both from one moment. For preload and chain one may be older.
//   3  A setting that was measured again counts as unchanged if both readings agree within their uncertainty.
//      A setting that was set (a change, a plan step) counts as changed if its value differs at all.

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>
#include <tuple>

#include "core/ledger/day.h"
#include "core/ledger/difference.h"
#include "core/ledger/moved_by.h"
#include "core/ledger/setup.h"
#include "core/ledger/trend.h"

namespace restand {
namespace {

using P = Point;

struct Read {
    const Reading* reading = nullptr;
    Id entry;
    Clock at;
    bool set = false;  // chosen by a person, not measured
};
using Reads = std::map<Point, Read>;

// What was read at one moment, at one end.
struct Moment {
    Clock at;
    Id entry;
    Reads read;
};

class Collect {
public:
    explicit Collect(End end) : end_(end) {}

    void stored(const Fact& fact) {
        fact_ = &fact;
        std::visit(*this, fact.body);
    }
    std::vector<Moment> all() && {
        for (auto& [swap, moment] : swaps_) moments_.push_back(std::move(moment));
        place_records();
        std::sort(moments_.begin(), moments_.end(), [](const Moment& a, const Moment& b) {
            return std::tie(a.at, a.entry) < std::tie(b.at, b.entry);
        });
        return std::move(moments_);
    }

    void operator()(const BaselineBody& b) {
        const Entry& e = fact_->entry;
        Moment m{e.clock, e.id, {}};
        for (const BaselineValue& v : b.values) {
            const bool own = v.stored.entry.nil();  // typed in with the baseline
            if (v.end == end_ && !is_computed(v.stored.reading))
                m.read[v.stored.reading.point] = {&v.stored.reading, own ? e.id : v.stored.entry,
                                                  own ? e.clock : v.stored.at, false};
        }
        keep(std::move(m));
    }
    void operator()(const ChangeBody& b) { values(fact_->entry.clock, b.values, true, moments_); }
    void operator()(const PlanStepBody& b) { values(fact_->entry.clock, b.values, true, moments_); }
    void operator()(const RecordBody& b) {
        if (const auto day = noon_of(b.day)) values({*day, 0}, b.values, false, records_);
    }
    // Readings of phase `before` describe the bike as it is. A new part that is read may never be fitted.
    void operator()(const ReadingBody& b) {
        if (b.phase != Phase::before) return;
        const Entry& e = fact_->entry;
        Moment& m = swaps_[e.about];
        if (std::tie(m.at, m.entry) < std::tie(e.clock, e.id)) m.at = e.clock, m.entry = e.id;
        Read& read = m.read[b.reading.point];
        if (!read.reading || std::tie(read.at, read.entry) < std::tie(e.clock, e.id))
            read = {&b.reading, e.id, e.clock, false};
    }
    template <class T>
    void operator()(const T&) {}

private:
    void values(Clock at, const std::vector<SetValue>& list, bool set, std::vector<Moment>& to) {
        Moment m{at, fact_->entry.id, {}};
        for (const SetValue& v : list)
            if (v.end == end_) m.read[v.reading.point] = {&v.reading, m.entry, at, set};
        if (!m.read.empty()) to.push_back(std::move(m));
    }
    // A record has a day but no clock. It is placed in the last epoch that had begun by that day.
    void place_records() {
        const auto epoch_by = [&](std::int64_t ms) {
            std::uint32_t epoch = 0;
            for (const Moment& m : moments_)
                if (m.at.ms <= ms) epoch = std::max(epoch, m.at.epoch());
            return epoch;
        };
        const bool one_epoch =
            std::none_of(moments_.begin(), moments_.end(), [](const Moment& m) { return m.at.epoch() > 0; });
        std::vector<Moment> placed = std::move(records_);
        for (Moment& r : placed) {
            if (!one_epoch) r.at.counter = epoch_by(r.at.ms) << 16;
            for (auto& [point, read] : r.read) read.at = r.at;
        }
        moments_.insert(moments_.end(), std::make_move_iterator(placed.begin()),
                        std::make_move_iterator(placed.end()));
    }
    void keep(Moment m) {
        if (!m.read.empty()) moments_.push_back(std::move(m));
    }

    End end_;
    const Fact* fact_ = nullptr;
    std::vector<Moment> moments_, records_;
    std::map<Id, Moment> swaps_;
};

// The parts of each swap: a reading that does not say its end belongs to the end of its swap.
std::map<Id, std::vector<SwapPart>> swapped(std::span<const Fact* const> facts) {
    std::map<Id, std::vector<SwapPart>> swaps;
    for (const Fact* f : facts)
        if (const auto* swap = std::get_if<SwapBody>(&f->body))
            swaps[f->entry.about.nil() ? f->entry.id : f->entry.about] = tidy(swap->parts);
    return swaps;
}

std::vector<Moment> moments(std::span<const Fact* const> facts, End end) {
    const auto parts = swapped(facts);
    std::set<Id> gone;
    for (const Fact* f : facts) gone.insert(f->entry.supersedes.begin(), f->entry.supersedes.end());
    Collect collect(end);
    for (const Fact* f : facts) {
        const auto* reading = std::get_if<ReadingBody>(&f->body);
        const auto swap = parts.find(f->entry.about);
        const bool elsewhere = reading && (swap == parts.end() || read_at(*reading, swap->second).end != end);
        if (!elsewhere && !gone.contains(f->entry.id)) collect.stored(*f);
    }
    return std::move(collect).all();
}

// The readings that a value is made of. `now`: it must be read at the moment itself.
struct Needed {
    Point point;
    bool now;
};
std::vector<Needed> needed_readings(Watched what, Point point) {
    switch (what) {
        case Watched::point:
            return {{point, true}};
        case Watched::preload:
            return {{P::spring_free_length, false}, {P::spring_installed_length, false}};
        case Watched::free_sag:
            return {{P::ride_height_topped_out, true}, {P::ride_height_static, true}};
        case Watched::rider_sag:
            return {{P::ride_height_topped_out, true}, {P::ride_height_rider, true}};
        case Watched::stiction:
            return {{P::ride_height_lifted, true}, {P::ride_height_pressed, true}};
        case Watched::chain_elongation:
            return {{P::chain_gauge_length, true}, {P::chain_gauge_links, false}};
    }
    return {};
}

std::optional<Measured> watched_value(Watched what, const std::vector<Read>& of, Length pitch) {
    if (what == Watched::point) return measured(*of[0].reading);
    if (what == Watched::chain_elongation) {
        const double nominal = measured(*of[1].reading).value * in_mm(pitch);
        if (nominal <= 0) return std::nullopt;
        Measured m = measured(*of[0].reading);
        m.value = m.value / nominal - 1;
        m.u /= nominal;
        return m;
    }
    Measured m = difference(*of[0].reading, *of[1].reading, what != Watched::preload);
    if (what == Watched::stiction) m.value *= 0.5, m.u *= 0.5;
    return m;
}

// The settings that move a value. If they are equal at two samples, no setting has moved the value.
std::vector<Point> carried_by(Watched what, Point point) {
    if (what == Watched::preload) return {P::spring_installed_length, P::spring_rate, P::part_name};
    if (what == Watched::point && point == P::spring_free_length) return {P::spring_rate, P::part_name};
    if (what == Watched::chain_elongation) return {P::chain_links};
    const bool sag = what == Watched::free_sag || what == Watched::rider_sag, one = what == Watched::point;
    std::vector<Point> points;
    for (const PointFacts& each : all_points())
        if ((sag && moved_by(each.point).any_height()) || (one && moves(each.point, point)))
            points.push_back(each.point);
    // Another unit changes the heights, whatever was read of it.
    if (sag || (one && is_ride_height(point))) points.push_back(P::part_name);
    return points;
}

bool changed(const Read& was, const Read& is) {
    if (was.entry == is.entry) return false;
    if (is_text(is.reading->point))
        return was.reading->repeats.back().text != is.reading->repeats.back().text;
    const Measured m = difference(*is.reading, *was.reading, true);
    return std::fabs(m.value) > (is.set ? 1e-9 : std::max(1e-9, expanded_95(m)));
}

bool any_changed(const Reads& was, const Reads& is, const std::vector<Point>& points) {
    return std::any_of(points.begin(), points.end(), [&](Point p) {
        const auto a = was.find(p), b = is.find(p);
        return a != was.end() && b != is.end() && changed(a->second, b->second);
    });
}

// A chain does not become shorter and a spring does not become longer. If one does, another one was fitted.
bool another_part(Watched what, Point point, const Sample& was, const Sample& is) {
    const double apart = std::hypot(was.expanded, is.expanded);
    if (what == Watched::chain_elongation) return was.value - is.value > apart;
    if (what == Watched::point && point == Point::spring_free_length) return is.value - was.value > apart;
    return false;
}

// The readings of a value at a moment; empty if one is missing or if all were used in earlier samples.
std::vector<Read> fresh(const std::vector<Needed>& list, const Moment& m, const Reads& standing,
                        const std::set<std::pair<Id, Point>>& seen) {
    std::vector<Read> of;
    bool any_new = false;
    for (const Needed& n : list) {
        const bool here = m.read.contains(n.point);
        const auto it = standing.find(n.point);
        if (it == standing.end() || (n.now && !here)) return {};
        of.push_back(it->second);
        any_new = any_new || (here && !seen.contains({it->second.entry, n.point}));
    }
    return any_new ? of : std::vector<Read>{};
}

}  // namespace

std::string_view key(Watched what) {
    constexpr std::string_view keys[] = {"point",     "preload",  "free_sag",
                                         "rider_sag", "stiction", "chain_elongation"};
    return keys[static_cast<int>(what)];
}

std::vector<Sample> samples(std::span<const Fact* const> facts_, Watched what, End end, Point point,
                            Length chain_pitch) {
    std::vector<Sample> out;
    if (what == Watched::point && is_text(point)) return out;
    const auto list = needed_readings(what, point);
    const auto carriers = carried_by(what, point);
    std::set<std::pair<Id, Point>> seen;
    Reads standing, at_last;
    const std::vector<Moment> all = moments(facts_, end);
    for (const Moment& m : all) {
        for (const auto& [p, read] : m.read) standing[p] = read;
        const auto of = fresh(list, m, standing, seen);
        const auto value = of.empty() ? std::nullopt : watched_value(what, of, chain_pitch);
        if (!value) continue;
        Sample sample{0, value->value, expanded_95(*value), m.entry, true};
        for (const Read& read : of) {
            sample.at_ms = std::max(sample.at_ms, read.at.ms);
            seen.insert({read.entry, read.reading->point});
        }
        if (!out.empty())
            sample.same_setting =
                !any_changed(at_last, standing, carriers) && !another_part(what, point, out.back(), sample);
        at_last = standing;
        out.push_back(sample);
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const Sample& a, const Sample& b) { return a.at_ms < b.at_ms; });
    return out;
}

}  // namespace restand
