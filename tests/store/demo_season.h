#pragma once
// The demo's season, made once and read back from its file.

#include <chrono>

#include "core/ledger/swap_solution.h"
#include "demo/season.h"
#include "tests/store/workshop.h"

namespace restand::test {

struct DemoSeason {
    Folder folder;
    std::string path = folder("demo.restand");
    std::vector<Entry> entries;
    Ledger ledger;

    DemoSeason() {
        got(make_demo(path));
        const Store store = open(path, Store::Mode::read);
        entries = got(store.all());
        ledger = ledger_of(entries);
    }
    std::vector<const Swap*> swaps() const {
        std::vector<const Swap*> all;
        for (const Bike* bike : ledger.bikes(true))
            for (const Swap* swap : ledger.swaps(bike->id)) all.push_back(swap);
        return all;
    }
    const Bike& bike(const std::string& name) const {
        for (const Bike* bike : ledger.bikes(true))
            if (bike->body.name == name) return *bike;
        FAIL("no bike " << name);
        return *ledger.bikes(true).front();
    }
    std::string day(std::int64_t ms) const {
        const std::chrono::sys_time<std::chrono::milliseconds> at{std::chrono::milliseconds(ms)};
        const std::chrono::year_month_day d{std::chrono::floor<std::chrono::days>(at)};
        return std::to_string(int(d.year())) + "-" + std::to_string(unsigned(d.month())) + "-" +
               std::to_string(unsigned(d.day()));
    }
};

inline const DemoSeason& demo_season() {
    static const DemoSeason made;
    return made;
}

}  // namespace restand::test
