// A bike out of one store as a case file and into another: what each of them then says of how it stands.

#include "platform/bike_file.h"

#include "core/codec/bundle.h"
#include "core/ledger/chassis.h"
#include "tests/store/workshop.h"

using namespace restand;
using P = Point;

namespace {

constexpr Place rider_height{End::rear, P::ride_height_rider};

SetValue set(P point, const std::string& text) {
    const Unit unit = point == P::spring_rate ? Unit::n_per_mm : Unit::mm;
    return {End::rear, test::reading(point, text, unit)};
}

// A rear end read whole; a leverage and a spring are enough to compute its heights.
std::vector<SetValue> rear_end(const std::string& rate, const std::string& ridden) {
    return {set(P::eye_to_eye, "310"),
            set(P::spring_rate, rate),
            set(P::spring_free_length, "160"),
            set(P::spring_installed_length, "150"),
            set(P::ride_height_topped_out, "500"),
            set(P::ride_height_static, "490"),
            set(P::ride_height_rider, ridden)};
}

BikeBody body() {
    BikeBody bike = test::bike("No. 27");
    bike.rear.pairs.clear();
    return bike;
}

struct WithBike {
    explicit WithBike(const std::string& path) : store(test::open(path)) {}
    void begin() { bike = test::got(store.append(encode(body()))).id; }
    void baseline(const std::vector<SetValue>& values) {
        BaselineBody read{"as it came", {}, {}};
        for (const SetValue& v : values) read.values.push_back({v.end, {v.reading, {}, {}, {}, {}, false}});
        // Described: the baseline has the static height of both ends.
        read.values.push_back(
            {End::front, {test::reading(P::ride_height_static, "610"), {}, {}, {}, {}, false}});
        test::got(store.append(encode(read, bike)));
    }
    void change(std::vector<SetValue> values) {
        test::got(store.append(encode(ChangeBody{"", std::move(values)}, bike)));
    }
    void take(const std::string& text) {
        bike = test::got(take_bike(store, test::got(read_ledger_case(text)), "bike.json", {}))
                   .entries.front()
                   .id;
    }
    std::string file() const { return test::got(bike_file(store, bike)); }
    SetUp setup() const {
        const Ledger ledger = test::ledger_of(test::got(store.opening()));
        return setup_at(bike, ledger.facts_of(bike));
    }
    EndHeights heights() const { return heights_of(body(), End::rear, setup()); }
    Store store;
    Id bike;
};

void check_same_heights(const WithBike& a, const WithBike& b) {
    for (std::size_t i = 0; i < 3; ++i) {
        REQUIRE((a.heights()[i] && b.heights()[i]));
        // As written: six decimals.
        CHECK(in_mm(*a.heights()[i]) == doctest::Approx(in_mm(*b.heights()[i])).epsilon(1e-8));
    }
}

}  // namespace

TEST_CASE("bike file: a height that was read again and is the same is no older than what changed") {
    const test::Folder folder;
    WithBike from(folder("from.restand")), to(folder("to.restand"));
    from.begin();
    from.baseline(rear_end("95", "470"));
    from.change(rear_end("100", "470"));
    REQUIRE(from.setup().stale.empty());
    to.take(from.file());
    CHECK(to.setup().stale.empty());
    check_same_heights(from, to);
    CHECK(to.file() == from.file());
}

TEST_CASE("bike file: a height that was computed is computed again, it does not become a reading") {
    const test::Folder folder;
    WithBike from(folder("from.restand")), to(folder("to.restand"));
    from.begin();
    from.baseline(rear_end("95", "470"));
    from.change({set(P::spring_rate, "105")});
    REQUIRE(from.setup().stale.contains(rider_height));
    const LedgerCase c = test::got(read_ledger_case(from.file()));
    for (const SetValue& v : c.set_up)
        CHECK(is_computed(v.reading) ==
              (v.end == End::rear && from.setup().stale.contains({v.end, v.reading.point})));
    to.take(from.file());
    CHECK(to.setup().stale == from.setup().stale);
    CHECK(to.setup().stored(End::rear, P::ride_height_rider)->reading.repeats.front().text == "470");
    check_same_heights(from, to);
    CHECK(to.file() == from.file());
}

TEST_CASE(
    "bike file: a computed height that other readings led to is kept, and still says that it is computed") {
    const test::Folder folder;
    WithBike from(folder("from.restand")), to(folder("to.restand"));
    from.begin();
    from.baseline(rear_end("95", "470"));
    // Another rider; then another spring, and nobody reads a height.
    from.change(rear_end("100", "466"));
    from.change({set(P::spring_rate, "105")});
    REQUIRE(from.setup().stale.contains(rider_height));
    to.take(from.file());
    check_same_heights(from, to);
    CHECK(is_computed(to.setup().stored(End::rear, P::ride_height_rider)->reading));
    CHECK(to.file() == from.file());
}

TEST_CASE("bike file: a bike is taken whole or not at all") {
    const test::Folder folder;
    WithBike from(folder("from.restand")), to(folder("to.restand"));
    from.begin();
    from.baseline(rear_end("95", "470"));
    const LedgerCase c = test::got(read_ledger_case(from.file()));
    // The baseline says where it is from, and is too large for an entry.
    CHECK_FALSE(take_bike(to.store, c, std::string(body_cap, 'x'), {}));
    CHECK(test::got(to.store.all()).empty());
    CHECK(take_bike(to.store, c, "bike.json", {}));
}
