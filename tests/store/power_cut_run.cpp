#include "tests/store/power_cut_run.h"

#include <sqlite3.h>

#include <algorithm>
#include <mutex>
#include <set>
#include <sstream>
#include <thread>

#include "core/store/backup.h"
#include "tests/store/disk_model.h"
#include "tests/store/workshop.h"

namespace restand::test {
namespace {

constexpr std::size_t most_threads = 2;
constexpr unsigned enough_in_vain = 20;
using Spoil = PowerCut::Spoil;

// SQLite's PRAGMA synchronous=OFF on every connection, whatever the store asks for afterwards.
class SynchronousOff {
public:
    SynchronousOff() { sqlite3_auto_extension(reinterpret_cast<void (*)()>(&on_open)); }
    ~SynchronousOff() { sqlite3_reset_auto_extension(); }

private:
    static int on_open(sqlite3* db, char**, const void*) {
        sqlite3_exec(db, "PRAGMA synchronous=OFF", nullptr, nullptr, nullptr);
        return sqlite3_set_authorizer(db, &refuse, nullptr);
    }
    static int refuse(void*, int action, const char* name, const char* value, const char*, const char*) {
        const bool ours = action == SQLITE_PRAGMA && value && std::string_view(name) == "synchronous";
        return ours ? SQLITE_IGNORE : SQLITE_OK;
    }
};

struct Record {
    std::vector<std::pair<std::string, std::string>> before;
    std::vector<DiskCall> calls;
    Season season;
    bool everything_seen = false;
};

Record record(const PowerCut& wanted) {
    const Folder folder;
    Watch* watching = nullptr;
    Script script = wanted.script;
    // The number of the act stands where the store answered; a liar's where it was asked. -1 - act: it was
    // asked.
    const bool lies = wanted.spoil == Spoil::told_too_early;
    script.begin = [&watching, lies](int act) { watching->note(lies ? act : -1 - act); };
    script.end = [&watching, lies](int act) {
        if (!lies) watching->note(act);
    };
    Record made{{}, {}, Season(script), false};
    std::optional<SynchronousOff> off;
    if (wanted.spoil == Spoil::synchronous_off) off.emplace();
    {
        if (!wanted.begin_with.empty())
            std::filesystem::copy_file(wanted.begin_with, Season::workshop(folder.path()));
        Watch watch(folder.path());
        watching = &watch;
        made.season.play(folder.path());
        made.before = watch.before();
        made.calls = watch.take();
    }
    for (const Act& act : made.season.acts())
        if (act.told != Told::stored) FAIL("the undisturbed season: " << act.what << ": " << act.detail);
    if (script.backups && made.season.copies_given_up() != script.weekends)
        FAIL("a copy was not given up in its middle");
    DiskModel model(made.before);
    for (const DiskCall& call : made.calls) model.play(call);
    made.everything_seen = model.now() == image_of(folder.path());
    return made;
}

// What the store had been asked for and had acknowledged when the power went, by act.
struct Heard {
    std::vector<bool> asked, told;
};

// Opens images one by one in a folder of its own and counts what it finds.
class Examiner {
public:
    Examiner(const PowerCut& wanted, const Record& record) : wanted_(wanted), record_(record) {}

    void open(const DiskImage& image, const Heard& told, const std::string& where) {
        ++tally.images;
        const auto journal = image.find("w.restand-journal");
        const bool hot = journal != image.end() && !journal->second.empty() && journal->second[0] != '\0';
        if (hot && ++tally.with_hot_journal % 3 == 0 && wanted_.recovery_too) cut_repair(image, told, where);
        lay_out(image, folder_, &standing_);
        // What stands there from now on unchanged: opening the workshop may change its own files, no others.
        standing_.clear();
        for (const auto& [name, content] : image)
            if (name.starts_with("backups/")) standing_.emplace(name, content);
        examine(told, where);
        const bool under_way = std::any_of(image.begin(), image.end(), [](const auto& file) {
            return file.first.starts_with("backups/") && file.first.ends_with(".part");
        });
        constexpr std::uint64_t one_of = 8;
        if (under_way && ++with_copy_ % one_of == 0) copy_again(where);
    }

