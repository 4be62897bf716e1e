// The time line, the set-up and the opening, each against a plain walk over all entries.

#include <algorithm>
#include <functional>
#include <random>
#include <set>

#include "core/ledger/setup.h"
#include "tests/store/season.h"
#include "tests/store/sql.h"

using namespace restand;
using test::sql;

namespace {

bool newer(const Entry& a, const Entry& b) {
    return std::tie(b.clock, b.id) < std::tie(a.clock, a.id);
}

// Lower-case pieces of letters and digits: what unicode61 makes of ASCII text (SQLite, FTS5 4.3.1).
std::vector<std::string> tokens(const std::string& text) {
    std::vector<std::string> list(1);
    for (const char c : text) {
        const bool letter = std::isalnum(static_cast<unsigned char>(c)) != 0;
        if (letter) list.back() += static_cast<char>(std::tolower(c));
        if (!letter && !list.back().empty()) list.emplace_back();
    }
    if (list.back().empty()) list.pop_back();
    return list;
}

// Every entry looked at, nothing derived.
std::vector<Entry> plain_history(const std::vector<Entry>& all, const HistoryQuery& q) {
    std::vector<Entry> found;
    for (const Entry& e : all) {
        if (!is_moment(e.kind) || (!q.bike.nil() && e.bike != q.bike)) continue;
        if (!q.kinds.empty() && !q.kinds.contains(e.kind)) continue;
        const Fact fact = test::got(decode(e));
        const FindBy by = find_by(fact);
        const auto held = tokens(by.words + " " + by.parts);
        const auto wanted = tokens(q.text);
        const bool all_words = std::all_of(wanted.begin(), wanted.end(), [&](const std::string& w) {
            return std::any_of(held.begin(), held.end(),
                               [&](const std::string& h) { return h.starts_with(w); });
        });
        const auto names = test::parts_in(fact.body);
        if (all_words && (q.part.empty() || names.contains(q.part))) found.push_back(e);
    }
    std::sort(found.begin(), found.end(), newer);
    return found;
}

HistoryQuery query(std::string text, Id bike = {}) {
    HistoryQuery q;
    q.bike = bike;
    q.text = std::move(text);
    return q;
}

std::vector<Entry> every_page(const Store& store, HistoryQuery q) {
    std::vector<Entry> list;
    for (int pages = 0; pages < 10'000; ++pages) {
        const HistoryPage page = test::got(store.history(q));
        list.insert(list.end(), page.moments.begin(), page.moments.end());
        CHECK(page.moments.size() <= q.limit);
        if (!page.more) return list;
        REQUIRE(page.moments.size() == q.limit);
        q.before = {page.moments.back().clock, page.moments.back().id};
    }
    FAIL("the pages never end");
    return list;
}

void expect_history(const Store& store, std::mt19937& random, int queries) {
    const auto all = test::got(store.all());
    const auto bikes = test::bikes_in(all);
    const char* texts[] = {"",      "wet",     "we", "WET slick", "rebound", "medium 3",
                           "round", "no such", "s",  "turn-in",   "  -  ",   "front wet"};
    for (int i = 0; i < queries; ++i) {
        HistoryQuery q;
        if (random() % 4) q.bike = bikes[random() % bikes.size()];
        q.text = texts[random() % std::size(texts)];
        if (random() % 3 == 0) q.part = test::part_of(random);
        if (random() % 3 == 0)
            for (const char* kind : {"change", "event", "swap"})
                if (random() % 2) q.kinds.insert(kind);
        q.limit = 1 + random() % 20;
        INFO("text '" << q.text << "', part '" << q.part << "', limit " << q.limit);
        CHECK(every_page(store, q) == plain_history(all, q));
    }
}

// What the ledger's own fold of all entries says.
std::set<Id> gone_of(const std::vector<Entry>& all) {
    std::set<Id> gone;
    for (const Entry& e : all) gone.insert(e.supersedes.begin(), e.supersedes.end());
    return gone;
}

std::vector<Fact> facts_of(const std::vector<Entry>& entries) {
    std::vector<Fact> facts;
    for (const Entry& e : entries)
        if (auto fact = decode(e)) facts.push_back(std::move(*fact));
    return facts;
}
SetUp folded(const Id& bike, const std::vector<Fact>& facts, Clock until) {
    std::vector<const Fact*> list;
    for (const Fact& f : facts) list.push_back(&f);
    return setup_at(bike, list, until);
}

void expect_same_setup(const SetUp& a, const SetUp& b) {
    CHECK(a.baseline == b.baseline);
    CHECK(a.at == b.at);
    CHECK(a.values == b.values);
}

}  // namespace

