#include "core/ledger/history.h"

#include <doctest/doctest.h>

#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::fact;
using test::kept;
using test::set_to;

namespace {
using P = Point;

FindBy by(Body body) {
    return find_by(fact({1, 1, std::move(body)}));
}
bool has(const std::string& text, std::string_view word) {
    return text.find(word) != std::string::npos;
}
}  // namespace

TEST_CASE("history: seven kinds are moments, the others belong to one") {
    for (const char* kind : {"baseline", "swap", "change", "event", "part", "way", "record"})
        CHECK(is_moment(kind));
    for (const char* kind : {"person", "units", "bike", "step", "swap_end", "reading", "retraction", "tick",
                             "way_end", "device", "", "correction_2"})
        CHECK_FALSE(is_moment(kind));
}

TEST_CASE("history: what each kind is found by") {
    BaselineBody b{"dived at the hairpin",
                   {},
                   {kept(End::rear, P::part_name, "race shock A"), kept(End::front, P::tyre, "rain, 120"),
                    kept(End::rear, P::chain_slack, "34")}};
    b.values[2].stored.reading.where = "mid span";
    const FindBy baseline = by(b);
    CHECK(has(baseline.words, "dived at the hairpin"));
    CHECK(has(baseline.words, "mid span"));
    CHECK(baseline.parts == "race shock A\nrain, 120");
    CHECK_FALSE(has(baseline.words, "race shock"));

    CHECK(by(SwapBody{{SwapPart::fork_springs}}).words == key(SwapPart::fork_springs));

    const FindBy change =
        by(ChangeBody{"softer for the rain",
                      {set_to(End::rear, P::tyre, "rain"), set_to(End::rear, P::clicks_rebound_low, "12")}});
    CHECK(has(change.words, "softer for the rain"));
    CHECK(has(change.words, "clicks_rebound_low"));
    CHECK(change.parts == "rain");

    EventBody e;
    e.day = "2026-03-14", e.circuit = "Tarnmoor", e.session = "practice 2", e.weather = "drizzle",
    e.tyre = "rain, new";
    e.words = "chatters mid corner";
    const FindBy event = by(e);
    for (const char* word : {"2026-03-14", "Tarnmoor", "practice 2", "drizzle", "chatters mid corner"})
        CHECK(has(event.words, word));
    CHECK(event.parts == "rain, new");

    PartBody p;
    p.name = "chain";
    CHECK(by(p).parts == "chain");

    const FindBy record =
        by(RecordBody{"2025-09-02", "sheet.csv", {set_to(End::rear, P::part_name, "old shock")}});
    CHECK(has(record.words, "2025-09-02"));
    CHECK(has(record.words, "sheet.csv"));
    CHECK(record.parts == "old shock");

    CHECK(by(PlanBody{}).words.empty());
    CHECK(by(RetractionBody{"undo"}).words.empty());
}
