#include "core/ledger/trend.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::bike_id;
using test::fact;
using test::id;
using test::kept;
using test::pointers;
using test::set_to;

namespace {

using P = Point;
constexpr std::int64_t day = 86'400'000;

Sample sample(double days, double value, double expanded = 1.0) {
    return {std::llround(days * static_cast<double>(day)), value, expanded, {}, true};
}

// NIST StRD, linear regression, data set Norris (36 observations, lower level of difficulty): x, y. From
// memory; the data are verified by all five certified values that they yield.
constexpr double norris[36][2] = {
    {0.2, 0.1},     {337.4, 338.8}, {118.2, 118.1}, {884.6, 888.0}, {10.1, 9.2},    {226.5, 228.1},
    {666.3, 668.5}, {996.3, 998.5}, {448.6, 449.1}, {777.0, 778.9}, {558.2, 559.2}, {0.4, 0.3},
    {0.6, 0.1},     {775.5, 778.1}, {666.9, 668.8}, {338.0, 339.3}, {447.5, 448.9}, {11.6, 10.8},
    {556.0, 557.7}, {228.1, 228.3}, {995.8, 998.0}, {887.6, 888.8}, {120.2, 119.6}, {0.3, 0.3},
    {0.3, 0.6},     {556.8, 557.6}, {339.1, 339.3}, {887.2, 888.0}, {999.0, 998.5}, {779.0, 778.9},
    {11.1, 10.2},   {118.3, 117.6}, {229.2, 228.9}, {669.1, 668.4}, {448.9, 449.2}, {0.5, 0.2}};
constexpr double norris_b0 = -0.262323073774029, norris_sd_b0 = 0.232818234301152;
constexpr double norris_b1 = 1.00211681802045, norris_sd_b1 = 0.429796848199937e-3;
constexpr double norris_residual_sd = 0.884796396144373;

std::vector<Sample> norris_samples() {
    std::vector<Sample> all;
    for (const auto& [x, y] : norris) all.push_back(sample(x, y));
    return all;
}

std::vector<Sample> line(double level, double per_day, int n) {
    std::vector<Sample> all;
    for (int i = 0; i < n; ++i) all.push_back(sample(10 * i, level + per_day * 10 * i));
    return all;
}

std::vector<Sample> watch(const std::vector<Fact>& facts, Watched what, P point = P::spring_free_length,
                          End end = End::rear) {
    return samples(pointers(facts), what, end, point);
}

}  // namespace

TEST_CASE("trend: slope, level and their deviations as certified (NIST StRD Norris)") {
    const auto all = norris_samples();
    const Forecast f = forecast(all, 1e6, 0);
    const double t = coverage_95(34);
    CHECK(f.per_day == doctest::Approx(norris_b1).epsilon(1e-12));
    CHECK(f.per_day_expanded / t == doctest::Approx(norris_sd_b1).epsilon(1e-10));
    const auto at_zero = band_at(all, 0);
    REQUIRE(at_zero);
    CHECK(at_zero->first == doctest::Approx(norris_b0).epsilon(1e-9));
    // The uncertainty of a prediction at 0 combines that of the line there and that of one more reading.
    CHECK(at_zero->second / t == doctest::Approx(std::hypot(norris_sd_b0, norris_residual_sd)).epsilon(1e-9));
}

TEST_CASE("trend: the order of samples does not matter, nor do their common U, shift and scale") {
    auto all = norris_samples();
    const Forecast f = forecast(all, 1500, 0);
    const auto band = *band_at(all, 500 * day);
    std::mt19937 random(1);
    std::shuffle(all.begin(), all.end(), random);
    CHECK(forecast(all, 1500, 0).per_day == doctest::Approx(f.per_day));
    for (Sample& s : all) s.expanded = 0.03;
    CHECK(forecast(all, 1500, 0).per_day_expanded == doctest::Approx(f.per_day_expanded));
    // y → 7 − 3·y, later by 400 days.
    for (Sample& s : all) s.value = 7 - 3 * s.value, s.at_ms += 400 * day;
    const Forecast g = forecast(all, 7 - 3 * 1500.0, 400 * day);
    CHECK(g.per_day == doctest::Approx(-3 * f.per_day));
    CHECK(g.per_day_expanded == doctest::Approx(3 * f.per_day_expanded));
    CHECK(std::llabs(*g.meets_ms - *f.meets_ms - 400 * day) <= 2);
    CHECK(std::llabs(*g.earliest_ms - *f.earliest_ms - 400 * day) <= 2);
    const auto moved = *band_at(all, 900 * day);
    CHECK(moved.first == doctest::Approx(7 - 3 * band.first));
    CHECK(moved.second == doctest::Approx(3 * band.second));
}