TEST_CASE("history: pages are a walk over all entries, in every filter, newest first") {
    const test::Folder folder;
    std::mt19937 random(5);
    Store store = test::open(folder("w.restand"));
    test::write_season(store, random, 300);
    expect_history(store, random, 120);
    CHECK(test::got(store.check()).found.empty());
}

TEST_CASE("history: entries of one millisecond keep their order over pages") {
    const test::Folder folder;
    auto opened =
        Store::open(folder("w.restand"), Store::Mode::create, [] { return std::int64_t{1'790'000'000'000}; });
    REQUIRE(opened);
    std::mt19937 random(6);
    test::write_season(*opened, random, 120);
    expect_history(*opened, random, 60);
}

TEST_CASE("history: a merged ledger, clocks far apart and out of range, is read the same") {
    const test::Folder folder;
    std::mt19937 random(7);
    Store a = test::open(folder("a"));
    test::write_season(a, random, 80);
    auto entries = test::got(a.all());
    for (Entry& e : entries) {
        if (random() % 3 == 0) e.clock.ms = random() % 2 ? -5 : last_day_ms - static_cast<int>(random() % 2);
        if (random() % 5 == 0)
            e.clock = {1'790'000'000'000, 0xfffe'ffffu - static_cast<std::uint32_t>(random() % 2)};
        e.hash = test::got(hash_of(e));
    }
    Store b = test::open(folder("b"));
    CHECK(test::got(b.merge(entries)).added == entries.size());
    expect_history(b, random, 60);
    // Hashed anew, none follows the one it names; nothing else is found.
    const Health health = test::got(b.check());
    CHECK(health.found.empty());
    CHECK_FALSE(health.gaps.empty());
}

TEST_CASE("history: a file of version 1 is read as it is, and brought up when it is written to") {
    const test::Folder folder;
    std::mt19937 random(8);
    const std::string path = folder("w.restand");
    {
        Store store = test::open(path);
        test::write_season(store, random, 150);
    }
    test::make_version_1(path);
    const std::string before = test::bytes_of(path);
    std::vector<Entry> opening;
    {
        const Store reader = test::open(path, Store::Mode::read);
        expect_history(reader, random, 40);
        opening = test::got(reader.opening());
        CHECK(test::got(reader.check()).found.empty());
    }
    CHECK(test::bytes_of(path) == before);
    const Store store = test::open(path, Store::Mode::write);
    CHECK(test::bytes_of(path) != before);
    CHECK(test::got(store.opening()) == opening);
    expect_history(store, random, 40);
    CHECK(test::got(store.check()).found.empty());
}

TEST_CASE("history: with a damaged index of words, words are found by reading, and the check says so") {
    const test::Folder folder;
    std::mt19937 random(9);
    const std::string path = folder("w.restand");
    {
        Store store = test::open(path);
        test::write_season(store, random, 150);
    }
    SUBCASE("its blocks are rubbish") {
        sql(path, "UPDATE words_data SET block=randomblob(length(block)) WHERE id>1");
    }
    SUBCASE("its structure is gone") {
        sql(path, "DELETE FROM words_data WHERE id<=10");
    }
    SUBCASE("a row names another entry") {
        sql(path, "UPDATE words_content SET c3=randomblob(16)");
    }
    {
        const Store reader = test::open(path, Store::Mode::read);
        expect_history(reader, random, 30);
        const Health health = test::got(reader.check());
        CHECK(health.whole);
        CHECK_FALSE(health.found.empty());
    }
    Store store = test::open(path, Store::Mode::write);
    expect_history(store, random, 30);
    // A new moment is never refused for the index's sake.
    const auto bikes = test::bikes_in(test::got(store.all()));
    for (int i = 0; i < 5; ++i) test::got(store.append(encode(test::event("wet again"), bikes[0])));
    expect_history(store, random, 30);
}

TEST_CASE("history: what is superseded is set aside, and ends of swaps come along") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto begun = test::begin_swap(store);
    const Id wrong = test::got(store.append(encode(test::event("wet"), begun.bike))).id;
    const Id end = test::got(store.append(encode(SwapEndBody{false}, begun.bike, begun.swap))).id;
    test::got(store.append(encode(RetractionBody{"misheard"}, begun.bike, {}, {}, {wrong})));
    const HistoryPage page = test::got(store.history(query("", begun.bike)));
    REQUIRE(page.moments.size() == 2);
    CHECK(page.set_aside == std::set<Id>{wrong});
    REQUIRE(page.with_them.size() == 1);
    CHECK(page.with_them[0].id == end);
    HistoryQuery readings;
    readings.kinds = {"reading"};
    CHECK(test::got(store.history(readings)).moments.empty());
    CHECK(store.history(query(std::string(2000, 'x'))).error().code == ErrorCode::too_large);
    // Marks of accents do not count: FTS5, remove_diacritics 2.
    test::got(store.append(encode(test::event("Größe Öl"), begun.bike)));
    CHECK(test::got(store.history(query("grosse"))).moments.empty());
    CHECK(test::got(store.history(query("ol"))).moments.size() == 1);
    CHECK(test::got(store.history(query("\" OR said : *"))).moments.empty());
}

