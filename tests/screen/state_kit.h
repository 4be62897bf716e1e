#pragma once
// An app state without screen or file: the test plays the disk.

#include <doctest/doctest.h>

#include "app/app.h"

namespace restand::test {

inline Field before(Point point) {
    return {.of = Field::Of::reading, .phase = Phase::before, .point = point};
}

// Answers the appends of the app state on request.
class Disk {
public:
    explicit Disk(AppState& state) : state_(state) {}
    std::size_t asked() { return collect(), jobs_.size(); }
    void answer_all() {
        for (collect(); !jobs_.empty(); collect()) answer();
    }
    void answer() {
        collect();
        REQUIRE_FALSE(jobs_.empty());
        const effect::Append job = jobs_.front();
        jobs_.erase(jobs_.begin());
        std::vector<Entry> entries;
        for (const NewEntry& n : job.entries) entries.push_back(seal(n));
        written(state_, job.job, entries);
    }
    void refuse() {
        collect();
        REQUIRE_FALSE(jobs_.empty());
        const auto job = jobs_.front().job;
        jobs_.erase(jobs_.begin());
        written(state_, job, Error{ErrorCode::io, "workshop.restand", "the disk is full"});
    }

private:
    void collect() {
        for (Effect& e : state_.effects)
            if (auto* a = std::get_if<effect::Append>(&e)) jobs_.push_back(std::move(*a));
        state_.effects.clear();
    }
    Entry seal(const NewEntry& n) {
        Entry e;
        ++number_;
        e.id.bytes[14] = static_cast<std::uint8_t>(number_ >> 8);
        e.id.bytes[15] = static_cast<std::uint8_t>(number_);
        e.device = 1;
        e.number = number_;
        e.clock = {static_cast<std::int64_t>(1000 + number_), 0};
        e.kind = n.kind, e.bike = n.bike, e.about = n.about, e.by = n.by;
        e.supersedes = n.supersedes, e.body = n.body;
        return e;
    }
    AppState& state_;
    std::vector<effect::Append> jobs_;
    std::uint64_t number_ = 0;
};

// An app state at 'before' of a shock swap, with a person selected.
struct Workshop {
    AppState state;
    Disk disk{state};
    Workshop() {
        apply(state, act::OpenTag{{.of = Field::Of::person}});
        type("Ilse");
        apply(state, act::PadNext{});
        disk.answer_all();
        apply(state, act::AddBike{});
        type("No. 5");
        apply(state, act::PadNext{});
        type("2.05");
        apply(state, act::PadNext{});
        apply(state, act::SaveBike{});
        disk.answer_all();
        apply(state, act::StartSwap{state.ledger.bikes().front()->id, {SwapPart::shock}});
        disk.answer_all();
        REQUIRE(open_swap(state));
        REQUIRE_FALSE(state.who.nil());
    }
    void type(const char* text) { apply(state, act::PadText{text}); }
    void read(Point point, const char* text) {
        apply(state, act::OpenTag{before(point)});
        type(text);
        apply(state, act::PadNext{});
    }
    std::string stands(Point point) {
        const StoredReading* stored = open_swap(state)->stored({Phase::before, End::rear, point});
        if (!stored) return "nothing";
        std::string all;
        for (const Typed& t : stored->reading.repeats) all += (all.empty() ? "" : " ") + t.text;
        return all;
    }
};

// A page of ours with a fault.
inline PageView broken_swap_page(const AppState& state) {
    check(state.screen != Screen::swap, "of this test");
    return view(state);
}
constexpr Viewport viewport{1280, 800, 5.87f};

}  // namespace restand::test
