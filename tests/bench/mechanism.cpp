// The whole bike: unit length to droop, standing bike, general restore with six adjusters and steps,
// a table of 400 sprocket pairs, and what dragging an adjuster on the attitude screen costs. Limits as the
// project sets them.

#include "core/machine/gearing.h"
#include "core/restore/whole.h"
#include "demo/season.h"
#include "platform/session.h"
#include "tests/bench/bench.h"
#include "tests/unit/random_bike.h"

using namespace restand;

namespace {

WholeAdjuster around(Adjustable adjustable, const WholeBike& bike, double range, double step) {
    const double now = value(bike, adjustable);
    return {adjustable, now, now - range, now + range, step};
}

// Other springs, found set anyhow, everything in steps.
WholeCase swap_of(const WholeBike& before, test::RandomBikes& random) {
    WholeCase whole{before, {}, {}};
    whole.targets = bench::must(measured_by(before, {{TargetKind::rear_height, State::topped_out, 0, true},
                                                     {TargetKind::rear_height, State::rider, 0, true},
                                                     {TargetKind::front_height, State::rider},
                                                     {TargetKind::rake, State::rider},
                                                     {TargetKind::trail, State::rider},
                                                     {TargetKind::wheelbase, State::rider},
                                                     {TargetKind::stand_slack}}));
    WholeBike& b = whole.bike;
    b.shock.spring.rate = b.shock.spring.rate * random.between(0.92, 1.1);
    b.shock.length += mm(random.between(-3, 3));
    b.fork.spring.rate = b.fork.spring.rate * random.between(0.95, 1.06);
    b.chain->sprockets.rear += 1;
    whole.adjusters = {around(Adjustable::shock_length, b, 10, 0.3125),
                       around(Adjustable::shock_installed, b, 30, 0.375),
                       around(Adjustable::fork_position, b, 10, 0.5),
                       around(Adjustable::fork_installed, b, 20, 0.25),
                       {Adjustable::arm, 20, 0, 40, 0.5},
                       around(Adjustable::links, b, 6, 2)};
    return whole;
}

}  // namespace

int main() {
    test::RandomBikes random(50);
    std::vector<WholeBike> bikes;
    std::vector<LinkageMap> maps;
    std::vector<WholeCase> swaps;
    for (int i = 0; i < 200; ++i) {
        bikes.push_back(random.bike());
        maps.push_back(bench::must(LinkageMap::of(bikes.back().linkage)));
        swaps.push_back(swap_of(bikes.back(), random));
    }
    double sum = 0.0;
    bool fine = bench::report("linkage: 1000 unit lengths to droop",
                              bench::times(500,
                                           [&](int i) {
                                               const LinkageMap& map = maps[std::size_t(i) % 200];
                                               const double low = map.shortest().length.value,
                                                            all = map.longest().length.value - low;
                                               for (int k = 0; k < 1000; ++k)
                                                   sum +=
                                                       map.droop_at(mm(low + all * (k + 0.5) / 1000))->value;
                                           }),
                              0.2);
    fine &= bench::report(
        "standing bike",
        bench::times(
            4000,
            [&](int i) {
                const std::size_t k = std::size_t(i) % 200;
                sum += standing(bikes[k], maps[k], i % 2 ? Rider::on : Rider::off)->loads->mass_height.value;
            }),
        0.012);
    fine &= bench::report(
        "general restore, six adjusters in steps",
        bench::times(1000, [&](int i) { sum += restore(swaps[std::size_t(i) % 200])->detent[0]; }), 0.8);
    std::vector<int> front, rear;
    for (int z = 12; z < 22; ++z) front.push_back(z);
    for (int z = 30; z < 70; ++z) rear.push_back(z);
    fine &= bench::report("400 sprocket pairs",
                          bench::times(500,
                                       [&](int i) {
                                           const WholeBike& b = bikes[std::size_t(i) % 200];
                                           sum += double(gear_options({.run = *b.chain,
                                                                       .arm = b.arm,
                                                                       .slot = {mm(20), mm(0), mm(40)},
                                                                       .low = degrees(2),
                                                                       .high = degrees(15),
                                                                       .slack_at_tight_spot = mm(20),
                                                                       .ratio = 2.7,
                                                                       .odd_links = false,
                                                                       .effect = {1, -0.2, 0.01}},
                                                                      front, rear)
                                                             .size());
                                       }),
                          2.0);

    // The attitude screen of the demo's bike with a linkage: a step of an adjuster and the frame that shows
    // it.
    const bench::Folder folder;
    (void)bench::must(make_demo(folder / "demo.restand"));
    const auto state = bench::must(Session::open(folder / "demo.restand", Viewport{1280, 800, 5.87f}, {}));
    const auto id = [&](const char* name) {
        for (const Bike* bike : state->app().state().ledger.bikes())
            if (bike->body.name == name) return bike->id;
        return Id{};
    };
    const auto still = [&] {
        state->settle();
        while (state->wants_frame()) state->frame(0);
    };
    state->act(act::SetPerson{state->app().state().ledger.people().front()->id});
    state->act(act::ShowAttitude{id("No. 8")});
    still();
    fine &= bench::report(
        "attitude: one step and its frame",
        bench::times(200,
                     [&](int i) {
                         state->act(act::Try{End::front, Point::fork_position, i % 2 ? 1.0 : -1.0});
                         state->frame(0);
                     }),
        4.0);
    state->act(act::ShowChain{id("No. 8")});
    still();
    fine &= bench::report(
        "chain: one step and its frame",
        bench::times(200,
                     [&](int i) {
                         state->act(act::Try{End::rear, Point::axle_position, i % 2 ? 1.0 : -1.0});
                         state->frame(0);
                     }),
        4.0);
    std::printf("(checksum %.3f)\n", sum);
    return fine ? 0 : 1;
}
