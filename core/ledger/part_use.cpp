// The use of parts with service limits.

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "core/ledger/day.h"
#include "core/ledger/trend.h"

namespace restand {
namespace {

// The time an entry was written, when it is no longer loaded: the first 48 bits of its id (UUIDv7, RFC 9562),
// ms. Its epoch is assumed to be that of the entry that names it.
std::optional<Clock> written(const Id& id, std::uint32_t epoch) {
    if (id.bytes[6] >> 4 != 7) return std::nullopt;
    Clock clock{0, epoch << 16};
    for (std::size_t i = 0; i < 6; ++i) clock.ms = clock.ms << 8 | id.bytes[i];
    return clock;
}

class Times {
public:
    explicit Times(std::span<const Fact* const> facts) {
        for (const Fact* f : facts)
            if (is_one(*f)) clock_[f->entry.id] = f->entry.clock;
    }

    // The time from which a part's entry counts. A copy made by undo counts from the time of the older entry.
    Clock of_part(const Entry& e) const {
        return e.supersedes.size() == 2 ? of(e.supersedes[1], e).value_or(e.clock) : e.clock;
    }
    // The time of the event: not after it was first written, and not after its day (noon UTC + 24 h, because
    // the end of a day depends on the time zone). Days are compared within an epoch: a part that was entered
    // while a clock ran ahead is still older.
    Clock of_event(const Entry& e, const EventBody& event) const {
        Clock clock = e.clock;
        for (const Id& id : e.supersedes)
            if (const auto first = of(id, e)) clock = std::min(clock, *first);
        if (const auto noon = noon_of(event.day))
            clock = std::min(clock, Clock{*noon + day_ms, clock.epoch() << 16});
        return clock;
    }

private:
    static bool is_one(const Fact& f) {
        return std::holds_alternative<PartBody>(f.body) || std::holds_alternative<EventBody>(f.body);
    }
    std::optional<Clock> of(const Id& id, const Entry& named_by) const {
        const auto it = clock_.find(id);
        return it == clock_.end() ? written(id, named_by.clock.epoch()) : std::optional(it->second);
    }
    std::map<Id, Clock> clock_;
};

struct Run {
    Clock at;
    double km, hours;  // sums from this event to the last one
};

// The bike's events, oldest first, each with the sum run from it to the last event.
std::vector<Run> runs_of(std::span<const Fact* const> facts, const std::set<Id>& gone, const Times& times) {
    std::vector<Run> runs;
    for (const Fact* f : facts)
        if (const auto* event = std::get_if<EventBody>(&f->body); event && !gone.contains(f->entry.id))
            runs.push_back({times.of_event(f->entry, *event), event->distance_km.value_or(0),
                            event->running_h.value_or(0)});
    std::sort(runs.begin(), runs.end(), [](const Run& a, const Run& b) {
        return std::tie(a.at, a.km, a.hours) < std::tie(b.at, b.km, b.hours);
    });
    for (std::size_t i = runs.size(); i-- > 1;)
        runs[i - 1].km += runs[i].km, runs[i - 1].hours += runs[i].hours;
    return runs;
}

}  // namespace

std::vector<PartUse> part_use(std::span<const Fact* const> facts) {
    std::set<Id> gone;
    for (const Fact* f : facts) gone.insert(f->entry.supersedes.begin(), f->entry.supersedes.end());
    const Times times(facts);
    const std::vector<Run> runs = runs_of(facts, gone, times);
    std::map<Id, const Fact*> heads;  // by part
    for (const Fact* f : facts) {
        if (!std::holds_alternative<PartBody>(f->body) || gone.contains(f->entry.id)) continue;
        const Fact*& head = heads[f->entry.about.nil() ? f->entry.id : f->entry.about];
        if (!head || earlier(head->entry, f->entry)) head = f;
    }

    std::vector<PartUse> uses;
    for (const auto& [part, head] : heads) {
        const auto& body = std::get<PartBody>(head->body);
        if (body.gone) continue;
        PartUse use{part,         body.name, body.used_km,  body.used_h, body.limit_km,
                    body.limit_h, 0,         head->entry.id};
        const Clock from = times.of_part(head->entry);
        const auto first =
            std::partition_point(runs.begin(), runs.end(), [from](const Run& r) { return r.at <= from; });
        if (first != runs.end()) use.km += first->km, use.hours += first->hours;
        if (use.limit_km && *use.limit_km > 0) use.share = use.km / *use.limit_km;
        if (use.limit_h && *use.limit_h > 0) use.share = std::max(use.share, use.hours / *use.limit_h);
        uses.push_back(std::move(use));
    }
    std::stable_sort(uses.begin(), uses.end(),
                     [](const PartUse& a, const PartUse& b) { return a.share > b.share; });
    return uses;
}

}  // namespace restand