TEST_CASE("part names: every name that was ever fitted") {
    const test::Folder folder;
    std::mt19937 random(10);
    Store store = test::open(folder("w.restand"));
    test::write_season(store, random, 200);
    const auto all = test::got(store.all());
    for (const Id& bike : test::bikes_in(all)) {
        std::set<std::string> names;
        for (const Fact& f : facts_of(all))
            if (f.entry.bike == bike) names.merge(test::parts_in(f.body));
        CHECK(test::got(store.part_names(bike)) == std::vector<std::string>(names.begin(), names.end()));
    }
}

TEST_CASE("setup: folded from its few entries it is the same as from all, at any moment") {
    const test::Folder folder;
    std::mt19937 random(11);
    Store store = test::open(folder("w.restand"));
    test::write_season(store, random, 300);
    const auto all = test::got(store.all());
    const auto facts = facts_of(all);
    for (const Id& bike : test::bikes_in(all)) {
        for (int i = 0; i < 25; ++i) {
            const Clock until = i == 0 ? latest : all[random() % all.size()].clock;
            const auto few = facts_of(test::got(store.setup(bike, until)));
            CHECK(few.size() <= facts.size());
            expect_same_setup(folded(bike, few, until), folded(bike, facts, until));
        }
        // The opening holds what stands now, without the past.
        const auto opening = facts_of(test::got(store.opening()));
        expect_same_setup(folded(bike, opening, latest), folded(bike, facts, latest));
    }
    CHECK(test::got(store.opening()).size() < all.size() / 2);
}

TEST_CASE("opening: rivals, open ways and parts are there; what is superseded does not come back") {
    const test::Folder folder;
    std::mt19937 random(12);
    Store store = test::open(folder("w.restand"));
    test::write_season(store, random, 200);
    const Id bike = test::bikes_in(test::got(store.all())).front();
    const Id ground = test::got(store.append(encode(BaselineBody{"ground"}, bike))).id;
    const Id one = test::got(store.append(encode(BaselineBody{"one", ground}, bike))).id;
    const Id two = test::got(store.append(encode(BaselineBody{"two", ground}, bike))).id;
    const Id three = test::got(store.append(encode(BaselineBody{"three", ground}, bike))).id;
    test::got(store.append(encode(RetractionBody{}, bike, {}, {}, {two})));
    const Id plan = test::got(store.append(encode(PlanBody{ground}, bike))).id;
    const Id tick = test::got(store.append(encode(PlanStepBody{"set", {}}, bike, plan))).id;

    const auto all = test::got(store.all());
    const auto gone = gone_of(all);
    const auto opening = test::got(store.opening());
    const auto has = [&](const Id& id) {
        return std::any_of(opening.begin(), opening.end(), [&](const Entry& e) { return e.id == id; });
    };
    CHECK(has(three));
    CHECK(has(one));
    CHECK_FALSE(has(two));
    CHECK_FALSE(has(ground));
    CHECK(has(plan));
    CHECK(has(tick));
    Ledger ledger = test::ledger_of(opening);
    CHECK(rivals_of(ledger, *ledger.newest_baseline(bike)).size() == 2);
    CHECK(ledger.open_plan(bike));
    for (const Entry& e : all)
        if (e.kind == "part" && !gone.contains(e.id)) CHECK(has(e.id));
    for (const Entry& e : opening) CHECK(ledger.superseded(e.id) == gone.contains(e.id));
}

TEST_CASE("opening: a lost row of what is superseded brings nothing back") {
    const test::Folder folder;
    std::mt19937 random(13);
    const std::string path = folder("w.restand");
    std::vector<Entry> opening;
    {
        Store store = test::open(path);
        test::write_season(store, random, 200);
        opening = test::got(store.opening());
    }
    sql(path, "DELETE FROM gone WHERE id IN (SELECT id FROM gone ORDER BY random() LIMIT 9)");
    {
        const Store reader = test::open(path, Store::Mode::read);
        CHECK_FALSE(test::got(reader.check()).whole);
        CHECK(test::got(reader.opening()) == opening);
    }
    const Store store = test::open(path, Store::Mode::write);
    CHECK(test::got(store.opening()) == opening);
    CHECK(test::got(store.check()).found.empty());
}
