// A swap in a case of format 2 against the core that the app asks: the same bike, the same readings, the same
// numbers to the last digit.

#include <random>

#include "core/casefile/ledger_swap.h"
#include "core/codec/body_json.h"
#include "platform/bike_file.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;
using nlohmann::json;

namespace {

struct Demo {
    Folder folder;
    Ledger ledger;
    Demo() {
        REQUIRE(run(folder, "--demo w.restand").code == 0);
        const Store store = open(folder("w.restand"), Store::Mode::read);
        read_into(ledger, got(store.opening()));
        for (const Bike* bike : ledger.bikes()) ids.push_back(bike->id);
        for (const Id& id : ids)
            for (const auto& entries : {got(store.of_bike(id, "baseline")), got(store.setup(id, latest))})
                read_into(ledger, entries);
    }
    std::vector<Id> ids;
};

Typed typed(double number, Dimension dimension) {
    const Unit unit = chosen({}, dimension);
    char text[32];
    std::snprintf(text, sizeof text, "%.3f", from_canonical(number, unit));
    return {dimension == Dimension::count || dimension == Dimension::clicks
                ? std::to_string(std::lround(number))
                : std::string(text),
            unit};
}

// A swap of these parts, about half of what its steps ask for read: near what the bike has.
Swap some_swap(std::vector<SwapPart> parts, const SetUp& stood, std::mt19937_64& draw, double share) {
    Swap swap;
    swap.parts = tidy(std::move(parts));
    swap.bike = stood.bike;
    swap.started = latest;
    std::uniform_real_distribution<double> u(0, 1);
    const bool low = draw() % 2;  // the heights of the check are 9 mm off
    for (const Phase phase : all_phases)
        for (const Asked& a : asked(swap, phase)) {
            const StoredReading* stands = stood.stored(a.end, a.point);
            if (is_text(a.point) || !stands || u(draw) > share) continue;
            const double sunk = phase == Phase::check && is_ride_height(a.point) && low ? 9 : 0;
            const double near = measured(stands->reading).value * (1 + 0.004 * (u(draw) - 0.5)) - sunk;
            const Reading reading{
                a.point, {typed(near, facts(a.point).dimension)}, usual_instrument(a.point, near), ""};
            if (!validate(reading)) continue;
            swap.stored_readings[{phase, a.end, a.point}] = {
                {reading, {}, {}, {static_cast<std::int64_t>(phase), 0}, {}, false}};
        }
    return swap;
}

json swap_in_case(const Swap& swap) {
    json out;
    for (const SwapPart part : swap.parts) out["parts"].push_back(key(part));
    for (const auto& [spot, stored] : swap.stored_readings) {
        const ChangeBody one{{}, {{spot.end, stored.front().reading}}};
        out[std::string(key(spot.phase))].push_back(json::parse(body_json(one))["values"][0]);
    }
    return out;
}

bool same(const json& printed, std::optional<double> computed) {
    return computed ? printed.is_number() && printed.get<double>() == *computed + 0.0 : printed.is_null();
}

void compare_end(const json& end, const EndSolution& e, const UncertainAnswer& u) {
    const Answer& a = u.answer;
    CHECK(end["held"] == a.held);
    CHECK(same(end["answer"]["preload_mm"], in_mm(a.setting.preload)));
    CHECK(same(end["detent"]["answer"]["preload_mm"], in_mm(a.detent.preload)));
    CHECK(same(end["answer"]["eye_to_eye_turns"], a.setting.length_turns));
    for (const State state : all_states) {
        const auto& change = u.change[static_cast<std::size_t>(state)];
        const json& printed = end["uncertainty"]["residual_mm"][std::string(key(state))];
        CHECK(printed.is_null() == !change);
        if (change) CHECK(same(printed["expanded_95"], change->expanded));
    }
    std::size_t assumed = 0;
    for (const SwapInput& i : e.input->inputs) assumed += i.origin == Origin::assumed;
    CHECK(end["assumed"].size() == assumed);
    const CheckResult* check = e.judged();
    CHECK((check && end["check"].is_object() ? end["check"]["heights"].size() : 0) ==
          (check ? check->heights.size() : 0));
    const bool corrected = check && check->turns_help() && e.correction;
    CHECK(end["correction"].is_null() == !corrected);
    if (corrected)
        CHECK(same(end["correction"]["detent"]["answer"]["preload_mm"], in_mm(e.correction->detent.preload)));
}

struct SwapTally {
    int answered = 0, judged = 0, corrected = 0, with_chain = 0, refused = 0;
};

void compare(Demo& demo, const Bike& bike, const Swap& swap, SwapTally& tally) {
    json c = json::parse(run(demo.folder, "case '" + bike.body.name + "' --file w.restand").out);
    c["swap"] = swap_in_case(swap);
    const SwapSite site = site_of(demo.ledger, bike, swap);
    const SwapSolution solution = solve_swap(site);
    write_bytes(demo.folder("case.json"), c.dump());
    const Ran ran = run(demo.folder, "solve case.json");
    INFO(ran.err);
    INFO(c["swap"].dump());
    const bool refits = refits_chain(swap);
    bool sound = !refits || solution.chain || solution.chain.error().code == ErrorCode::no_solution;
    for (const EndSolution& e : solution.ends)
        sound = sound && e.input && (e.answer || e.answer.error().code == ErrorCode::no_solution);
    CHECK((ran.code != 2) == sound);
    if (!sound || ran.code == 2) return void(++tally.refused);
    const json r = json::parse(ran.out);
    REQUIRE(r["ends"].size() == solution.ends.size());
    for (std::size_t i = 0; i < solution.ends.size(); ++i) {
        const auto u = uncertainty_of(site, solution, solution.ends[i].end);
        CHECK(r["ends"][i].contains("answer") == u.has_value());
        if (!u) continue;
        ++tally.answered;
        tally.judged += solution.ends[i].judged() != nullptr;
        tally.corrected += !r["ends"][i]["correction"].is_null();
        compare_end(r["ends"][i], solution.ends[i], *u);
    }
    if (!refits || !solution.chain) return;
    ++tally.with_chain;
    CHECK(same(r["chain"]["axle_moves_mm"], in_mm(solution.chain->axle_by)));
    CHECK(same(r["chain"]["slack_mm"], in_mm(solution.chain->will.on_stand.slack)));
}

}  // namespace

