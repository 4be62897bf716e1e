// Devices whose clocks are wrong by years: a change made after seeing a value replaces that value on every
// device.

#include <doctest/doctest.h>

#include <random>

#include "tests/unit/ledger_kit.h"

using namespace restand;

namespace {

constexpr std::int64_t march_2026 = 1'772'323'200'000;  // 2026-03-01, ms
constexpr std::int64_t ten_years = 3653ll * 86'400'000;
constexpr int most_entries = 40;

struct Device {
    Clock last;
    std::int64_t wrong_by = 0;
    std::uint64_t holds = 0;  // one bit per entry
};

class History {
public:
    explicit History(std::mt19937& random) : random_(random), devices_(2 + random() % 4) {
        for (Device& d : devices_) set_clock(d);
    }
    void run() {
        for (int i = 0; i < most_entries; ++i) step();
        for (int round = 0; round < 2; ++round)
            for (Device& to : devices_)
                for (const Device& from : devices_) take(to, from, ~0ull);
        for (const Device& d : devices_) look(d, ~0ull);
    }
    int overruled = 0, out_of_order = 0, differs = 0, stepped = 0;

private:
    std::int64_t wall(const Device& d) const { return now_ + d.wrong_by; }
    void set_clock(Device& d) {
        const std::int64_t far =
            static_cast<std::int64_t>(random_() % 2'000'001) - 1'000'000;  // of ten years
        d.wrong_by = random_() % 2 ? 0 : ten_years / 1'000'000 * far;
    }
    void step() {
        now_ += static_cast<std::int64_t>(random_() % 4) * 20'000'000;
        Device& d = devices_[random_() % devices_.size()];
        const unsigned what = random_() % 10;
        if (what == 0)
            set_clock(d);
        else if (what < 5)
            change(d);
        else
            take(d, devices_[random_() % devices_.size()], random_() % 3 ? ~0ull : random_());
    }
    // A person changes a setting: the change applies on this device at once.
    void change(Device& d) {
        const int n = static_cast<int>(facts_.size());
        Fact made = test::fact(
            {.n = n + 1,
             .at = 0,
             .body = ChangeBody{"", {test::set_to(End::rear, Point::clicks_rebound_low, std::to_string(n))}},
             .bike = bike_});
        made.entry.clock = d.last = tick(d.last, wall(d));
        stepped += d.last.epoch() > 0;
        facts_.push_back(made);
        seen_.push_back(d.holds);
        d.holds |= 1ull << n;
        look(d, 1ull << n);
    }
    void take(Device& to, const Device& from, std::uint64_t part) {
        for (std::size_t i = 0; i < facts_.size(); ++i) {
            if (!(from.holds & ~to.holds & part & 1ull << i)) continue;
            to.last = std::max(to.last, facts_[i].entry.clock);
            to.holds |= 1ull << i;
        }
    }
    // No held change comes from a writer who had seen the present value: such a change would have replaced
    // it.
    void look(const Device& d, std::uint64_t wanted) {
        Ledger ledger;
        for (std::size_t i = 0; i < facts_.size(); ++i)
            if (d.holds & 1ull << i) ledger.apply(facts_[i]);
        const SetUp setup = setup_at(bike_, ledger.facts_of(bike_));
        const StoredReading* stands = setup.stored(End::rear, Point::clicks_rebound_low);
        if (!stands) {
            differs += d.holds != 0;
            return;
        }
        std::size_t at = 0;
        while (facts_[at].entry.id != stands->entry) ++at;
        differs += !(wanted & 1ull << at);
        for (std::size_t i = 0; i < facts_.size(); ++i) {
            if (!(d.holds & 1ull << i)) continue;
            overruled += (seen_[i] >> at & 1) != 0;
            for (std::size_t j = 0; j < i; ++j)
                out_of_order += (seen_[i] >> j & 1) && facts_[i].entry.clock <= facts_[j].entry.clock;
        }
    }

    std::mt19937& random_;
    std::int64_t now_ = march_2026;
    Id bike_ = test::id(1 << 20);
    std::vector<Device> devices_;
    std::vector<Fact> facts_;
    std::vector<std::uint64_t> seen_;  // entries that its writer held, by entry
};

}  // namespace

TEST_CASE(
    "clock: what a person saw and then changed stands as changed, over 20 000 histories of wrong clocks") {
    std::mt19937 random(12);
    int overruled = 0, out_of_order = 0, differs = 0, stepped = 0;
    for (int i = 0; i < 20'000; ++i) {
        History history(random);
        history.run();
        overruled += history.overruled, out_of_order += history.out_of_order, differs += history.differs;
        stepped += history.stepped;
    }
    CHECK(overruled == 0);
    CHECK(out_of_order == 0);
    CHECK(differs == 0);
    CHECK(stepped > 20'000);  // the histories contain clocks that must be stepped past
}
