#pragma once
// A workshop file with as many readings as asked for: closed swaps of 33 readings, each kept as a baseline of
// 30 values, and one swap left open.

#include "core/codec/body_json.h"
#include "core/store/store.h"
#include "tests/bench/bench.h"

namespace bench {

inline restand::ReadingBody reading(int n) {
    using namespace restand;
    const auto point = static_cast<Point>(n % 3);
    return {Phase::before,
            {point, {{std::to_string(400 + n % 90) + ",5", Unit::mm}}, {"tape", 0.5, 0.5}, "on the stand"}};
}

inline void make_season(const std::string& path, int readings) {
    using namespace restand;
    Store store = must(Store::open(path, Store::Mode::create));
    const Id person = must(store.append(encode(PersonBody{"Ilse"}))).id;
    std::vector<Id> bikes;
    for (const char* name : {"27", "91", "4", "58", "12"}) {
        BikeBody bike;
        bike.name = name;
        bike.rear.leverage = 2.0;
        bikes.push_back(must(store.append(encode(bike, {}, {}, person))).id);
    }
    for (int n = 0, swap_number = 0; n < readings; ++swap_number) {
        const Id bike = bikes[static_cast<std::size_t>(swap_number) % bikes.size()];
        const Id swap = must(store.append(encode(SwapBody{{SwapPart::shock}}, bike, {}, person))).id;
        std::vector<NewEntry> entries;
        BaselineBody baseline{"feels as before", {}};
        for (int i = 0; i < step_count; ++i)
            entries.push_back(encode(StepBody{static_cast<Step6>(i)}, bike, swap, person));
        for (int i = 0; i < 33; ++i, ++n) {
            entries.push_back(encode(reading(n), bike, swap, person));
            if (i < 30)
                baseline.values.push_back(
                    {End::rear, {reading(n).reading, swap, person, {1'790'000'000'000, 0}, swap, false}});
        }
        if (n < readings) {
            entries.push_back(encode(baseline, bike, swap, person));
            entries.push_back(encode(SwapEndBody{true}, bike, swap, person));
        }
        (void)must(store.append_all(entries));
    }
}

}  // namespace bench