TEST_CASE("trend: weights count: two samples of half the U pull like eight of the whole") {
    std::vector<Sample> weighted = {sample(0, 1, 0.5), sample(0, 1.4, 0.5), sample(10, 3, 1),
                                    sample(20, 2, 1)};
    std::vector<Sample> repeated;
    for (int i = 0; i < 4; ++i) repeated.push_back(sample(0, 1)), repeated.push_back(sample(0, 1.4));
    repeated.push_back(sample(10, 3)), repeated.push_back(sample(20, 2));
    CHECK(forecast(weighted, 9, 0).per_day == doctest::Approx(forecast(repeated, 9, 0).per_day));
}

TEST_CASE("trend: a line without noise meets its limit when it must") {
    const auto all = line(0.001, 0.0002, 5);  // elongation; 1 % after 45 days
    const Forecast f = forecast(all, 0.01, 40 * day);
    CHECK(f.why_not == "");
    CHECK(f.per_day == doctest::Approx(0.0002));
    for (const auto& when : {f.meets_ms, f.earliest_ms, f.latest_ms}) {
        REQUIRE(when);
        CHECK(std::llabs(*when - 45 * day) <= 1000);
    }
    // The same for a fall towards a lower limit. A limit that was met in the past is met now.
    CHECK(std::llabs(*forecast(line(10, -0.1, 5), 5, 40 * day).meets_ms - 50 * day) <= 1000);
    CHECK(*forecast(all, 0.01, 60 * day).meets_ms == 60 * day);
}

TEST_CASE("trend: no forecast from too little, from no slope, or away from the limit") {
    CHECK(forecast(line(1, 1, 2), 9, 0).why_not == "few");
    CHECK(forecast({}, 9, 0).why_not == "few");
    const std::vector<Sample> one_day = {sample(1, 1), sample(1, 2), sample(1, 3)};
    CHECK(forecast(one_day, 9, 0).why_not == "few");
    const std::vector<Sample> noise = {sample(0, 1), sample(10, 3), sample(20, 1), sample(30, 2.5),
                                       sample(40, 1.5)};
    const Forecast level = forecast(noise, 9, 0);
    CHECK(level.why_not == "level");
    CHECK_FALSE(level.meets_ms);
    CHECK(forecast(line(10, 0.1, 5), 5, 40 * day).why_not == "away");
    CHECK_FALSE(band_at(line(1, 1, 2), 0));
}

TEST_CASE("trend: the band's edges meet the limit before and after the line") {
    std::mt19937 random(4);
    std::normal_distribution<double> noise(0, 0.2);
    std::vector<Sample> all;
    for (int i = 0; i < 12; ++i) all.push_back(sample(7 * i, 0.05 * 7 * i + noise(random)));
    const Forecast f = forecast(all, 10, 80 * day);
    REQUIRE((f.meets_ms && f.earliest_ms && f.latest_ms));
    CHECK(*f.earliest_ms < *f.meets_ms);
    CHECK(*f.meets_ms < *f.latest_ms);
    const auto early = *band_at(all, *f.earliest_ms), late = *band_at(all, *f.latest_ms);
    CHECK(early.first + early.second == doctest::Approx(10));
    CHECK(late.first - late.second == doctest::Approx(10));
}

