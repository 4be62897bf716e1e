#include "tests/store/disk_faults_run.h"

#include <sstream>

#include "core/sync/sync_bundle.h"
#include "tests/store/disk_model.h"
#include "tests/store/workshop.h"

namespace restand::test {
namespace {

void found(FaultTally& tally, std::uint64_t& count, const std::string& where, const std::string& what) {
    ++count;
    if (tally.examples.size() < 8) tally.examples.push_back(where + ": " + what);
}

std::string word(Fault::How how) {
    switch (how) {
        case Fault::How::fail:
            return "fails";
        case Fault::How::fail_late:
            return "is done and fails";
        case Fault::How::shorten:
            return "is cut short";
        case Fault::How::lose:
            return "is lost";
        case Fault::How::full:
            return "finds the disk full";
        case Fault::How::none:
            break;
    }
    return "";
}

}  // namespace

void judge(const std::string& folder, const Season& season, bool damage_may_be_named,
           const std::string& where, FaultTally& tally, int lied_to) {
    bool promised = false;
    for (const Act& act : season.acts()) promised = promised || act.told == Told::stored;
    const auto name_damage = [&](std::uint64_t& count, const std::string& what) {
        if (damage_may_be_named)
            ++tally.named;
        else
            found(tally, count, where, what);
    };
    auto store = Store::open(Season::workshop(folder), promised ? Store::Mode::write : Store::Mode::create);
    if (!store) return name_damage(tally.unreadable, store.error().detail);
    const auto health = store->check();
    if (!health) return name_damage(tally.corrupt, health.error().detail);
    // A parcel that was refused leaves a gap in the other device's numbers, until it comes again.
    bool gaps = false;
    for (const Act& act : season.acts()) gaps = gaps || (act.what == "merge" && act.told != Told::stored);
    for (const Error& one : health->found)
        if (!gaps || !health->whole || one.code != ErrorCode::missing)
            return name_damage(tally.corrupt, one.detail);
    const auto entries = store->all();
    if (!entries) return name_damage(tally.corrupt, entries.error().detail);
    std::size_t strange = 0;
    const auto in = season.acts_in(*entries, strange);
    if (strange != season.strangers()) found(tally, tally.strange, where, "entries that nobody wrote");
    for (std::size_t i = 0; i < in.size(); ++i) {
        const Act& act = season.acts()[i];
        const std::string what = act.what + " (act " + std::to_string(i) + ")";
        if (in[i] != 0 && in[i] != act.entries) found(tally, tally.torn, where, "half of " + what);
        // A restore that was done took it back; one that was refused did not.
        const bool undone = act.undone_by >= 0 &&
                            season.acts()[static_cast<std::size_t>(act.undone_by)].told != Told::not_stored;
        if (act.told == Told::stored && in[i] == 0 && act.entries > 0 && !undone) {
            if (static_cast<int>(i) == lied_to)
                ++tally.swallowed;
            else
                found(tally, tally.missing, where, what + " is gone");
        }
        if (act.told == Told::not_stored && in[i] != 0)
            found(tally, tally.untrue, where, what + " is stored, but was said not to be: " + act.detail);
        if (act.told != Told::stored && act.detail.empty())
            found(tally, tally.untrue, where, what + " was refused without a reason");
    }
}

FaultTally fail_everywhere(const Script& script, Fault::How how, bool for_good, std::uint64_t first,
                           std::uint64_t stride) {
    FaultTally tally;
    for (std::uint64_t n = first;; n += stride) {
        const Folder home;
        const std::string folder = home.path("disk");
        std::filesystem::create_directory(folder);
        std::string where;
        // The act under way when the fault struck, and the calls at its beginning.
        int act_struck = -1;
        Watch* watching = nullptr;
        Script told = script;
        told.end = [&](int act) {
            if (act_struck < 0 && watching->struck()) act_struck = act;
        };
        Season season(told);
        {
            Watch watch(folder, {how, n, for_good}, false);
            watching = &watch;
            season.play(folder);
            if (watch.calls() < n) return tally;
            ++tally.plays;
            tally.struck += watch.struck();
            where = "call " + std::to_string(n) + (for_good ? " and all after it, " : ", ") +
                    watch.struck_call() + " " + word(how);
        }
        for (const Act& act : season.acts()) {
            tally.refused += act.told == Told::not_stored;
            tally.cannot_tell += act.told == Told::cannot_tell;
        }
        if (act_struck >= 0)
            tally.stored_in_spite += season.acts()[static_cast<std::size_t>(act_struck)].told == Told::stored;
        const bool lies = how == Fault::How::lose;
        judge(folder, season, lies, where, tally, lies && !for_good ? act_struck : -1);
    }
}

// The stick
// ----------------------------------------------------------------------------------------------------

namespace {

// A device with something to hand over, in two goes.
struct Giver {
    Folder home;
    std::vector<Entry> first, everything;
    Giver() {
        Store store = test::open(home.path("w.restand"));
        begin_swap(store);
        first = got(store.all());
        begin_swap(store);
        everything = got(store.all());
    }
    static Result<std::uint64_t> put_all(const std::string& folder, const std::vector<Entry>& entries) {
        const Those those = [&entries](const std::vector<Lack>& wanted) -> Result<std::vector<Entry>> {
            std::vector<Entry> some;
            for (const Entry& e : entries)
                if (within(wanted, e.device, e.number)) some.push_back(e);
            return some;
        };
        return put(FolderPlace{folder}, {entries[0].device, "truck", march_2026, ranges_of(entries)}, those);
    }
    // What another device gets of it.
    std::size_t taken(const std::string& folder, StickTally& tally) const {
        const auto taken = take(FolderPlace{folder}, {9, "box", march_2026, {}});
        if (!taken) return 0;
        tally.passed_over += taken->refused.size();
        for (const Entry& e : taken->entries)
            tally.wrong += std::find(everything.begin(), everything.end(), e) == everything.end();
        return taken->entries.size();
    }
    // After the harm: what is there is right, what was said is so, and putting again completes it.
    void look(const std::string& folder, bool said_done, StickTally& tally) const {
        ++tally.plays;
        const bool all = taken(folder, tally) == everything.size();
        tally.half += !all;
        tally.untrue += said_done && !all;
        const bool again = put_all(folder, everything).has_value();
        tally.stuck += !again || taken(folder, tally) != everything.size();
    }
};

}  // namespace

StickTally pull_the_stick(Fault::How how, bool for_good) {
    const Giver giver;
    StickTally tally;
    for (std::uint64_t n = 1;; ++n) {
        const Folder stick;
        if (!Giver::put_all(stick.path(), giver.first)) return ++tally.stuck, tally;
        bool done = false;
        {
            Watch watch(stick.path(), {how, n, for_good}, false);
            done = Giver::put_all(stick.path(), giver.everything).has_value();
            if (watch.calls() < n) return tally;
            tally.struck += watch.struck();
        }
        giver.look(stick.path(), done && how != Fault::How::lose, tally);
    }
}

StickTally cut_the_stick(unsigned cuts_per_call, unsigned seed, bool empty) {
    const Giver giver;
    StickTally tally;
    const Folder stick;
    std::vector<std::pair<std::string, std::string>> before;
    std::vector<DiskCall> calls;
    if (!empty && !Giver::put_all(stick.path(), giver.first)) return ++tally.stuck, tally;
    {
        Watch watch(stick.path());
        const bool done = Giver::put_all(stick.path(), giver.everything).has_value();
        watch.note(done);
        before = watch.before();
        calls = watch.take();
    }
    DiskModel model(before);
    std::mt19937 random(seed);
    bool done = false;
    for (const DiskCall& call : calls) {
        model.play(call);
        done = done || (call.kind == DiskCall::Kind::note && call.at == 1);
        for (unsigned plan = 0; plan < cuts_per_call; ++plan) {
            lay_out(model.cut(static_cast<int>(plan), random), stick.path());
            ++tally.struck;
            giver.look(stick.path(), done, tally);
        }
    }
    return tally;
}

std::string StickTally::text() const {
    std::ostringstream out;
    out << plays << " plays, " << struck << " struck, " << half << " left half, " << passed_over
        << " files passed over; " << untrue << " untrue, " << wrong << " wrong, " << stuck << " stuck";
    return out.str();
}

void FaultTally::add(const FaultTally& more) {
    plays += more.plays, struck += more.struck, refused += more.refused, cannot_tell += more.cannot_tell;
    stored_in_spite += more.stored_in_spite, named += more.named, swallowed += more.swallowed;
    unreadable += more.unreadable, corrupt += more.corrupt, missing += more.missing, torn += more.torn;
    untrue += more.untrue, strange += more.strange;
    examples.insert(examples.end(), more.examples.begin(), more.examples.end());
}

std::string FaultTally::text() const {
    std::ostringstream out;
    out << plays << " plays, " << struck << " struck; acts: " << refused << " refused, " << cannot_tell
        << " cannot tell, " << stored_in_spite << " stored in spite; " << named << " damages named, "
        << swallowed << " swallowed; " << unreadable << " unreadable, " << corrupt << " corrupt, " << missing
        << " acknowledged acts gone, " << torn << " torn, " << untrue << " untrue, " << strange << " strange";
    for (const std::string& one : examples) out << "\n  " << one;
    return out.str();
}

}  // namespace restand::test
