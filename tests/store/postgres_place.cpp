#include "core/sync/postgres.h"

#include <atomic>
#include <random>
#include <thread>

#include "tests/store/postgres_server.h"
#include "tests/store/team.h"

using namespace restand;
using test::server;

namespace {

std::string lines(std::string text) {
    while (text.ends_with("\n")) text.pop_back();
    return text;
}

}  // namespace

TEST_CASE("PostgreSQL: without it, or without a server, it is said in words") {
    const test::Folder home;
    test::Device a(home, "a");
    a.write(1);
    const auto refused =
        put(PostgresPlace{"host=/nowhere dbname=none connect_timeout=2"}, a.sender(), a.those());
    REQUIRE_FALSE(refused);
    CHECK(refused.error().subject == "PostgreSQL");
    CHECK(refused.error().code == (postgres_built_in() ? ErrorCode::io : ErrorCode::not_found));
    CHECK_FALSE(refused.error().detail.empty());
}

TEST_CASE("PostgreSQL: two devices meet and agree, and every field comes back") {
    if (!server()) return;
    const PostgresPlace place = server()->place("meet");
    const test::Folder home;
    test::Device a(home, "a"), b(home, "b");
    const auto begun = test::begin_swap(a.store);
    test::got(a.store.append(encode(RetractionBody{"slipped, 'twice' — \\ \"so\""}, begun.bike, begun.swap,
                                    begun.person, {begun.first, begun.second})));
    NewEntry later{"weather", begun.bike, {}, begun.person, {}, R"({ "air_c" : 2.1e1, "é" : "\u0000" })"};
    test::got(a.store.append(later));
    b.write(3);
    CHECK(test::got(look(place, a.sender())).empty());
    CHECK(test::exchange(place, a) == 0);
    auto seen = test::got(look(place, b.sender()));
    REQUIRE(seen.size() == 1);
    CHECK(seen[0].sender.name == "a");
    CHECK(seen[0].has == 8);
    CHECK(seen[0].lacks == 3);
    CHECK(test::exchange(place, b) == 8);
    CHECK(test::exchange(place, a) == 3);
    CHECK(test::got(a.store.all()) == test::got(b.store.all()));
    CHECK(test::got(b.store.check()).found.empty());
    for (const test::Device* device : {&a, &b})
        for (const Seen& one : test::got(look(place, device->sender()))) {
            CHECK(one.has == 0);
            CHECK(one.lacks == 0);
        }
}

TEST_CASE("PostgreSQL: the devices' role may insert and select, nothing else") {
    if (!server()) return;
    const PostgresPlace place = server()->place("rights");
    const test::Folder home;
    test::Device a(home, "a");
    a.write(2);
    test::exchange(place, a);
    for (const char* refused :
         {"update restand_entry set number = 9", "delete from restand_entry", "truncate restand_entry",
          "update restand_device set holds = ''", "delete from restand_device", "drop table restand_entry"}) {
        CAPTURE(refused);
        CHECK_FALSE(server()->sql("team", "rights", refused));
        CHECK((server()->said.find("permission denied") != std::string::npos ||
               server()->said.find("must be owner") != std::string::npos));
    }
    REQUIRE(server()->sql("team", "rights", "select count(*) from restand_entry"));
    CHECK(lines(server()->said) == "2");
    // Without the right to insert a put is refused, and says why.
    REQUIRE(server()->sql("owner", "rights", "revoke insert on restand_entry from team"));
    a.write(1);
    const auto refused = put(place, a.sender(), a.those());
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::read_only);
    // Without the tables: what is missing is named.
    REQUIRE(server()->sql("owner", "postgres", "create database bare"));
    PostgresPlace bare = place;
    bare.connection.replace(bare.connection.find("rights"), 6, "bare");
    CHECK(take(bare, a.sender()).error().code == ErrorCode::not_found);
}

TEST_CASE("PostgreSQL: four devices put and take at once; the table holds the union, each entry once") {
    if (!server()) return;
    const PostgresPlace place = server()->place("crowd");
    const test::Folder home;
    std::vector<std::unique_ptr<test::Device>> devices;
    for (const char* name : {"a", "b", "c", "d"})
        devices.push_back(std::make_unique<test::Device>(home, name));
    // Two thirds of what each holds, the others hold too.
    test::Device shared(home, "shared");
    std::vector<NewEntry> many;
    for (int i = 0; i < 4000; ++i) many.push_back(encode(PersonBody{std::to_string(i)}));
    const auto common = test::got(shared.store.append_all(many));
    std::mt19937 random(23);
    for (const auto& device : devices) {
        std::vector<Entry> some;
        for (const Entry& entry : common)
            if (random() % 3) some.push_back(entry);
        test::got(device->store.merge(some));
        test::got(device->store.append_all({many.begin(), many.begin() + 1000}));
    }
    std::set<std::pair<Id, Hash>> all;
    for (const auto& device : devices) all.merge(device->entries());

    std::atomic<int> failures{0};
    for (int round = 0; round < 2; ++round) {
        std::vector<std::thread> threads;
        for (const auto& device : devices)
            threads.emplace_back([&failures, &place, &device] {
                if (!put(place, device->sender(), device->those())) ++failures;
                const auto taken = take(place, device->sender());
                if (!taken || !taken->refused.empty() || !device->store.merge(taken->entries)) ++failures;
            });
        for (std::thread& thread : threads) thread.join();
    }
    CHECK(failures == 0);
    REQUIRE(server()->sql("owner", "crowd", "select count(*), count(distinct id) from restand_entry"));
    CHECK(lines(server()->said) == std::to_string(all.size()) + "|" + std::to_string(all.size()));
    for (const auto& device : devices) CHECK(device->entries() == all);
}