TEST_CASE("trend: the next reading falls into the band 95 times in 100") {
    std::mt19937_64 random(20260314);
    std::normal_distribution<double> noise(0, 0.4);
    int inside = 0;
    constexpr int runs = 20'000;
    for (int run = 0; run < runs; ++run) {
        std::vector<Sample> all;
        for (int i = 0; i < 8; ++i)
            all.push_back(sample(9 * i + i % 3, 3 - 0.01 * (9 * i + i % 3) + noise(random), 0.7));
        const double next_day = 80, next = 3 - 0.01 * next_day + noise(random);
        const auto band = *band_at(all, static_cast<std::int64_t>(next_day) * day);
        inside += std::fabs(next - band.first) <= band.second;
    }
    // Four standard deviations of a count of 20 000 at 95 %: √(0.95·0.05/20 000) = 0.15 %.
    CHECK(std::fabs(inside / static_cast<double>(runs) - 0.95) < 0.0062);
}

TEST_CASE("trend: after a changed setting a new line begins") {
    auto all = line(1, 0.1, 6);
    all[3].same_setting = false;
    for (std::size_t i = 3; i < 6; ++i) all[i].value = 50 + static_cast<double>(i);
    CHECK(forecast(all, 100, 0).per_day == doctest::Approx(0.1));
    CHECK(band_at(all, 30 * day)->first == doctest::Approx(53));
    CHECK_FALSE(band_at(all, 10 * day));
    all[4].same_setting = false;
    CHECK(forecast(all, 100, 0).why_not == "few");
}

TEST_CASE("samples: each reading once, from where it was taken, oldest first") {
    ReadingBody before{Phase::before, test::reading(P::spring_free_length, "159.0")};
    ReadingBody fresh{Phase::new_part, test::reading(P::spring_free_length, "165.0")};
    auto carried = kept(End::rear, P::spring_free_length, "159.0");
    carried.stored.entry = id(31), carried.stored.at.ms = 300;
    const std::vector<Fact> all = {
        fact({20, 100,
              BaselineBody{"",
                           {},
                           {kept(End::rear, P::spring_free_length, "160"),
                            kept(End::front, P::spring_free_length, "290")}},
              bike_id}),
        fact({21, 200, ChangeBody{"", {set_to(End::rear, P::spring_free_length, "159.5")}}, bike_id}),
        fact({30, 290, SwapBody{{SwapPart::shock}}, bike_id}),
        fact({31, 300, before, bike_id, id(30)}),
        fact({32, 310, fresh, bike_id, id(30)}),
        fact({40, 400, BaselineBody{"carries on", {}, {carried}}, bike_id}),
        fact({41, 500, RecordBody{"1970-01-01", "old", {set_to(End::rear, P::spring_free_length, "161")}},
              bike_id}),
        fact({42, 600, ChangeBody{"", {set_to(End::rear, P::spring_free_length, "1")}}, bike_id}),
        fact({43, 601, RetractionBody{""}, bike_id, {}, {id(42)}}),
        fact({50, 610, SwapBody{{SwapPart::fork}}, bike_id}),
        fact({51, 620, before, bike_id, id(50)}),
    };
    const auto read = watch(all, Watched::point);
    REQUIRE(read.size() == 4);
    const std::vector<std::pair<std::int64_t, double>> expected = {
        {100, 160}, {200, 159.5}, {300, 159}, {43'200'000, 161}};
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK(read[i].at_ms == expected[i].first);
        CHECK(read[i].value == expected[i].second);
        CHECK(read[i].expanded > 0);
    }
    CHECK(watch(all, Watched::point, P::spring_free_length, End::front).size() == 2);
    CHECK(watch(all, Watched::point, P::tyre).empty());
    auto shuffled = all;
    std::mt19937 random(2);
    for (int run = 0; run < 50; ++run) {
        std::shuffle(shuffled.begin(), shuffled.end(), random);
        const auto again = watch(shuffled, Watched::point);
        REQUIRE(again.size() == read.size());
        for (std::size_t i = 0; i < read.size(); ++i) REQUIRE(again[i].entry == read[i].entry);
    }
}

