#pragma once
// An invented season of several bikes, written at random: every kind of moment, corrections and retractions.

#include <random>
#include <set>

#include "tests/store/workshop.h"

namespace restand::test {

inline std::string part_of(std::mt19937& random) {
    constexpr const char* names[] = {"Slick 120 soft", "Slick 120",      "Wet 110",
                                     "Damper A",       "Damper B, long", "Spring 95"};
    return names[random() % std::size(names)];
}

inline std::vector<Id> bikes_in(const std::vector<Entry>& entries) {
    std::set<Id> bikes;
    for (const Entry& e : entries)
        if (!e.bike.nil()) bikes.insert(e.bike);
    return {bikes.begin(), bikes.end()};
}

// Names of tyres and parts, read off the body by hand.
inline std::set<std::string> parts_in(const Body& body) {
    std::set<std::string> names;
    const auto add = [&names](const Reading& r) {
        if (r.point == Point::tyre || r.point == Point::part_name) names.insert(r.repeats.at(0).text);
    };
    const auto add_all = [&](const auto& values) {
        for (const SetValue& v : values) add(v.reading);
    };
    if (const auto* b = std::get_if<BaselineBody>(&body))
        for (const auto& v : b->values) add(v.stored.reading);
    if (const auto* b = std::get_if<ChangeBody>(&body)) add_all(b->values);
    if (const auto* b = std::get_if<PlanStepBody>(&body)) add_all(b->values);
    if (const auto* b = std::get_if<RecordBody>(&body)) add_all(b->values);
    if (const auto* b = std::get_if<EventBody>(&body))
        if (!b->tyre.empty()) names.insert(b->tyre);
    if (const auto* b = std::get_if<PartBody>(&body)) names.insert(b->name);
    return names;
}

inline std::vector<SetValue> values_of(std::mt19937& random) {
    std::vector<SetValue> values;
    const End end = random() % 2 ? End::rear : End::front;
    const Point points[] = {Point::clicks_rebound_low, Point::clicks_compression_low};
    for (const Point p : points)
        if (random() % 2)
            values.push_back({end, {p, {{std::to_string(random() % 20), Unit::click}}, {}, ""}});
    if (random() % 2)
        values.push_back({end, reading(Point::ride_height_rider, std::to_string(440 + random() % 60))});
    if (random() % 4 == 0) values.push_back({end, {Point::tyre, {{part_of(random), Unit::one}}, {}, ""}});
    if (random() % 4 == 0)
        values.push_back({end, {Point::part_name, {{part_of(random), Unit::one}}, {}, ""}});
    return values;
}

inline EventBody event(const std::string& words, const std::string& tyre = "") {
    EventBody body;
    body.day = "2026-03-14";
    body.session = "round";
    body.tyre = tyre;
    body.words = words;
    return body;
}
inline PartBody part(const std::string& name) {
    PartBody body;
    body.name = name;
    body.limit_km = 900.0;
    return body;
}

inline JobBody job(const std::string& what, const Id& first) {
    JobBody body;
    body.what = what.empty() ? "torque the spindle" : what;
    body.before = Milestone::dyno;
    if (!first.nil()) body.blocked_by = {first};
    return body;
}

inline BaselineBody baseline_at(std::mt19937& random, const Id& based_on) {
    BaselineBody body{"settled after round " + std::to_string(random() % 9), based_on, {}};
    for (const SetValue& v : values_of(random))
        body.values.push_back({v.end, {v.reading, {}, {}, {}, {}, false}});
    return body;
}

inline Body moment_of(std::mt19937& random, const Id& earlier) {
    constexpr const char* words[] = {"wet front", "slick, medium 30", "turn-in is late", "more rebound", ""};
    const std::string said = words[random() % std::size(words)];
    switch (random() % 7) {
        case 0:
            return baseline_at(random, earlier);
        case 1:
            return event(said, random() % 2 ? part_of(random) : "");
        case 2:
            return part(part_of(random));
        case 3:
            return RecordBody{"2025-09-02", "old table", values_of(random)};
        case 4:
            return PlanStepBody{"set_clicks", values_of(random)};
        case 5:
            return job(said, earlier);
        default:
            return ChangeBody{said, values_of(random)};
    }
}

// So many entries, appended one by one; one in eight takes an older one back or puts itself in its place.
inline void write_season(Store& store, std::mt19937& random, int count) {
    std::vector<Entry> written;
    std::vector<Id> bikes;
    for (const char* name : {"27", "91", "4"}) bikes.push_back(got(store.append(encode(bike(name)))).id);
    for (int i = 0; i < count; ++i) {
        const Id bike = bikes[random() % bikes.size()];
        const Id earlier = written.empty() ? Id{} : written[random() % written.size()].id;
        const auto chance = random() % 16;
        if (chance == 0 && !written.empty()) {
            written.push_back(got(store.append(encode(RetractionBody{"undo"}, bike, {}, {}, {earlier}))));
        } else if (chance == 1 && !written.empty()) {
            written.push_back(got(store.append(encode(moment_of(random, {}), bike, {}, {}, {earlier}))));
        } else if (chance == 2) {
            const Id swap = got(store.append(encode(SwapBody{{SwapPart::shock}}, bike))).id;
            const ReadingBody r{Phase::before, reading(Point::eye_to_eye, "309,9"), false};
            written.push_back(got(store.append(encode(r, bike, swap))));
            if (random() % 2) written.push_back(got(store.append(encode(SwapEndBody{true}, bike, swap))));
        } else if (chance == 3) {
            const Id plan = got(store.append(encode(PlanBody{earlier}, bike))).id;
            written.push_back(got(store.append(encode(PlanStepBody{"set", values_of(random)}, bike, plan))));
            if (random() % 2) written.push_back(got(store.append(encode(PlanEndBody{true}, bike, plan))));
        } else {
            written.push_back(got(store.append(encode(moment_of(random, earlier), bike))));
        }
    }
}

}  // namespace restand::test
