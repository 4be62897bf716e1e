// May it go out? Each rule fires for what it is about, from its milestone on, and goes when that is put right.

#include "core/ledger/readiness.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::bike_id;
using test::fact;
using test::fold;
using test::id;
using test::kept;
using test::set_to;

namespace {

using P = Point;
constexpr std::int64_t now_ms = 1000;

std::vector<ReadyItem> items(const std::vector<Fact>& facts, Milestone milestone = Milestone::season,
                             std::vector<PartUse> parts = {}, std::int64_t now = now_ms) {
    const Ledger ledger = fold(facts);
    REQUIRE(ledger.bike(bike_id));
    const auto jobs = open_jobs(ledger, bike_id);
    return ready_items(ledger, *ledger.bike(bike_id), milestone, {jobs, parts, now});
}

bool fires(const std::vector<ReadyItem>& items, ReadyRule rule) {
    return std::any_of(items.begin(), items.end(),
                       [rule](const ReadyItem& item) { return item.rule == rule; });
}

// A bike with a baseline that has heights at both ends: nothing speaks against it.
std::vector<Fact> sound(Judged judged = Judged::restored) {
    BikeBody bike;
    bike.rear.leverage = 2.0;
    bike.front.leverage = 1.0;
    BaselineBody baseline;
    baseline.judged = judged;
    for (const End end : {End::rear, End::front}) {
        const bool rear = end == End::rear;
        baseline.values.push_back(kept(end, P::ride_height_topped_out, rear ? "500" : "620"));
        baseline.values.push_back(kept(end, P::ride_height_static, rear ? "490" : "600"));
        baseline.values.push_back(kept(end, P::ride_height_rider, rear ? "466" : "580"));
    }
    baseline.values.push_back(kept(End::rear, P::eye_to_eye, "310"));
    return {fact({10, 1, bike, bike_id}), fact({20, 2, baseline, bike_id})};
}

std::vector<Fact> with(std::vector<Fact> facts, std::initializer_list<Fact> more) {
    facts.insert(facts.end(), more.begin(), more.end());
    return facts;
}

Fact set(int n, End end, Point point, const char* value) {
    return fact({n, n, ChangeBody{"", {set_to(end, point, value)}}, bike_id});
}

// Fires with what is added for the last milestone, for the first that it counts for, and not for the one before.
void counts_from_its_milestone(const std::vector<Fact>& facts, ReadyRule rule,
                               std::vector<PartUse> parts = {}, std::int64_t now = now_ms) {
    const auto from = counts_from(rule);
    REQUIRE(from);
    for (const Milestone milestone : all_milestones)
        CHECK(fires(items(facts, milestone, parts, now), rule) == counts_for(*from, milestone));
}

}  // namespace

TEST_CASE("readiness: a bike that was found restored, with nothing open, has nothing against it") {
    CHECK(items(sound()).empty());
    // Every rule has a key of its own.
    std::set<std::string_view> keys;
    for (std::size_t i = 0; i < ready_rule_count; ++i) keys.insert(key(static_cast<ReadyRule>(i)));
    CHECK(keys.size() == ready_rule_count);
}

TEST_CASE("readiness: what a wet session needs counts for it alone, all else for what follows, too") {
    JobBody rain;
    rain.what = "rain tyres";
    rain.before = Milestone::wet_session;
    const auto facts = with(sound(), {fact({30, 3, rain, bike_id})});
    for (const Milestone milestone : all_milestones)
        CHECK(items(facts, milestone).empty() == (milestone != Milestone::wet_session));
    CHECK(counts_for(Milestone::dyno, Milestone::wet_session));
    CHECK_FALSE(counts_for(Milestone::season, Milestone::dyno));
}

TEST_CASE("readiness: heights are as old as the older of static and rider") {
    auto facts = sound();
    const std::int64_t late = (heights_keep_days + 2) * 86'400'000;
    facts.push_back(
        fact({30, late, ChangeBody{"", {set_to(End::rear, P::ride_height_static, "490")}}, bike_id}));
    const auto old = items(facts, Milestone::season, {}, late);
    CHECK(std::count_if(old.begin(), old.end(),
                        [](const ReadyItem& i) { return i.rule == ReadyRule::heights_old; }) == 2);
    facts.push_back(
        fact({31, late, ChangeBody{"", {set_to(End::rear, P::ride_height_rider, "466")}}, bike_id}));
    const auto read = items(facts, Milestone::season, {}, late);
    REQUIRE(read.size() == 1);
    CHECK(read[0].end == End::front);
}