TEST_CASE("swap case: the numbers are those that the app's core computes on the workshop's bike") {
    Demo demo;
    std::mt19937_64 draw(41);
    SwapTally tally;
    const std::vector<std::vector<SwapPart>> kinds = {{SwapPart::shock},
                                                      {SwapPart::shock_spring},
                                                      {SwapPart::fork},
                                                      {SwapPart::fork_springs},
                                                      {SwapPart::fork_oil},
                                                      {SwapPart::rear_tyre, SwapPart::front_tyre},
                                                      {SwapPart::link_rod},
                                                      {SwapPart::sprockets},
                                                      {SwapPart::shock, SwapPart::chain},
                                                      {SwapPart::shock, SwapPart::fork}};
    for (const Id& id : demo.ids) {
        const Bike& bike = *demo.ledger.bike(id);
        const SetUp stood = setup_at(id, demo.ledger.facts_of(id), latest);
        for (const auto& parts : kinds)
            for (const double share : {1.0, 0.8, 0.4})
                compare(demo, bike, some_swap(parts, stood, draw, share), tally);
    }
    MESSAGE(tally.answered << " answered, " << tally.judged << " judged, " << tally.corrected
                           << " corrected, " << tally.with_chain << " chains, " << tally.refused
                           << " refused");
    CHECK(tally.answered > 30);
    CHECK(tally.judged > 10);
    CHECK(tally.corrected > 3);
    CHECK(tally.with_chain > 3);
}
