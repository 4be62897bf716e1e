#pragma once
// A small good workshop for the fuzzers to spoil: all kinds of entries that hang on each other.
#include "core/codec/body_json.h"
#include "core/store/store.h"

namespace restand::fuzz {

inline std::vector<Entry> make_workshop(const std::string& path) {
    auto store = Store::open(path, Store::Mode::create, [] { return std::int64_t{1'772'323'200'000}; });
    check(store.has_value(), "a workshop to spoil");
    const auto append = [&](const Body& body, Id bike = {}, Id about = {}, std::vector<Id> supersedes = {}) {
        auto entry = store->append(encode(body, bike, about, {}, std::move(supersedes)));
        check(entry.has_value(), "an entry to spoil");
        return entry->id;
    };
    append(PersonBody{"Ines"});
    BikeBody body;
    body.name = "No. 27";
    const Id bike = append(body);
    const Id swap = append(SwapBody{{SwapPart::shock}}, bike);
    const restand::Reading reading{
        Point::eye_to_eye, {{"309,9", Unit::mm}}, {"calliper", 0.01, 0.03}, "on the stand"};
    append(ReadingBody{Phase::before, reading}, bike, swap);
    const Id kept = append(BaselineBody{"kept", {}, {}}, bike, swap);
    append(SwapEndBody{true}, bike, swap);
    append(ChangeBody{std::string(6000, 'n'), {{End::rear, reading}}}, bike);  // overflow pages
    append(BaselineBody{"again", kept, {}}, bike, {}, {kept});
    append(RetractionBody{"wrong"}, bike, {}, {kept});
    auto entries = store->all();
    check(entries.has_value(), "entries to spoil");
    return *entries;
}

}  // namespace restand::fuzz
