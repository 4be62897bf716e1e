// A decade: 20 bikes, 200 000 entries, 1 000 000 readings in them. What does the workshop cost then?
//   bench_scale             makes the file in a folder of its own, measures, takes it away
//   bench_scale --copies F  how long a person waits on the workshop F while it is copied
//   bench_scale --opened F  starts the app on F and prints the most memory it took (asked by the first)

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstring>
#include <fstream>
#include <sstream>
#include <thread>

#include "core/files/file.h"
#include "core/ledger/compare.h"
#include "core/store/backup.h"
#include "core/store/snapshot.h"
#include "core/store/store.h"
#include "platform/session.h"
#include "tests/bench/decade.h"
#include "tests/own_places.h"

using namespace restand;
using namespace bench;

namespace {

double memory_mb() {
    std::ifstream in("/proc/self/status");
    for (std::string line; std::getline(in, line);)
        if (line.starts_with("VmHWM:")) return std::atof(line.c_str() + 6) / 1024.0;
    return 0.0;
}

// The whole app on it, without a window: start, the time line of a bike, its wear, the devices.
int opened(const char* path) {
    const auto session = bench::must(Session::open(path, {1280, 800, 5.87f}, {}));
    const auto show = [&](const Action& action) {
        session->act(action);
        session->settle();
        session->frame(0);
    };
    const Id bike = session->app().state().ledger.bikes().front()->id;
    show(act::Go{Screen::bike, bike});
    show(act::Go{Screen::history, bike});
    show(act::Go{Screen::trend, bike});
    show(act::Go{Screen::devices, {}});
    std::printf("%.1f\n", memory_mb());
    return 0;
}

bool memory(const char* self, const std::string& path) {
    constexpr double limit = 120.0;
    const std::string command = "'" + std::string(self) + "' --opened '" + path + "'";
    FILE* pipe = ::popen(command.c_str(), "r");
    double mb = 0.0;
    check(pipe && std::fscanf(pipe, "%lf", &mb) == 1, "the second process answers");
    ::pclose(pipe);
    std::printf("%-44s %9.1f MB   limit %g MB%s\n", "resident memory of the app on it", mb, limit,
                mb <= limit ? "" : "   BEYOND");
    return mb <= limit;
}

bool opening(const std::string& path) {
    std::size_t held = 0;
    const bool fine =
        bench::report("open, opening() and fold",
                      bench::times(9,
                                   [&](int) {
                                       const Store store = bench::must(Store::open(path, Store::Mode::write));
                                       Ledger ledger;
                                       const auto entries = bench::must(store.opening());
                                       held = entries.size();
                                       check(read_into(ledger, entries).empty(), "everything decodes");
                                   }),
                      300);
    std::printf("    %zu entries in the opening\n", held);
    return fine;
}

bool pages(const Store& store, const Decade& decade) {
    bool fine = true;
    const auto time = [&](const char* what, double limit, HistoryQuery query) {
        std::size_t found = 0;
        fine &= bench::report(
            what, bench::times(15, [&](int) { found = bench::must(store.history(query)).moments.size(); }),
            limit);
        std::printf("    %zu on the page\n", found);
    };
    HistoryQuery newest;
    newest.bike = decade.bike(3);
    time("history, newest page of a bike", 16, newest);
    HistoryQuery deep = newest;
    deep.before = {{begun_ms + decade.count() / 2 * step_ms, 0}, {}};
    time("history, a page five years back", 16, deep);
    HistoryQuery all;
    time("history, newest page of all bikes", 16, all);
    HistoryQuery baselines = newest;
    baselines.kinds = {"baseline"};
    time("history, baselines of a bike", 16, baselines);
    HistoryQuery common = newest;
    common.text = "hairpin rear li";
    time("search, three words that are everywhere", 50, common);
    HistoryQuery everywhere;
    everywhere.text = "h";
    time("search, one letter, all bikes", 50, everywhere);
    HistoryQuery never = newest;
    never.text = "dry wet";
    time("search, two words never together", 50, never);
    HistoryQuery part = newest;
    part.part = bench::must(store.part_names(newest.bike)).at(0);
    time("search by part", 50, part);
    return fine;
}

bool comparing(const Store& store, const Decade& decade) {
    const Id bike = decade.bike(5);
    const auto setup = [&](Clock until) {
        std::vector<Fact> facts;
        std::vector<const Fact*> list;
        for (const Entry& e : bench::must(store.setup(bike, until))) facts.push_back(bench::must(decode(e)));
        for (const Fact& f : facts) list.push_back(&f);
        return setup_at(bike, list, until);
    };
    std::size_t differences = 0;
    const bool fine = bench::report(
        "compare two moments, read and folded",
        bench::times(15,
                     [&](int i) {
                         const Clock then{begun_ms + (decade.count() / 3 + i * 97) * step_ms, 0};
                         differences = compare(setup(then), nullptr, setup(latest), nullptr).changed.size();
                     }),
        5);
    std::printf("    %zu differences\n", differences);
    return fine;
}

// A reading kept in the large file and in an empty one by turns, so that other work on the machine slows
// both.
bool appending(const bench::Folder& folder, Store& large, const Decade& decade) {
    constexpr int runs = 150;
    constexpr double limit = 1.2;
    Store small = bench::must(Store::open(folder / "small.restand", Store::Mode::create));
    std::vector<double> in_large, in_small;
    for (int i = 0; i < runs; ++i)
        for (const bool big : {true, false}) {
            const NewEntry entry = encode(ReadingBody{Phase::before, value_of(i).reading, false},
                                          decade.bike(1), decade.bike(1));
            const bench::Moment start = bench::now();
            (void)bench::must((big ? large : small).append(entry));
            (big ? in_large : in_small).push_back(bench::ms_since(start));
        }
    const double ratio = bench::median(in_large) / bench::median(in_small);
    std::printf("append, median of %d: empty file %.2f ms, large %.2f ms, ratio %.2f   limit %g%s\n", runs,
                bench::median(in_small), bench::median(in_large), ratio, limit,
                ratio <= limit ? "" : "   BEYOND");
    return ratio <= limit;
}

// Bundles of entries that are all new.
bool importing(Store& store, Decade& decade) {
    std::vector<double> ms;
    for (int i = 0; i < 3; ++i) {
        for (const int until = decade.count() + 10'000; decade.count() < until;)
            decade.next(decade.count() % bike_count);
        const auto entries = decade.take();
        Progress progress;
        const bench::Moment start = bench::now();
        check(bench::must(store.merge(entries, &progress)).added == entries.size(), "all of it is new");
        ms.push_back(bench::ms_since(start));
    }
    return bench::report("import of a 10 000-entry bundle", ms, 2000);
}

// Nobody waits for a copy: while one is taken, checked and hashed, a reading is stored, a page of the time
// line read, and the app closed. The longest of each counts.
bool beside_copies(const std::string& path) {
    constexpr double limit = 50;
    bool fine = true;
    const auto shown = [&](const char* what, double ms) {
        std::printf("%-44s %9.1f ms   limit %g ms%s\n", what, ms, limit, ms <= limit ? "" : "   BEYOND");
        fine &= ms <= limit;
    };
    (void)bench::must(bench::must(Store::open(path, Store::Mode::write)).append(encode(PersonBody{"Ines"})));
    const auto open = [&] {
        auto app = bench::must(Session::open(path, {1280, 800, 5.87f}, {}));
        app->act(act::SetPerson{app->app().state().ledger.people().front()->id});
        app->settle();
        return app;
    };
    const auto entries = [&] {
        return bench::must(Snapshot::entries_in(bench::must(Store::open(path, Store::Mode::read))));
    };
    const auto waited = [](auto act) {
        const bench::Moment start = bench::now();
        act();
        return bench::ms_since(start);
    };
    const auto newest_page = [&](Session& app, int n) {
        const auto bikes = app.app().state().ledger.bikes();
        const Id bike = bikes[static_cast<std::size_t>(n) % bikes.size()]->id;
        app.act(act::Go{Screen::bike, bike});
        app.act(act::Go{Screen::history, bike});
        app.settle();
    };
    int readings = 0;
    const auto reading = [&](Session& app) {
        app.act(act::StartChange{app.app().state().ledger.bikes().front()->id});
        app.act(act::Nudge{End::rear, Point::clicks_rebound_high, readings++ % 2 ? -1.0 : 1.0});
        app.settle();
    };
    const auto copies = [&] {
        const auto list =
            backups((std::filesystem::path(path).parent_path() / "backups").string(), path, 0, false);
        return list ? list->size() : 0;
    };
    const std::uint64_t entries_before = entries();
    for (const char* of : {"first start", "50th entry"}) {
        const bool at_start = of[0] == 'f';
        auto app = open();
        if (!at_start) {
            app->settle_copies();
            double page = 0, longest = 0;
            for (int i = 0; i < 1000; ++i) {
                page = std::max(page, waited([&] { newest_page(*app, i); }));
                longest = std::max(longest, waited([&] { reading(*app); }));
            }
            std::printf("without a copy: longest wait of a page %.1f ms, of a reading %.1f ms\n", page,
                        longest);
        }
        const std::size_t before = copies();
        std::vector<double> page, longest;
        int rounds = 0;
        const bench::Moment start = bench::now();
        for (; copies() == before && bench::ms_since(start) < 120'000; ++rounds) {
            page.push_back(waited([&] { newest_page(*app, rounds); }));
            longest.push_back(waited([&] { reading(*app); }));
        }
        std::printf("%s: a copy in %.1f s, %d pages and readings meanwhile\n", of,
                    bench::ms_since(start) / 1e3, rounds);
        if (!app->app().state().meeting.copy_trouble.empty())
            std::printf("%s\n", app->app().state().meeting.copy_trouble.c_str());
        fine &= copies() > before;
        if (rounds == 0) continue;
        std::printf("  median of a page %.1f ms, of a reading %.1f ms\n", bench::median(page),
                    bench::median(longest));
        shown("  longest wait of a page", *std::max_element(page.begin(), page.end()));
        shown("  longest wait of a reading", *std::max_element(longest.begin(), longest.end()));
    }
    // Closed at moments of the next copy's whole way.
    double close = 0;
    for (const int after_ms : {0, 20, 100, 300, 700, 1500, 3000}) {
        auto app = open();
        reading(*app);
        app.reset();
        app = open();
        std::this_thread::sleep_for(std::chrono::milliseconds(after_ms));
        // Another program looks when the workshop can be opened; the window is gone before.
        std::atomic<double> free_ms = 0;
        const bench::Moment start = bench::now();
        std::thread looks([&] {
            while (!FileLock::take(path + ".lock")) std::this_thread::sleep_for(std::chrono::milliseconds(1));
            free_ms = bench::ms_since(start);
        });
        const double ended = waited([&] { app.reset(); });
        looks.join();
        std::printf("closed %d ms after the start: the workshop free in %.1f ms, all ended in %.1f ms\n",
                    after_ms, free_ms.load(), ended);
        close = std::max(close, free_ms.load());
    }
    shown("longest close, until the workshop is free", close);
    check(entries() >= entries_before + static_cast<std::uint64_t>(readings), "every reading is in the file");
    return fine;
}

}  // namespace

int main(int argc, char** argv) {
    const restand::test::OwnPlaces places;
    if (argc == 3 && std::strcmp(argv[1], "--opened") == 0) return opened(argv[2]);
    if (argc == 3 && std::strcmp(argv[1], "--copies") == 0) return beside_copies(argv[2]) ? 0 : 1;
    const bench::Folder folder;
    const std::string path = folder / "decade.restand";
    Decade decade;
    const bench::Moment start = bench::now();
    {
        Store store = bench::must(Store::open(path, Store::Mode::create));
        const int readings = decade.write(store, entries_wanted);
        std::printf("%d bikes, %d entries, %d readings, %.0f MB, made in %.0f s\n", bike_count,
                    decade.count(), readings, static_cast<double>(std::filesystem::file_size(path)) / 1e6,
                    bench::ms_since(start) / 1e3);
    }
    bool fine = opening(path);
    fine &= memory(argv[0], path);
    Store store = bench::must(Store::open(path, Store::Mode::write));
    fine &= pages(store, decade);
    fine &= comparing(store, decade);
    fine &= appending(folder, store, decade);
    fine &= importing(store, decade);
    store = Store(bench::must(Store::open(folder / "small.restand", Store::Mode::read)));
    fine &= beside_copies(path);
    return fine ? 0 : 1;
}
