// kill -9 at random moments of a scripted swap. A child plays the script through the Writer and acknowledges
// each step in a pipe after the Writer said that it is on disk; the parent kills it, opens the file and
// looks.

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <fstream>
#include <random>
#include <thread>

#include "core/store/writer.h"
#include "tests/sanitized.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

// The script
// ---------------------------------------------------------------------------------------------------

struct Act {
    std::optional<Step6> step;  // go to it
    ReadAt read = {};           // or take this reading
    const char* text = "";
};
const std::vector<Act> script = {
    {Step6::before},
    {{}, {Phase::before, End::rear, Point::ride_height_topped_out}, "500"},
    {{}, {Phase::before, End::rear, Point::ride_height_static}, "490,3"},
    {{}, {Phase::before, End::rear, Point::ride_height_rider}, "469.8"},
    {{}, {Phase::before, End::rear, Point::eye_to_eye}, "310"},
    {Step6::new_part},
    {{}, {Phase::new_part, End::rear, Point::eye_to_eye}, "305"},
    {{}, {Phase::new_part, End::rear, Point::travel}, "66"},
    {Step6::answer},
    {Step6::set},
    {{}, {Phase::set, End::rear, Point::eye_to_eye}, "309.9"},
    {Step6::check},
    {{}, {Phase::check, End::rear, Point::ride_height_rider}, "469.7"},
    {Step6::keep},
};
constexpr std::size_t begin_act = 100, keep_act = 101;  // numbers beyond the script

bool done(const Act& act, const Swap& swap) {
    return act.step ? swap.step >= *act.step : swap.stored_readings.contains(act.read);
}

// Where a person would go on, from what the ledger says alone.
struct Next {
    std::size_t act = begin_act;
    std::vector<NewEntry> entries;
};
Next next(const Ledger& ledger) {
    const auto bikes = ledger.bikes();
    if (bikes.empty()) return {begin_act, {encode(test::bike("27"))}};
    const Id bike = bikes[0]->id;
    const Swap* swap = ledger.open_swap(bike);
    if (!swap) return {begin_act, {encode(SwapBody{{SwapPart::shock}}, bike)}};
    // The step a new swap stands at is the first of the script, so that one is never written.
    for (std::size_t i = 0; i < script.size(); ++i) {
        const Act& act = script[i];
        if (done(act, *swap)) continue;
        if (act.step) return {i, {encode(StepBody{*act.step}, bike, swap->id)}};
        return {
            i,
            {encode(ReadingBody{act.read.phase, test::reading(act.read.point, act.text)}, bike, swap->id)}};
    }
    return {keep_act,
            {encode(BaselineBody{"kept", {}}, bike, swap->id), encode(SwapEndBody{true}, bike, swap->id)}};
}

// The child
// ----------------------------------------------------------------------------------------------------

struct Ack {
    Id entry;                 // the last of the act; nil from the child that lies
    std::uint32_t swaps = 0;  // begun before this act
    std::uint32_t act = 0;
};
enum class Child { honest, lies };

[[noreturn]] void play(const std::string& path, int pipe, Child child) {
    auto store = Store::open(path, Store::Mode::create);
    if (!store) ::_exit(1);
    const auto entries = store->opening();
    if (!entries) ::_exit(2);
    Ledger ledger;
    if (!read_into(ledger, *entries).empty()) ::_exit(3);
    Writer writer(std::move(*store), {});
    for (;;) {
        const Next act = next(ledger);
        Ack ack;
        ack.act = static_cast<std::uint32_t>(act.act);
        if (!ledger.bikes().empty())
            ack.swaps = static_cast<std::uint32_t>(ledger.swaps(ledger.bikes()[0]->id).size());
        if (child == Child::lies && ::write(pipe, &ack, sizeof ack) != sizeof ack) ::_exit(4);
        writer.append(act.entries);
        writer.drain();
        for (const Written& written : writer.collect()) {
            if (!written.entries || !read_into(ledger, *written.entries).empty()) ::_exit(5);
            ack.entry = written.entries->back().id;
        }
        if (child == Child::honest && ::write(pipe, &ack, sizeof ack) != sizeof ack) ::_exit(6);
    }
}

// The parent
// ---------------------------------------------------------------------------------------------------

struct KillTally {
    int kills = 0, acknowledged = 0, hot_journals = 0, kept = 0;
    std::vector<std::string> violations;
};

// When to kill: after so many acknowledged acts, and then a little later. Counted in acts, so that a slow
// machine kills in the same places as a fast one; none: some time after the start, while the file is being
// opened.
struct Moment {
    std::size_t acts = 0;
    std::chrono::microseconds later{};
};