TEST_CASE("samples: what a later baseline carries over from one typed in by hand is no new sample") {
    std::vector<Fact> all = {fact(
        {20, 100, BaselineBody{"by hand", {}, {kept(End::front, P::spring_free_length, "290")}}, bike_id})};
    Swap swap;  // of the rear shock, without readings
    swap.bike = bike_id;
    const BaselineBody next = baseline_of(swap, setup_at(bike_id, pointers(all)), "kept");
    REQUIRE(next.values.size() == 1);
    CHECK(next.values[0].stored.entry == id(20));
    CHECK(next.values[0].stored.at.ms == 100);
    all.push_back(fact({30, 200, next, bike_id}));
    const auto read = watch(all, Watched::point, P::spring_free_length, End::front);
    REQUIRE(read.size() == 1);
    CHECK(read[0].at_ms == 100);
}

TEST_CASE("samples: sags, stiction, preload and elongation from their readings") {
    const auto at = [](int n, std::vector<SetValue> values) {
        return fact({n, n, ChangeBody{"", std::move(values)}, bike_id});
    };
    const End r = End::rear;
    const std::vector<Fact> all = {
        at(1, {set_to(r, P::ride_height_topped_out, "500"), set_to(r, P::ride_height_static, "488"),
               set_to(r, P::ride_height_rider, "470")}),
        at(2, {set_to(r, P::ride_height_lifted, "492"), set_to(r, P::ride_height_pressed, "486")}),
        at(3, {set_to(r, P::ride_height_rider, "471")}),
        at(4, {set_to(r, P::spring_free_length, "160"), set_to(r, P::spring_installed_length, "150")}),
        at(5, {set_to(r, P::spring_installed_length, "149")}),
        at(6, {set_to(r, P::chain_gauge_length, "319"), set_to(r, P::chain_gauge_links, "20")}),
        at(7, {set_to(r, P::chain_gauge_length, "320")}),
    };
    REQUIRE(watch(all, Watched::rider_sag).size() == 1);  // topped out and rider must belong to one moment
    CHECK(watch(all, Watched::rider_sag)[0].value == 30);
    CHECK(watch(all, Watched::free_sag)[0].value == 12);
    CHECK(watch(all, Watched::stiction)[0].value == 3);
    const auto preload = watch(all, Watched::preload);
    REQUIRE(preload.size() == 2);
    CHECK(preload[0].value == 10);
    CHECK(preload[1].value == 11);
    CHECK_FALSE(preload[1].same_setting);
    // 20 links of 15.875 mm: 317.5 mm.
    const auto chain = watch(all, Watched::chain_elongation);
    REQUIRE(chain.size() == 2);
    CHECK(chain[0].value == doctest::Approx(1.5 / 317.5));
    CHECK(chain[1].value == doctest::Approx(2.5 / 317.5));
    CHECK(chain[1].same_setting);
    const auto finer = samples(pointers(all), Watched::chain_elongation, r, P::chain_gauge_length, mm(12.7));
    CHECK(finer[0].value == doctest::Approx(319.0 / 254.0 - 1));  // 20 links of 12.7 mm
    CHECK(chain[0].expanded ==
          doctest::Approx(expanded_95(measured(test::reading(P::chain_gauge_length, "319"))) / 317.5));
}

TEST_CASE("samples: measured again is no change of setting; set anew, another spring, a new chain is") {
    const End r = End::rear;
    const auto sag = [&](int n, const char* collar) {
        return fact(
            {n, n,
             RecordBody{"2026-01-0" + std::to_string(n),
                        "t",
                        {set_to(r, P::ride_height_topped_out, "500"), set_to(r, P::ride_height_rider, "470"),
                         set_to(r, P::spring_installed_length, collar)}},
             bike_id});
    };
    // 0.1 mm on a calliper cannot be resolved; 3 mm can.
    const auto read = watch({sag(1, "150"), sag(2, "150.1"), sag(3, "147.1")}, Watched::rider_sag);
    REQUIRE(read.size() == 3);
    CHECK(read[1].same_setting);
    CHECK_FALSE(read[2].same_setting);
    const auto at = [&](int n, P p, const char* text) {
        return fact({n, n, ChangeBody{"", {set_to(r, p, text)}}, bike_id});
    };
    const auto free = watch({at(1, P::spring_free_length, "159"), at(2, P::spring_free_length, "158.9"),
                             at(3, P::spring_free_length, "161")},
                            Watched::point);
    CHECK(free[1].same_setting);
    CHECK_FALSE(free[2].same_setting);
    const auto chain = watch({at(1, P::chain_gauge_links, "20"), at(2, P::chain_gauge_length, "321"),
                              at(3, P::chain_gauge_length, "317.5")},
                             Watched::chain_elongation);
    REQUIRE(chain.size() == 2);
    CHECK_FALSE(chain[1].same_setting);
}

