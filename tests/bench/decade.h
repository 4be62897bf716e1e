#pragma once
// A decade of twenty bikes: 200 000 entries as other devices would have written them.

#include <string>
#include <utility>
#include <vector>

#include "core/codec/body_json.h"
#include "core/store/store.h"
#include "tests/bench/bench.h"

namespace bench {

using namespace restand;

inline constexpr int bike_count = 20, entries_wanted = 200'000;
inline constexpr std::int64_t begun_ms = 1'450'000'000'000,
                       step_ms = 1'500'000;  // an entry every 25 minutes: ten years

inline SetValue value_of(int n) {
    const auto point = static_cast<Point>(n % 3);
    return {n % 2 ? End::rear : End::front,
            {point, {{std::to_string(400 + n % 90) + ",5", Unit::mm}}, {"tape", 0.5, 0.5}, "on the stand"}};
}
inline SetValue clicks_of(int n) {
    const Point points[] = {Point::clicks_rebound_low, Point::clicks_rebound_high,
                            Point::clicks_compression_low, Point::clicks_compression_high};
    return {n % 2 ? End::rear : End::front, {points[n % 4], {{std::to_string(n % 20), Unit::click}}, {}, ""}};
}
inline SetValue tyre_of(int n) {
    return {End::rear, {Point::tyre, {{"Slick " + std::to_string(100 + n % 40), Unit::one}}, {}, ""}};
}

// Entries as other devices would have written them, one device a bike; the store merges them.
class Decade {
public:
    Decade() {
        for (int b = 0; b < bike_count; ++b) {
            devices_.push_back({});
            BikeBody body;
            body.name = std::to_string(b + 1);
            body.rear.leverage = 2.0;
            devices_[static_cast<std::size_t>(b)].bike = add(b, encode(body)).id;
        }
    }
    // Fills the store; answers how many readings are in it.
    int write(Store& store, int until) {
        while (count_ < until) {
            next(count_ % bike_count);
            if (batch_.size() >= 5000) flush(store);
        }
        flush(store);
        return readings_;
    }
    Id bike(int b) const { return devices_[static_cast<std::size_t>(b)].bike; }
    Clock clock() const { return {begun_ms + count_ * step_ms, 0}; }
    std::vector<Entry> take() { return std::exchange(batch_, {}); }
    // What a bike's season is made of, in turn: mostly single changes and events, now and then a swap with
    // its readings and the baseline that it leaves.
    void next(int b);
    int count() const { return count_; }

private:
    struct Device {
        Id bike, ground, swap;
        Hash last{};
        std::uint64_t number = 0;
        int turn = 0;
    };
    void flush(Store& store) {
        check(must(store.merge(batch_)).refused.empty(), "all of it is whole");
        batch_.clear();
    }
    Entry add(int b, NewEntry wanted);

    std::vector<Device> devices_;
    std::vector<Entry> batch_;
    int count_ = 0, readings_ = 0;
};

inline Entry Decade::add(int b, NewEntry wanted) {
    Device& device = devices_[static_cast<std::size_t>(b)];
    Entry e;
    e.clock = clock();
    e.device = 1000 + static_cast<std::uint64_t>(b);
    e.number = ++device.number;
    e.previous = device.last;
    for (std::size_t i = 0; i < 6; ++i) e.id.bytes[i] = static_cast<std::uint8_t>(e.clock.ms >> (40 - 8 * i));
    e.id.bytes[6] = 0x70, e.id.bytes[8] = 0x80;
    for (std::size_t i = 0; i < 4; ++i)
        e.id.bytes[12 + i] = static_cast<std::uint8_t>(count_ >> (24 - 8 * i));
    e.kind = wanted.kind, e.bike = wanted.bike, e.about = wanted.about, e.by = wanted.by;
    e.supersedes = wanted.supersedes, e.body = wanted.body;
    e.hash = must(hash_of(e));
    device.last = e.hash;
    ++count_;
    batch_.push_back(e);
    return e;
}

inline void Decade::next(int b) {
    Device& device = devices_[static_cast<std::size_t>(b)];
    const Id& bike = device.bike;
    const int turn = device.turn++ % 40, n = count_;
    if (turn == 0) {
        device.swap = add(b, encode(SwapBody{{SwapPart::shock}}, bike)).id;
    } else if (turn < 9) {
        add(b, encode(ReadingBody{Phase::before, value_of(n).reading, false}, bike, device.swap)),
            ++readings_;
    } else if (turn == 9 || turn == 20 || turn == 30) {
        BaselineBody body{"round " + std::to_string(n % 12) + ", calmer over the kerbs", device.ground, {}};
        for (int i = 0; i < 54; ++i)
            body.values.push_back({value_of(i).end,
                                   {i % 3 ? value_of(n + i).reading : clicks_of(n + i).reading,
                                    {},
                                    {},
                                    clock(),
                                    device.swap,
                                    false}});
        readings_ += static_cast<int>(body.values.size());
        device.ground = add(b, encode(body, bike, turn == 9 ? device.swap : Id{})).id;
        if (turn == 9) add(b, encode(SwapEndBody{true}, bike, device.swap));
    } else if (turn % 5 == 0) {
        EventBody body;
        body.day = "2026-03-14", body.circuit = "Hillside",
        body.session = "free practice " + std::to_string(n % 4);
        body.weather = n % 3 ? "dry" : "wet",
        body.words = "turn-in slow at the hairpin, rear light when braking";
        add(b, encode(body, bike));
    } else if (turn == 39) {
        add(b, encode(RetractionBody{"undo"}, bike, {}, {},
                      {batch_.empty() ? device.ground : batch_.back().id}));
    } else {
        ChangeBody body{
            "less dive",
            {clicks_of(n), clicks_of(n + 1), value_of(n), turn % 7 ? value_of(n + 1) : tyre_of(n)}};
        readings_ += static_cast<int>(body.values.size());
        add(b, encode(body, bike));
    }
}

}  // namespace bench
