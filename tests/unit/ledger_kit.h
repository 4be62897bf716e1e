#pragma once
// Entries and set-ups for tests of the ledger, and bikes whose readings follow from the mechanics.

#include <charconv>
#include <random>
#include <string>
#include <utility>

#include "core/ledger/setup.h"

namespace restand::test {

inline Id id(int n) {
    Id made;
    made.bytes[13] = static_cast<std::uint8_t>(n >> 16 & 0xff);
    made.bytes[14] = static_cast<std::uint8_t>(n >> 8 & 0xff);
    made.bytes[15] = static_cast<std::uint8_t>(n & 0xff);
    return made;
}

// An entry `n` at time `at`. The body's text only distinguishes bodies here.
struct Say {
    int n;
    std::int64_t at;
    Body body;
    Id bike = {}, about = {};
    std::vector<Id> supersedes = {};
    std::string text = "";
};
inline Fact fact(const Say& say) {
    Entry e;
    e.id = id(say.n);
    e.clock = {say.at, 0};
    e.kind = kind_of(say.body);
    e.bike = say.bike;
    e.about = say.about;
    e.supersedes = say.supersedes;
    e.body = say.text.empty() ? std::to_string(say.n) : say.text;
    return {e, say.body};
}

inline Ledger fold(const std::vector<Fact>& facts) {
    Ledger ledger;
    for (const Fact& f : facts) ledger.apply(f);
    return ledger;
}

inline std::vector<const Fact*> pointers(const std::vector<Fact>& facts) {
    std::vector<const Fact*> all;
    for (const Fact& f : facts) all.push_back(&f);
    return all;
}

// The unit a point is read in, unless a test says otherwise.
inline Unit usual_unit(Point point) { return chosen({}, facts(point).dimension); }

inline Reading reading(Point point, const std::string& text, std::optional<Unit> unit = std::nullopt) {
    return {point, {{text, unit.value_or(usual_unit(point))}}, usual_instrument(point), {}};
}
// A canonical value as text, exact to the last bit.
inline Reading exactly(Point point, double canonical) {
    char text[64];
    const double value = from_canonical(canonical, usual_unit(point));
    const auto end = std::to_chars(text, text + sizeof text, value, std::chars_format::fixed).ptr;
    return reading(point, std::string(text, end));
}

inline const Id bike_id = id(10);  // of the bike in the tests' entries

// A set-up of one end, with all values read together.
inline SetUp stands(End end, std::initializer_list<std::pair<Point, const char*>> values) {
    SetUp setup;
    for (const auto& [point, text] : values)
        setup.values[{end, point}] = {reading(point, text), {}, {}, {}, {}, false};
    setup.read_with = setup.values;
    return setup;
}
inline SetValue set_to(End end, Point point, const std::string& text) { return {end, reading(point, text)}; }
inline BaselineValue kept(End end, Point point, const std::string& text) {
    return {end, {reading(point, text), {}, {}, {}, {}, false}};
}

inline void put(SetUp& setup, End end, Reading r, Id entry = {}) {
    setup.values[{end, r.point}] = {std::move(r), entry, {}, {}, {}, false};
}
inline double value_at(const SetUp& setup, End end, Point point) {
    const StoredReading* stored = setup.stored(end, point);
    return stored ? measured(stored->reading).value : -1.0;
}

}  // namespace restand::test