    CutTally tally;

private:
    // What the repair asks of the disk is written down in its turn, and cut.
    void cut_repair(const DiskImage& image, const Heard& told, const std::string& where) {
        standing_.clear();
        lay_out(image, folder_);
        std::vector<std::pair<std::string, std::string>> before;
        std::vector<DiskCall> calls;
        {
            Watch watch(folder_);
            { const auto repaired = Store::open(Season::workshop(folder_), Store::Mode::write); }
            before = watch.before();
            calls = watch.take();
        }
        DiskModel model(before);
        std::mt19937 random(wanted_.seed);
        for (std::size_t at = 0; at < calls.size(); ++at) {
            model.play(calls[at]);
            for (const int plan : {0, 1, 4, 5, 6}) {
                ++tally.in_recovery;
                lay_out(model.cut(plan, random), folder_);
                examine(told, where + ", again at " + std::to_string(at));
            }
        }
    }
    // The copy that was cut off hinders no new one.
    void copy_again(const std::string& where) {
        standing_.clear(), good_backups_.clear();
        const auto store = Store::open(Season::workshop(folder_), Store::Mode::write);
        if (!store) return found(tally.unreadable, where, store.error().detail);
        const auto made = back_up(*store, Season::backups(folder_), march_2026 + 366ll * 86'400'000);
        if (!made || !made->good)
            return found(tally.corrupt, where,
                         "no copy after one was cut off: " + (made ? "" : made.error().detail));
        ++tally.copies_resumed;
    }
    void found(std::uint64_t& count, const std::string& where, const std::string& what) {
        ++count;
        if (tally.examples.size() < 5) tally.examples.push_back(where + ": " + what);
    }

    void examine(const Heard& heard, const std::string& where) {
        const auto& told = heard.told;
        const bool promised = std::find(told.begin(), told.end(), true) != told.end();
        // Before anything was promised the file may be missing or empty: then it is made, as the app does.
        auto store =
            Store::open(Season::workshop(folder_), promised ? Store::Mode::write : Store::Mode::create,
                        [] { return std::int64_t{1'800'000'000'000}; });
        if (!store) return found(tally.unreadable, where, store.error().detail);
        const auto health = store->check();
        if (!health) return found(tally.corrupt, where, health.error().detail);
        if (!health->whole || !health->found.empty())
            return found(tally.corrupt, where, health->found.at(0).detail);
        const auto entries = store->all();
        if (!entries) return found(tally.corrupt, where, entries.error().detail);
        std::size_t strange = 0;
        bool backed_up = false;
        const auto in = record_.season.acts_in(*entries, strange);
        if (strange != record_.season.strangers())
            found(tally.strange, where, "entries that nobody wrote, or one that was there before is gone");
        for (std::size_t act = 0; act < in.size(); ++act) {
            const Act& one = record_.season.acts()[act];
            tally.told += told[act];
            if (in[act] != 0 && in[act] != one.entries) found(tally.torn, where, "half of act: " + one.what);
            // From the moment a restore is asked for, what it takes back may stand in the file put aside
            // instead.
            const bool undone = one.undone_by >= 0 && heard.asked[static_cast<std::size_t>(one.undone_by)];
            if (told[act] && in[act] == 0 && one.entries > 0 && !(undone && put_aside(act)))
                found(tally.missing, where, "acknowledged act is gone: " + one.what);
            backed_up = backed_up || (told[act] && one.what == "backup");
        }
        // The same backups as in the last image need not be summed again.
        if (!backed_up || (!standing_.empty() && standing_ == good_backups_)) return;
        good_backups_.clear();
        // Once one was made there is always a good one.
        const auto kept = backups(Season::backups(folder_), Season::workshop(folder_));
        if (!kept || std::none_of(kept->begin(), kept->end(), [](const Backup& b) { return b.good; }))
            return found(tally.missing, where, "no good backup is left");
        good_backups_ = standing_;
    }

    bool put_aside(std::size_t act) const {
        for (const auto& file : std::filesystem::directory_iterator(folder_)) {
            const std::string path = file.path().string();
            if (path.find(".replaced-") == std::string::npos || path.ends_with("-journal")) continue;
            const auto store = Store::open(path, Store::Mode::read);
            if (!store) continue;
            const auto entries = store->all();
            std::size_t strange = 0;
            if (entries &&
                record_.season.acts_in(*entries, strange)[act] == record_.season.acts()[act].entries)
                return true;
        }
        return false;
    }

