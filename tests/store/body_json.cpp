#include "core/codec/body_json.h"

#include <nlohmann/json.hpp>

#include "core/codec/canonical.h"
#include "core/codec/json_text.h"
#include "tests/store/workshop.h"

using namespace restand;
using nlohmann::json;

namespace {

Body back(const Body& body) {
    auto read = body_from_json(kind_of(body), body_json(body));
    INFO(body_json(body));
    return test::got(std::move(read));
}
Error refusal(std::string_view kind, std::string_view text) {
    const auto read = body_from_json(kind, text);
    REQUIRE_FALSE(read);
    return read.error();
}
Id some_id(std::uint8_t n) {
    Id id;
    id.bytes.fill(n);
    return id;
}
constexpr const char* a_reading =
    R"({"phase":"before","point":"eye_to_eye","repeats":[{"text":"309,9","unit":"mm"}]})";

}  // namespace

TEST_CASE("body: every kind comes back as it was") {
    BaselineBody baseline{"feels right", {}};
    baseline.values.push_back({End::rear,
                               {test::reading(Point::eye_to_eye, "309,9"),
                                some_id(1),
                                some_id(2),
                                {1'790'000'000'123, 0x10007},
                                some_id(3),
                                true}});
    baseline.values.push_back(
        {End::front, {test::reading(Point::tyre, "120 soft", Unit::one), {}, {}, {}, {}, false}});
    BaselineBody unchecked = baseline;
    unchecked.judged = Judged::not_checked;
    JobBody job{.what = "cut the undertray",
                .why = "20 min lost",
                .before = Milestone::shakedown,
                .part = "relay",
                .from = "the wholesaler",
                .ordered = "22 October",
                .due = "Friday",
                .arrived = true,
                .blocked_by = {some_id(4), some_id(5)},
                .who = some_id(6),
                .minutes_planned = 45.0,
                .minutes_taken = 50.5,
                .done = true,
                .dropped = true};
    BikeBody bike = test::bike("No. 27 \"wet\" \xc3\xa9");
    bike.note = "rain\nset";
    bike.archived = true;
    bike.front.tolerance = mm(0.0);
    bike.geometry.wheelbase = mm(1412.25);
    bike.mechanism.chain_pitch = mm(12.7);
    bike.gearbox = {1.9, 12500, {2.6, 0, 1.5}};
    bike.geometry.rake.reset();  // degrees and radians are not inverse to the last bit; below
    for (const Body& body : std::vector<Body>{
             PersonBody{"Ines"}, UnitsBody{{Unit::inch, Unit::lbf_per_in, Unit::kgf, Unit::lb, Unit::psi}},
             bike, BikeBody{}, SwapBody{{SwapPart::fork_springs}}, StepBody{Step6::keep}, SwapEndBody{true},
             SwapEndBody{false},
             ReadingBody{Phase::check, test::reading(Point::spring_rate, "540", Unit::lbf_per_in), true},
             ReadingBody{Phase::set, test::reading(Point::eye_to_eye, "310"), false, End::front}, baseline,
             BaselineBody{}, unchecked, job, JobBody{}, RetractionBody{"undo"}, RetractionBody{}})
        CHECK(back(body) == body);
}

TEST_CASE("body: every milestone and every judgement of a swap is read by its key") {
    for (const Milestone milestone : all_milestones) {
        JobBody job;
        job.before = milestone;
        CHECK(back(job) == Body(job));
    }
    for (const Judged judged : {Judged::not_said, Judged::restored, Judged::not_restored, Judged::cannot_tell,
                                Judged::not_checked}) {
        BaselineBody baseline;
        baseline.judged = judged;
        CHECK(back(baseline) == Body(baseline));
    }
    CHECK(refusal("job", R"({"what":"x","before":"lunch"})").subject.find("before") != std::string::npos);
}

TEST_CASE("body: every unit, step, phase and part has a key of its own") {
    for (int i = 0; i < step_count; ++i)
        CHECK(back(StepBody{static_cast<Step6>(i)}) == Body(StepBody{static_cast<Step6>(i)}));
    std::vector<SwapPart> all;
    for (int i = 0; i < swap_part_count; ++i) {
        const SwapBody one{{all.emplace_back(static_cast<SwapPart>(i))}};
        CHECK(back(one) == Body(one));
    }
    CHECK(back(SwapBody{all}) == Body(SwapBody{all}));
    for (int i = 0; i <= static_cast<int>(Unit::inch_per_turn); ++i) {
        UnitsBody units;
        units.units.length = static_cast<Unit>(i);
        CHECK(back(units) == Body(units));
    }
}