TEST_CASE("part use: what ran at the instant of a service ran before it") {
    PartBody chain;
    chain.name = "chain", chain.limit_km = 1000;
    EventBody event;
    event.distance_km = 70;
    const std::int64_t march = 1'772'323'200'000;  // 2026-03-01T00:00Z
    const auto km = [&](std::int64_t ran_at) {
        const std::vector<Fact> all = {fact({1, march, chain, bike_id}), fact({2, ran_at, event, bike_id})};
        return part_use(pointers(all)).at(0).km;
    };
    CHECK(km(march - 1) == 0);
    CHECK(km(march) == 0);
    CHECK(km(march + 1) == 70);
}

TEST_CASE("part use: grows with what ran since, nearest its limit first, gone ones left out") {
    const auto part = [](const char* name, std::optional<double> km, std::optional<double> h,
                         double used_km) {
        PartBody p;
        p.name = name, p.limit_km = km, p.limit_h = h, p.used_km = used_km;
        return p;
    };
    const auto ran = [](double km, double h, const char* on = "") {
        EventBody e;
        e.distance_km = km, e.running_h = h, e.day = on;
        return e;
    };
    PartBody gone = part("old", 1.0, {}, 0);
    gone.gone = true;
    // Times are days of 2026 in ms, so that events' days are valid dates.
    const std::int64_t march = 1'772'323'200'000;  // 2026-03-01T00:00Z
    const std::vector<Fact> all = {
        fact({1, march, part("chain", 2000.0, {}, 100), bike_id}),
        fact({2, march, part("piston", {}, 10.0, 0), bike_id}),
        fact({3, march, part("lever", {}, {}, 0), bike_id}),
        fact({4, march, gone, bike_id}),
        fact({5, march + 1 * day, ran(200, 2), bike_id}),
        fact({6, march + 2 * day, ran(50, 1), bike_id}),
        fact({7, march + 3 * day, ran(300, 3), bike_id, {}, {id(6)}}),     // the same event, corrected
        fact({8, march + 20 * day, ran(40, 0.5, "2026-02-20"), bike_id}),  // written late: it ran before
    };
    const auto uses = part_use(pointers(all));
    REQUIRE(uses.size() == 3);
    CHECK(uses[0].name == "piston");
    CHECK(uses[0].share == doctest::Approx(0.5));
    CHECK(uses[1].name == "chain");
    CHECK(uses[1].km == 600);
    CHECK(uses[1].share == doctest::Approx(0.3));
    CHECK(uses[2].share == 0);
    // Serviced between an event and its correction: it ran before the service.
    auto serviced = all;
    serviced.push_back(fact({9, march + 2 * day + 1, part("chain", 2000.0, {}, 0), bike_id, id(1), {id(1)}}));
    const auto after = part_use(pointers(serviced));
    const auto chain =
        std::find_if(after.begin(), after.end(), [](const PartUse& u) { return u.name == "chain"; });
    CHECK(chain->km == 0);
    CHECK(chain->part == id(1));
    CHECK(chain->head == id(9));
}

TEST_CASE("part_use: what ran after a part was entered by a clock that ran ahead counts all the same") {
    const std::int64_t march = 1'772'323'200'000;  // 2026-03-01T00:00Z
    PartBody chain;
    chain.name = "chain", chain.limit_km = 2000.0;
    EventBody ran;
    ran.distance_km = 100, ran.day = "2026-03-02";
    Fact entered = fact({1, march + 5 * 365 * day, chain, bike_id}),
         event = fact({2, march + day, ran, bike_id});
    CHECK(part_use(pointers(std::vector{entered, event})).at(0).km == 0);  // unknown whether it came later
    event.entry.clock.counter = 1 << 16;                                   // its device had seen the other
    CHECK(part_use(pointers(std::vector{entered, event})).at(0).km == 100);
}