TEST_CASE("readiness: a job counts from the milestone it must be done before, with all that it waits for") {
    JobBody panel, cut;
    panel.what = "fit the panel";
    panel.before = Milestone::shakedown;
    panel.blocked_by = {id(31)};
    cut.what = "cut the undertray";
    auto facts = with(sound(), {fact({30, 3, panel, bike_id}), fact({31, 4, cut, bike_id})});
    CHECK(items(facts, Milestone::dyno).empty());
    const auto found = items(facts, Milestone::shakedown);
    REQUIRE(found.size() == 2);
    CHECK(found[0] == ReadyItem{.rule = ReadyRule::open_job, .subject = id(31), .name = "cut the undertray"});
    CHECK(found[1].subject == id(30));
    panel.before = {};  // it may wait after all, so what it waits for may, too
    CHECK(items(with(facts, {fact({32, 5, panel, bike_id, id(30), {id(30)}})})).empty());
    cut.done = true;
    CHECK(items(with(facts, {fact({32, 5, cut, bike_id, id(31), {id(31)}})})).size() == 1);
}

TEST_CASE("readiness: an open swap and an open way back, until they end") {
    auto swap = with(sound(), {fact({30, 3, SwapBody{{SwapPart::shock}}, bike_id})});
    counts_from_its_milestone(swap, ReadyRule::open_swap);
    CHECK(items(with(swap, {fact({31, 4, SwapEndBody{false}, bike_id, id(30)})})).empty());
    auto way = with(sound(), {fact({30, 3, PlanBody{id(20)}, bike_id})});
    counts_from_its_milestone(way, ReadyRule::open_way);
    CHECK(items(with(way, {fact({31, 4, PlanEndBody{true}, bike_id, id(30)})})).empty());
}

TEST_CASE("readiness: a baseline that was not found restored, until another one is kept") {
    for (const Judged judged : {Judged::not_restored, Judged::cannot_tell, Judged::not_checked})
        counts_from_its_milestone(sound(judged), ReadyRule::not_verified);
    CHECK(items(sound(Judged::not_said)).empty());
    auto again = sound(Judged::not_restored);
    BaselineBody next = std::get<BaselineBody>(again[1].body);
    next.judged = Judged::not_said;
    next.based_on = id(20);
    CHECK(items(with(again, {fact({21, 3, next, bike_id})})).empty());
}

TEST_CASE("readiness: heights that were never read, were moved since, or are old") {
    BikeBody bike;
    const auto bare = items({fact({10, 1, bike, bike_id})});
    CHECK(std::count_if(bare.begin(), bare.end(),
                        [](const ReadyItem& i) { return i.rule == ReadyRule::no_heights; }) == 2);
    auto moved = with(sound(), {set(30, End::rear, P::eye_to_eye, "312")});
    counts_from_its_milestone(moved, ReadyRule::heights_moved);
    const auto found = items(moved);
    REQUIRE(found.size() == 1);
    CHECK(found[0].end == End::rear);
    const auto read = with(moved, {set(31, End::rear, P::ride_height_topped_out, "504"),
                                   set(32, End::rear, P::ride_height_static, "494"),
                                   set(33, End::rear, P::ride_height_rider, "470")});
    CHECK(items(read).empty());
    const std::int64_t days = heights_keep_days * 86'400'000;
    CHECK(items(sound(), Milestone::season, {}, days).empty());
    counts_from_its_milestone(sound(), ReadyRule::heights_old, {}, days + 2 * 86'400'000);
}

TEST_CASE("readiness: coils that touch before full travel, until it is set otherwise") {
    // 160 mm free, 100 block, 40 of travel: from 145 installed they are 5 mm apart, from 135 they touch.
    const auto spring =
        with(sound(), {set(30, End::rear, P::spring_free_length, "160"),
                       set(31, End::rear, P::spring_block_length, "100"), set(32, End::rear, P::travel, "40"),
                       set(33, End::rear, P::spring_rate, "95"),
                       set(34, End::rear, P::spring_installed_length, "135")});
    counts_from_its_milestone(spring, ReadyRule::coils_touch);
    const auto found = items(spring);
    const auto it = std::find_if(found.begin(), found.end(),
                                 [](const ReadyItem& i) { return i.rule == ReadyRule::coils_touch; });
    REQUIRE(it != found.end());
    CHECK(it->amount == doctest::Approx(5));
    CHECK_FALSE(fires(items(with(spring, {set(35, End::rear, P::spring_installed_length, "145")})),
                      ReadyRule::coils_touch));
}