TEST_CASE("body: an angle is stored in degrees") {
    const auto written = json::parse(body_json(test::bike("27")));
    CHECK(written["geometry"]["rake_deg"].get<double>() == doctest::Approx(24.0).epsilon(1e-15));
    CHECK(written["rear"]["pairs_mm"] == json::parse("[[290.0,455.0],[310.5,500.0]]"));
    const auto bike = std::get<BikeBody>(back(test::bike("27")));
    CHECK(in_degrees(*bike.geometry.rake) == doctest::Approx(24.0).epsilon(1e-15));
}

TEST_CASE("body: a reading as any tool sees it") {
    Reading r = test::reading(Point::eye_to_eye, "309,9");
    r.repeats.push_back({"310.1", Unit::mm});
    const auto written = json::parse(body_json(ReadingBody{Phase::before, r, false}));
    CHECK(written ==
          json::parse(R"({"phase":"before","point":"eye_to_eye","value_mm":310.0,"where":"on the stand",
        "repeats":[{"text":"309,9","unit":"mm"},{"text":"310.1","unit":"mm"}],
        "instrument":{"name":"calliper","resolution_mm":0.01,"accuracy_mm":0.03}})"));
    const auto rate = json::parse(
        body_json(ReadingBody{Phase::before, test::reading(Point::spring_rate, "540", Unit::lbf_per_in)}));
    // 1 lbf/in = 4.4482216152605 N / 25.4 mm exactly: NIST SP 811 (2008), App. B.8.
    CHECK(rate["value_n_per_mm"].get<double>() ==
          doctest::Approx(540 * 4.4482216152605 / 25.4).epsilon(1e-15));
    // A value that contradicts the repeats is a comment, not a reading.
    const auto lied = test::got(body_from_json(
        "reading",
        R"({"phase":"before","point":"eye_to_eye","value_mm":1,"repeats":[{"text":"309,9","unit":"mm"}]})"));
    CHECK(std::get<ReadingBody>(lied).reading.repeats[0].text == "309,9");
    // A name has no value.
    CHECK_FALSE(
        json::parse(body_json(ReadingBody{Phase::before, test::reading(Point::tyre, "soft", Unit::one)}))
            .contains("value"));
}

TEST_CASE("body: keys of a later version are passed over, a kind of a later version is named") {
    CHECK(body_from_json("person", R"({"name":"Ines","glove_size":[1,{"a":null}]})"));
    const Error unknown = refusal("gearing", "{}");
    CHECK(unknown.code == ErrorCode::not_found);
    CHECK(unknown.subject == "gearing");
}

TEST_CASE("body: what is wrong is named by its path") {
    struct {
        const char* kind;
        const char* text;
        ErrorCode code;
        const char* subject;
    } const cases[] = {
        {"person", "{}", ErrorCode::missing, "name"},
        {"person", R"({"name":7})", ErrorCode::wrong_type, "name"},
        {"person", "[]", ErrorCode::wrong_type, "json"},
        {"bike", R"({"name":"27","rear":{"leverage":"2"}})", ErrorCode::wrong_type, "rear.leverage"},
        {"bike", R"({"name":"27","rear":{"leverage":null}})", ErrorCode::wrong_type, "rear.leverage"},
        {"bike", R"({"name":"27","rear":{"pairs_mm":[[1,2],[3]]}})", ErrorCode::wrong_type,
         "rear.pairs_mm[1]"},
        {"bike", R"({"name":"27","rear":[]})", ErrorCode::wrong_type, "rear"},
        {"step", R"({"step":"lunch"})", ErrorCode::out_of_range, "step"},
        {"swap_end", R"({"kept":1})", ErrorCode::wrong_type, "kept"},
        {"reading", R"({"phase":"before","point":"saddle","repeats":[]})", ErrorCode::out_of_range, "point"},
        {"reading", R"({"phase":"before","point":"eye_to_eye"})", ErrorCode::missing, "repeats"},
        {"reading", R"({"phase":"before","point":"eye_to_eye","repeats":[{"text":"1"}]})", ErrorCode::missing,
         "repeats[0].unit"},
        {"reading", R"({"phase":"before","point":"eye_to_eye","repeats":[{"text":"wide","unit":"mm"}]})",
         ErrorCode::not_a_number, "eye_to_eye"},
        {"reading", R"({"phase":"before","point":"eye_to_eye","repeats":[{"text":"1","unit":"kg"}]})",
         ErrorCode::wrong_unit, "eye_to_eye"},
        {"reading", R"({"phase":"before","point":"eye_to_eye","repeats":[{"text":"-5","unit":"mm"}]})",
         ErrorCode::out_of_range, "eye_to_eye"},
        {"baseline",
         R"({"values":[{"end":"rear","point":"travel","repeats":[{"text":"1","unit":"mm"}],"by":"x"}]})",
         ErrorCode::wrong_type, "values[0].by"},
        {"baseline",
         R"({"values":[{"end":"rear","point":"travel","repeats":[{"text":"1","unit":"mm"}],"at_ms":0.5}]})",
         ErrorCode::wrong_type, "values[0].at_ms"},
    };
    for (const auto& c : cases) {
        INFO(c.text);
        const Error error = refusal(c.kind, c.text);
        CHECK(static_cast<int>(error.code) == static_cast<int>(c.code));
        CHECK(error.subject == c.subject);
    }
}