TEST_CASE("PostgreSQL: rows that commit out of order and gaps are found; forks come whole") {
    if (!server()) return;
    const PostgresPlace place = server()->place("gaps");
    const test::Folder home;
    test::Device a(home, "a"), b(home, "b");
    a.write(9);
    const auto entries = test::got(a.store.all());
    // b has 2, 5 and 9 of a's from elsewhere, and puts them before a puts any.
    test::got(b.store.merge({entries[1], entries[4], entries[8]}));
    test::exchange(place, b);
    CHECK(test::exchange(place, a) == 0);
    CHECK(test::exchange(place, b) == 6);
    CHECK(b.entries() == a.entries());

    // A device that went on from an old copy: two entries under one number.
    { const Store closed = std::move(a.store); }
    std::filesystem::copy_file(a.path, home("copy.restand"));
    a.store = test::open(a.path);
    test::Device copy(home, "copy");
    a.write(2);
    copy.write(2);
    auto both = a.entries();
    both.merge(copy.entries());
    const auto put_and_take = [&](test::Device& device) {
        test::got(put(place, device.sender(), device.those()));
        test::got(device.store.merge(test::got(take(place, device.sender())).entries));
    };
    for (int round = 0; round < 2; ++round)
        for (test::Device* device : {&a, &copy, &b}) put_and_take(*device);
    CHECK(a.entries() == both);
    CHECK(copy.entries() == both);
    CHECK(b.entries() == both);
}

TEST_CASE("PostgreSQL: a row that somebody changed is refused and named") {
    if (!server()) return;
    const PostgresPlace place = server()->place("changed");
    const test::Folder home;
    test::Device a(home, "a"), b(home, "b");
    a.write(3);
    test::exchange(place, a);
    REQUIRE(server()->sql("owner", "changed",
                          "update restand_entry set body = '{\"name\":\"x\"}' where number = 2"));
    const Taken taken = test::got(take(place, b.sender()));
    CHECK(taken.entries.size() == 2);
    REQUIRE(taken.refused.size() == 1);
    CHECK(taken.refused[0].code == ErrorCode::damaged);
    CHECK(taken.refused[0].subject.find(to_text(test::got(a.store.all())[1].id)) != std::string::npos);
}

TEST_CASE("PostgreSQL: stopped, it says so; a clock set back does not hide what a device holds") {
    if (!server()) return;
    const PostgresPlace place = server()->place("stopped");
    const test::Folder home;
    test::Device a(home, "a"), b(home, "b");
    a.write(3);
    Progress progress;
    progress.cancelled = true;
    CHECK(put(place, a.sender(), a.those(), &progress).error().code == ErrorCode::cancelled);
    REQUIRE(server()->sql("owner", "stopped", "select count(*) from restand_entry"));
    CHECK(lines(server()->said) == "0");
    const std::int64_t now = 1'760'000'000'000, ten_years = 315'360'000'000;
    test::got(put(place, a.sender(now), a.those()));
    a.write(2);
    test::got(put(place, a.sender(now - ten_years), a.those()));
    const auto seen = test::got(look(place, b.sender()));
    REQUIRE(seen.size() == 1);
    CHECK(seen[0].has == 5);
}

TEST_CASE("postgres place: a server frozen in mid-transfer is given up after the time that is said") {
    if (!server()) return;
    PostgresPlace place = server()->place("frozen");
    place.patience = std::chrono::seconds(1);
    const test::Folder home;
    test::Device a(home, "a");
    a.write(5);
    const Those freezing = [&](const std::vector<Lack>& wanted) {
        server()->freeze(true);
        return a.store.those(wanted);
    };
    const auto from = std::chrono::steady_clock::now();
    const auto given_up = put(place, a.sender(), freezing);
    const auto took = std::chrono::steady_clock::now() - from;
    server()->freeze(false);
    REQUIRE_FALSE(given_up);
    CHECK(given_up.error().code == ErrorCode::io);
    CHECK(given_up.error().detail == "the server has not answered for 1 s, it is given up");
    CHECK(took >= std::chrono::seconds(1));
    CHECK(took < std::chrono::seconds(8));
    // What was on its way may have arrived after all; either way the next exchange makes it whole.
    test::got(put(place, a.sender(), a.those()));
    test::Device b(home, "b");
    CHECK(test::got(take(place, b.sender())).entries.size() == 5);
}