std::vector<Ack> run_and_kill(const std::string& path, Child child, Moment moment) {
    int pipe[2];
    REQUIRE(::pipe(pipe) == 0);
    const pid_t pid = ::fork();
    if (pid == 0) {
        ::close(pipe[0]);
        play(path, pipe[1], child);
    }
    ::close(pipe[1]);
    std::vector<Ack> acks;
    Ack ack;
    const auto next_ack = [&] {
        if (::read(pipe[0], &ack, sizeof ack) != sizeof ack) return false;
        acks.push_back(ack);
        return true;
    };
    while (acks.size() < moment.acts && next_ack()) {
    }
    std::this_thread::sleep_for(moment.later);
    ::kill(pid, SIGKILL);
    int status = 0;
    ::waitpid(pid, &status, 0);
    // A child that ended by itself found something wrong.
    CHECK_MESSAGE(WIFSIGNALED(status), "child left with " << WEXITSTATUS(status));
    while (next_ack()) {
    }
    ::close(pipe[0]);
    return acks;
}

void examine(const std::string& path, const std::vector<Ack>& acks, KillTally& tally) {
    const auto violation = [&](const std::string& what) { tally.violations.push_back(what); };
    // Killed before the file was made: nothing was promised.
    const auto mode = acks.empty() ? Store::Mode::create : Store::Mode::write;
    auto store = Store::open(path, mode);
    if (!store) return violation("does not open: " + store.error().detail);
    const Health health = test::got(store->check());
    if (!health.whole || !health.found.empty()) violation("not whole: " + health.found.at(0).detail);

    Ledger whole, opened;
    if (!read_into(whole, test::got(store->all())).empty()) violation("an entry cannot be read");
    if (!read_into(opened, test::got(store->opening())).empty()) violation("an entry cannot be read");
    const Next now = next(opened), then = next(whole);
    if (now.act != then.act) violation("resumes elsewhere than it was left");

    const auto bikes = whole.bikes();
    auto swaps = bikes.empty() ? std::vector<const Swap*>{} : whole.swaps(bikes[0]->id);
    std::reverse(swaps.begin(), swaps.end());  // oldest first, as they were counted
    for (const Ack& ack : acks) {
        if (!ack.entry.nil() && !test::got(store->find(ack.entry)))
            violation("an acknowledged entry is not there");
        bool there = false;
        if (ack.act == begin_act)
            there = ack.swaps < swaps.size() || (ack.swaps == 0 && !bikes.empty());
        else if (ack.swaps > 0 && ack.swaps <= swaps.size()) {
            const Swap& swap = *swaps[ack.swaps - 1];
            there = ack.act == keep_act ? swap.kept : done(script[ack.act], swap);
        }
        if (!there) violation("an acknowledged act is not done: " + std::to_string(ack.act));
    }
    for (const Swap* swap : swaps)
        for (const auto& [at, stored_readings] : swap->stored_readings)
            if (stored_readings.size() != 1) violation("a reading was taken twice");
    tally.acknowledged += static_cast<int>(acks.size());
}

// `commit_us`: about how long one act takes there.
KillTally kill_often(int kills, Child child, test::Folder::On on, unsigned commit_us, unsigned seed) {
    const test::Folder folder(on);
    std::mt19937 random(seed);
    KillTally tally;
    std::string path;
    for (; tally.kills < kills; ++tally.kills) {
        // A new file now and then: making it is a moment like any other.
        if (tally.kills % 20 == 0) path = folder("w" + std::to_string(tally.kills) + ".restand");
        Moment moment{random() % 5 == 0 ? 0 : 1 + random() % 20, {}};
        const unsigned longest = commit_us * (moment.acts == 0 ? 20 : 2);
        moment.later = std::chrono::microseconds(random() % longest);
        const auto acks = run_and_kill(path, child, moment);
        // A journal with a head is work in progress; a cleared head is an empty one.
        if (std::ifstream(path + "-journal", std::ios::binary).get() > 0) ++tally.hot_journals;
        examine(path, acks, tally);
        for (const Ack& ack : acks) tally.kept += ack.act == keep_act;
    }
    return tally;
}

}  // namespace

TEST_CASE("kill -9: every acknowledged reading is there, the file is whole, the swap resumes") {
    KillTally tally = kill_often(180, Child::honest, test::Folder::On::memory, 500, 1);
    MESSAGE(tally.kills << " kills, " << tally.acknowledged << " acknowledged, " << tally.hot_journals
                        << " hot journals, " << tally.kept << " swaps kept");
    CHECK(tally.violations == std::vector<std::string>{});
    // The kills must have hit something: writes in progress, and swaps that went on to their end.
    if (!test::sanitized) CHECK(tally.hot_journals > 0);  // slower, it spends less of its time there
    CHECK(tally.acknowledged > 180);
    CHECK(tally.kept > 0);
}

TEST_CASE("kill -9: the same on a real disk") {
    KillTally tally = kill_often(20, Child::honest, test::Folder::On::disk, 10'000, 2);
    MESSAGE(tally.kills << " kills, " << tally.acknowledged << " acknowledged, " << tally.hot_journals
                        << " hot journals");
    CHECK(tally.violations == std::vector<std::string>{});
}

TEST_CASE("kill -9: a child that acknowledges before the disk has it is caught") {
    // Negative control: without it the tests above might be looking at nothing.
    const KillTally tally = kill_often(40, Child::lies, test::Folder::On::memory, 500, 3);
    MESSAGE(tally.violations.size() << " violations found in " << tally.kills << " kills");
    CHECK(tally.violations.size() > 5);
}