TEST_CASE("json: hostile text is refused, not crashed on") {
    for (const std::string& text :
         std::vector<std::string>{"", "{", R"({"name":"Ines"} x)", "{'name':1}", "nul", R"({"name":NaN})",
                                  R"({"name":Infinity})", R"({"a":1e400})", R"({"name":"a","name":"b"})",
                                  "{\"name\":\"\xff\xfe\"}", "{\"name\":\"\xc0\xaf\"}", "{\"name\":\"a\nb\"}",
                                  std::string(1'000'000, '['), std::string(70, '[') + std::string(70, ']')}) {
        INFO(text.substr(0, 40));
        CHECK(refusal("person", text).code == ErrorCode::damaged);
    }
    CHECK(parse_json(std::string(64, '[') + std::string(64, ']')));
    CHECK_FALSE(parse_json(std::string(65, '[') + std::string(65, ']')));
}

TEST_CASE("json: doubles come back to the last bit") {
    for (const double v : {5e-324, 1.7976931348623157e308, 0.1, -0.0, 1.0 / 3.0, 469.80000000000001}) {
        const auto read = test::got(parse_json(print_json(json::array({v}))));
        CHECK(std::bit_cast<std::uint64_t>(read[0].get<double>()) == std::bit_cast<std::uint64_t>(v));
    }
}

TEST_CASE("json: text that is no UTF-8 is written without an exception") {
    CHECK(body_from_json("person", body_json(PersonBody{"In\xff"
                                                        "es"})));
}

TEST_CASE("hash: spaces and the order of keys do not count, everything else does") {
    Entry e;
    e.id = some_id(1);
    e.device = 7, e.number = 3, e.clock = {1000, 2};
    e.kind = "reading";
    e.bike = some_id(2), e.about = some_id(3), e.by = some_id(4);
    e.supersedes = {some_id(5), some_id(6)};
    e.previous.fill(9);
    e.body = R"({"a":1,"b":[true,null,"x"]})";
    const Hash hash = test::got(hash_of(e));

    Entry same = e;
    same.body = "{ \"b\" : [true, null, \"x\"],\n\"a\": 1.0 }";
    same.hash.fill(1);
    CHECK(test::got(hash_of(same)) == hash);

    std::vector<Entry> others(15, e);
    others[0].id = some_id(9);
    others[1].device = 8;
    others[2].number = 4;
    others[3].clock.ms = 1001;
    others[4].clock.counter = 3;
    others[5].kind = "readings";
    others[6].bike = {};
    others[7].about = {};
    others[8].by = {};
    others[9].supersedes = {some_id(6), some_id(5)};
    others[10].supersedes.pop_back();
    others[11].previous.fill(8);
    others[12].body = R"({"a":1,"b":[true,null,"y"]})";
    others[13].body = R"({"a":1.0000000000000002,"b":[true,null,"x"]})";
    others[14].body = R"({"a":1,"b":[true,null,"x"],"c":false})";
    for (const Entry& other : others) CHECK(test::got(hash_of(other)) != hash);

    e.body = "1,2";
    CHECK_FALSE(hash_of(e));
    e.body = "[1]";
    CHECK_FALSE(hash_of(e));
}

TEST_CASE("hash: SHA-256 of the canonical bytes, for ever") {
    // The bytes were put together from canonical.h's description by another program (Python's struct and
    // hashlib).
    Entry e;
    e.kind = "k";
    e.number = 1;
    e.body = R"({"v":0.5,"t":"x"})";
    CHECK(to_text(test::got(hash_of(e))) ==
          "febd177cc01475349c8e4ef83d20641af20834c7362686a059ebcc3a9e7ddfaf");
}

TEST_CASE("reading into a ledger: the unknown is reported and the rest is there") {
    Entry person, later, broken;
    person.id = some_id(1), person.kind = "person", person.body = R"({"name":"Ines"})";
    later.id = some_id(2), later.kind = "gearing", later.body = "{}", later.supersedes = {some_id(1)};
    broken.id = some_id(3), broken.kind = "reading", broken.body = a_reading + 1;
    Ledger ledger;
    const auto unread = read_into(ledger, {person, broken});
    REQUIRE(unread.size() == 1);
    CHECK(unread[0].entry == broken.id);
    CHECK(ledger.people().size() == 1);
    CHECK(read_into(ledger, {later})[0].error.code == ErrorCode::not_found);
    CHECK(ledger.people().empty());
}
