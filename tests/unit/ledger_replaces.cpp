#include "core/ledger/replaces.h"

#include <doctest/doctest.h>

using namespace restand;

namespace {
using P = Point;

Reading reading_of(Point point, const char* text) {
    return {point, {Typed{text, Unit::mm}}, {}, {}};
}
}  // namespace

TEST_CASE("replaces: a reading takes the place of one of the same phase, end and point, of no other") {
    const auto body = [](Phase phase, End end, Point point, const char* text) -> Body {
        return ReadingBody{phase, reading_of(point, text), false, end};
    };
    const Body kept = body(Phase::before, End::front, P::ride_height_rider, "500");
    CHECK(takes_the_place_of(body(Phase::before, End::front, P::ride_height_rider, "501"), kept));
    CHECK_FALSE(takes_the_place_of(body(Phase::before, End::rear, P::ride_height_rider, "501"), kept));
    CHECK_FALSE(takes_the_place_of(body(Phase::check, End::front, P::ride_height_rider, "501"), kept));
    CHECK_FALSE(takes_the_place_of(body(Phase::before, End::front, P::ride_height_static, "501"), kept));
    CHECK_FALSE(takes_the_place_of(PersonBody{"Ilse"}, kept));
}

TEST_CASE("replaces: a change takes the place of one all of whose values it sets, at the same end") {
    const auto value = [](End end, Point point) { return SetValue{end, reading_of(point, "3")}; };
    const ChangeBody kept{"", {value(End::front, Point::fork_position)}};
    const ChangeBody more{"",
                          {value(End::front, Point::fork_position), value(End::rear, Point::axle_position)}};
    const ChangeBody other{"", {value(End::rear, Point::fork_position)}};
    CHECK(takes_the_place_of(more, kept));
    CHECK_FALSE(takes_the_place_of(kept, more));
    CHECK_FALSE(takes_the_place_of(other, kept));
}