TEST_CASE("readiness: a length beyond its adjuster, until it is one that can be set") {
    const auto beyond = with(
        sound(), {set(30, End::rear, P::spring_rate, "95"), set(31, End::rear, P::spring_free_length, "160"),
                  set(32, End::rear, P::spring_installed_length, "150"),
                  set(33, End::rear, P::eye_to_eye_max, "312"), set(34, End::rear, P::eye_to_eye, "320")});
    counts_from_its_milestone(beyond, ReadyRule::beyond_adjuster);
    const auto within = with(beyond, {set(35, End::rear, P::eye_to_eye, "311")});
    CHECK_FALSE(fires(items(within), ReadyRule::beyond_adjuster));
}

TEST_CASE("readiness: a baseline kept with heights that a setting had moved does not make the bike ready") {
    auto facts = with(
        sound(), {set(30, End::rear, P::spring_preload, "10"), set(31, End::rear, P::spring_preload, "14")});
    REQUIRE(fires(items(facts), ReadyRule::heights_moved));
    const Ledger ledger = fold(facts);
    const BaselineBody kept_so = baseline_of(setup_now(ledger, bike_id), "as it stands");
    CHECK(fires(items(with(facts, {fact({32, 40, kept_so, bike_id})})), ReadyRule::no_heights));
}

TEST_CASE("readiness: a setting turned there and back leaves the heights as they were read") {
    const auto back =
        with(sound(), {set(30, End::rear, P::eye_to_eye, "312"), set(31, End::rear, P::eye_to_eye, "310")});
    CHECK_FALSE(fires(items(back), ReadyRule::heights_moved));
}

TEST_CASE("readiness: a chain that is worn, and one that is new") {
    auto facts = sound();
    BikeBody bike = std::get<BikeBody>(facts[0].body);
    bike.chain_limit_percent = 1.5;
    facts[0] = fact({10, 1, bike, bike_id});
    // 20 links of 15.875 mm are 317.5 mm new; 2 % more is 323.85.
    const auto worn = with(facts, {set(30, End::rear, P::chain_gauge_links, "20"),
                                   set(31, End::rear, P::chain_gauge_length, "323.85")});
    counts_from_its_milestone(worn, ReadyRule::chain_worn);
    CHECK(items(worn)[0].amount == doctest::Approx(2.0));
    CHECK(items(with(worn, {set(32, End::rear, P::chain_gauge_length, "318")})).empty());

    // Kept in the swap that fitted it, then read after its first run.
    auto fitted = sound();
    BaselineBody baseline = std::get<BaselineBody>(fitted[1].body);
    BaselineValue slack = kept(End::rear, P::chain_slack, "35");
    slack.stored.swap = id(40);
    baseline.values.push_back(slack);
    fitted.push_back(fact({40, 3, SwapBody{{SwapPart::chain}}, bike_id}));
    fitted.push_back(fact({41, 4, baseline, bike_id, id(40)}));
    fitted.push_back(fact({42, 4, SwapEndBody{true}, bike_id, id(40)}));
    counts_from_its_milestone(fitted, ReadyRule::chain_new);
    CHECK(items(with(fitted, {set(43, End::rear, P::chain_slack, "37")})).empty());
    // No slack was read with it at all.
    baseline.values.pop_back();
    fitted[fitted.size() - 2] = fact({41, 4, baseline, bike_id, id(40)});
    CHECK(fires(items(fitted), ReadyRule::chain_new));
}

TEST_CASE("readiness: a part beyond its limit") {
    PartUse use;
    use.part = id(50);
    use.name = "engine oil";
    use.share = 0.99;
    CHECK(items(sound(), Milestone::season, {use}).empty());
    use.share = 1.2;
    counts_from_its_milestone(sound(), ReadyRule::part_due, {use});
    const auto found = items(sound(), Milestone::season, {use});
    CHECK(found[0].name == "engine oil");
    CHECK(found[0].subject == id(50));
}

TEST_CASE("readiness: two devices' baselines and descriptions, until one stands") {
    auto facts = sound();
    BaselineBody one = std::get<BaselineBody>(facts[1].body);
    one.based_on = id(20);
    auto rivals = with(facts, {fact({21, 3, one, bike_id}), fact({22, 4, one, bike_id})});
    counts_from_its_milestone(rivals, ReadyRule::two_baselines);
    CHECK(items(with(rivals, {fact({23, 5, RetractionBody{"the other stands"}, bike_id, id(21), {id(22)}})}))
              .empty());
    BikeBody longer = std::get<BikeBody>(facts[0].body), shorter = longer;
    longer.note = "long", shorter.note = "short";
    auto two = with(
        facts, {fact({11, 3, longer, bike_id, {}, {id(10)}}), fact({12, 4, shorter, bike_id, {}, {id(10)}})});
    counts_from_its_milestone(two, ReadyRule::two_descriptions);
    CHECK(items(with(two, {fact({13, 5, longer, bike_id, {}, {id(11), id(12)}})})).empty());
}