    const PowerCut& wanted_;
    const Record& record_;
    std::uint64_t with_copy_ = 0;        // images with a copy under way
    DiskImage standing_, good_backups_;  // the backups as they lie there; and as they were found good
    const Folder home_;
    const std::string folder_ = home_.path();
};

// Images already opened with the same promises.
class Known {
public:
    bool add(const DiskImage& image, std::size_t promises) {
        const auto print = fingerprint(image) ^ (promises * 0x9E3779B97F4A7C15ull);
        const std::lock_guard lock(mutex_);
        return seen_.insert(print).second;
    }

private:
    std::mutex mutex_;
    std::set<std::uint64_t> seen_;
};

DiskImage without_journal(DiskImage image) {
    std::erase_if(image, [](const auto& file) { return file.first.ends_with("-journal"); });
    return image;
}

// The calls at which this worker of several cuts: each its own.
void work(const PowerCut& wanted, const Record& record, std::size_t worker, std::size_t workers, Known& known,
          Examiner& examiner) {
    DiskModel model(record.before);
    const std::size_t acts = record.season.acts().size();
    Heard heard{std::vector<bool>(acts), std::vector<bool>(acts)};
    std::size_t promises = 0;
    for (std::size_t at = 0; at < record.calls.size(); ++at) {
        const DiskCall& call = record.calls[at];
        model.play(call);
        if (call.kind == DiskCall::Kind::note) {
            ++promises;
            if (call.at >= 0)
                heard.told[static_cast<std::size_t>(call.at)] = true;
            else
                heard.asked[static_cast<std::size_t>(-1 - call.at)] = true;
        }
        if (at % wanted.every != 0 || at / wanted.every % workers != worker) continue;
        std::mt19937 random(wanted.seed * 1'000'003u + static_cast<unsigned>(at));
        const DiskImage now = model.now();
        const std::string where = "call " + std::to_string(at);
        // Where little is under way there are few ways to lose it: chance finds no more of them after a
        // while.
        unsigned opened = 0, in_vain = 0;
        for (unsigned plan = 0; in_vain < enough_in_vain && opened < wanted.images_per_call; ++plan) {
            DiskImage image =
                wanted.spoil == Spoil::never_cut ? now : model.cut(static_cast<int>(plan), random);
            if (wanted.spoil == Spoil::no_journal) image = without_journal(std::move(image));
            if (!known.add(image, promises)) {
                ++in_vain;
                continue;
            }
            ++opened, in_vain = 0;
            examiner.tally.with_loss += image != now;
            examiner.open(image, heard, where + " way " + std::to_string(plan));
        }
    }
}

void add(CutTally& to, const CutTally& more) {
    to.images += more.images, to.with_hot_journal += more.with_hot_journal, to.with_loss += more.with_loss;
    to.told += more.told, to.unreadable += more.unreadable, to.corrupt += more.corrupt;
    to.missing += more.missing, to.torn += more.torn, to.strange += more.strange;
    to.in_recovery += more.in_recovery, to.copies_resumed += more.copies_resumed;
    to.examples.insert(to.examples.end(), more.examples.begin(), more.examples.end());
}

}  // namespace

bool CutTally::sound() const {
    // Nothing lost and nothing to repair means that nothing was cut: then nothing was tested either.
    return violations() == 0 && everything_seen && with_hot_journal > 0 && with_loss > 0 && told > 0;
}

std::string CutTally::text() const {
    std::ostringstream out;
    out << calls << " calls, " << images << " images, " << with_hot_journal << " with a hot journal, "
        << with_loss << " with a loss; " << unreadable << " unreadable, " << corrupt << " corrupt, " << torn
        << " torn, " << missing << " acknowledged acts gone, " << strange << " strange";
    if (in_recovery) out << "; " << in_recovery << " cut again while repaired";
    if (copies_resumed) out << "; " << copies_resumed << " copies resumed";
    for (const std::string& one : examples) out << "\n  " << one;
    return out.str();
}

CutTally cut_power(const PowerCut& wanted) {
    const Record made = record(wanted);
    Known known;
    Examiner one(wanted, made), other(wanted, made);
    // A repair is written down, which takes the process for itself.
    const std::size_t workers = wanted.recovery_too || wanted.alone ? 1 : most_threads;
    std::thread beside([&] {
        if (workers > 1) work(wanted, made, 1, workers, known, other);
    });
    work(wanted, made, 0, workers, known, one);
    beside.join();
    CutTally tally;
    tally.calls = made.calls.size();
    tally.everything_seen = made.everything_seen;
    add(tally, one.tally), add(tally, other.tally);
    return tally;
}

}  // namespace restand::test
