#include "tests/store/power_cut_season.h"

#include <charconv>

#include "core/codec/body_json.h"
#include "core/store/backup.h"
#include "core/store/copy.h"
#include "core/store/snapshot.h"
#include "tests/store/workshop.h"

namespace restand::test {
namespace {

NewEntry numbered(NewEntry entry, int act) {
    const std::string number = "{\"act\":" + std::to_string(act);
    entry.body.replace(0, 1, entry.body == "{}" ? number : number + ",");
    return entry;
}
NewEntry raw(std::string kind, std::string body, Id bike = {}, Id about = {},
             std::vector<Id> supersedes = {}) {
    return {std::move(kind), bike, about, {}, std::move(supersedes), std::move(body)};
}
std::string change_body(int clicks, std::size_t padding) {
    return R"({"note":")" + std::string(padding, 'n') + " rebound " + std::to_string(clicks) +
           R"(","values":[{"end":"rear","point":"rebound_clicks","repeats":[{"text":")" +
           std::to_string(clicks) + R"(","unit":"clicks"}]}]})";
}

Told told_by(const Error& error) {
    return error.detail.find("cannot tell") != std::string::npos ? Told::cannot_tell : Told::not_stored;
}

}  // namespace

// One visit to the circuit: the file is opened, worked on and closed.
struct Season::Weekend {
    Season& season;
    std::string path;
    std::optional<Store> store = {};
    std::int64_t now = march_2026;

    int begin(std::string what, std::size_t entries) {
        const int act = static_cast<int>(season.acts_.size());
        season.acts_.push_back({std::move(what), entries, Told::not_stored, ""});
        if (season.script_.begin) season.script_.begin(act);
        return act;
    }
    void end(int act, const Error* error) {
        Act& one = season.acts_[static_cast<std::size_t>(act)];
        one.told = error ? told_by(*error) : Told::stored;
        if (error) one.detail = error->detail;
        if (season.script_.end) season.script_.end(act);
    }
    // A file that could not be opened is tried again at the next act.
    bool ready(Error& error) {
        if (store) return true;
        auto opened = Store::open(path, Store::Mode::create, [this] { return now += 1000; });
        if (!opened) return error = opened.error(), false;
        store.emplace(std::move(*opened));
        return true;
    }
    // The id of the act's first entry; nil when it was not stored.
    Id write(std::string what, std::vector<NewEntry> entries) {
        const int act = begin(std::move(what), entries.size());
        Error error{ErrorCode::io, "", ""};
        if (!ready(error)) return end(act, &error), Id{};
        for (NewEntry& entry : entries) entry = numbered(std::move(entry), act);
        const auto written = store->append_all(entries);
        end(act, written ? nullptr : &written.error());
        return written ? written->front().id : Id{};
    }
    void merge(std::vector<Entry> entries) {
        const int act = begin("merge", entries.size());
        // Their bodies bear the parcel's number: a hash covers them.
        season.sync_bundle_acts_.push_back(act);
        Error error{ErrorCode::io, "", ""};
        if (!ready(error)) return end(act, &error);
        const auto merged = store->merge(entries);
        if (!merged) {
            // A merge says only that it failed; doing it again is the answer (merge.cpp).
            error = {merged.error().code, "", merged.error().detail + "; cannot tell"};
            return end(act, &error);
        }
        end(act, nullptr);
    }
    // The path of the backup; "" when there is none.
    std::string back_it_up() {
        const int act = begin("backup", 0);
        Error error{ErrorCode::io, "", ""};
        if (!ready(error)) return end(act, &error), "";
        const auto made = back_up(*store, backups(season_folder()), now);
        end(act, made ? nullptr : &made.error());
        return made ? made->path : "";
    }
    // A copy is under way while a change is stored. Then it is given up, its file taken away or, as by a program
    // that was killed, left where it is; the next copy begins anew.
    void begin_copy_and_give_up(int weekend, const Id& bike) {
        constexpr int pages = 7;  // the whole file has some dozens
        std::optional<CopyBegun> begun;
        std::optional<Snapshot> snapshot;
        if (store)
            if (auto may = begin_copy(backups(season_folder()), path, store->device()))
                begun = std::move(*may);
        const auto step = [&] {
            const auto stepped = snapshot ? snapshot->step(std::chrono::milliseconds(0), pages) : true;
            if (!stepped || *stepped) snapshot.reset();
        };
        if (begun)
            if (auto made = Snapshot::begin(*store, begun->part)) snapshot.emplace(std::move(*made));
        step();
        write("change beside a copy", {raw("change", change_body(7, 20), bike)});
        step();
        season.copies_given_up_ += snapshot.has_value();
        snapshot.reset();
        if (begun && weekend % 2 == 0) const PartFile taken_away(begun->part);
    }
    // What was written since the backup is taken back with it.
    void go_back_to(const std::string& backup, int first_undone) {
        store.reset();
        const int act = begin("restore", 0);
        for (int i = first_undone; i < act; ++i) season.acts_[static_cast<std::size_t>(i)].undone_by = act;
        const auto restored = restore_backup(backup, path, now);
        end(act, restored ? nullptr : &restored.error());
    }
    std::string season_folder() const { return path.substr(0, path.rfind('/')); }
    void visit(int weekend);
};

void Season::Weekend::visit(int weekend) {
    Id& person = season.person_;
    Id& bike = season.bike_;
    if (person.nil()) person = write("person", {encode(PersonBody{"Ines"})});
    if (bike.nil()) bike = write("bike", {encode(test::bike("No. 27"), {}, {}, person)});
    const Id swap = write("swap", {encode(SwapBody{{SwapPart::shock}}, bike, {}, person)});
    for (const auto& [point, text] :
         {std::pair{Point::ride_height_rider, "469,8"}, {Point::eye_to_eye, "309,9"}})
        write("reading",
              {encode(ReadingBody{Phase::before, test::reading(point, text)}, bike, swap, person)});
    if (store) (void)store->keep_draft("half typed " + std::to_string(weekend));
    write("keep", {encode(BaselineBody{"kept", {}}, bike, swap), encode(SwapEndBody{true}, bike, swap)});
    const Id change = write("change", {raw("change", change_body(8, season.script_.long_body), bike)});
    write("undo", {raw("retraction", R"({"why":"too stiff"})", bike, {}, {change})});
    merge(season.sync_bundles_[static_cast<std::size_t>(weekend)]);
    if (season.script_.backups) begin_copy_and_give_up(weekend, bike);
    const std::string backup = season.script_.backups ? back_it_up() : "";
    const int after = static_cast<int>(season.acts_.size());
    write("change", {raw("change", change_body(9, 20), bike)});
    if (!backup.empty() && weekend % 3 == 1) go_back_to(backup, after);
}

Season::Season(Script script) : script_(std::move(script)) {
    const Folder elsewhere;
    Store other = test::open(elsewhere("other.restand"));
    for (int weekend = 0; weekend < script_.weekends; ++weekend) {
        std::vector<NewEntry> entries;
        for (int i = 0; i < script_.foreign; ++i)
            entries.push_back(raw("change", "{\"parcel\":" + std::to_string(weekend) + "," +
                                                change_body(i, script_.foreign_body).substr(1)));
        sync_bundles_.push_back(got(other.append_all(entries)));
    }
}

void Season::play(const std::string& folder) {
    acts_.clear();
    sync_bundle_acts_.clear();
    copies_given_up_ = 0;
    person_ = bike_ = swap_ = {};
    for (int weekend = 0; weekend < script_.weekends; ++weekend) {
        Weekend one{*this, workshop(folder)};
        one.now += weekend * 7ll * 86'400'000;
        one.visit(weekend);
    }
}

std::vector<std::size_t> Season::acts_in(const std::vector<Entry>& entries, std::size_t& strange) const {
    std::vector<std::size_t> found(acts_.size());
    const auto number_after = [](const std::string& body, std::string_view head) {
        int number = -1;
        if (body.starts_with(head))
            std::from_chars(body.data() + head.size(), body.data() + body.size(), number);
        return number;
    };
    for (const Entry& entry : entries) {
        int act = number_after(entry.body, "{\"act\":");
        const int sync_bundle = number_after(entry.body, "{\"parcel\":");
        if (sync_bundle >= 0 && sync_bundle < static_cast<int>(sync_bundle_acts_.size()))
            act = sync_bundle_acts_[static_cast<std::size_t>(sync_bundle)];
        if (act >= 0 && act < static_cast<int>(found.size()))
            ++found[static_cast<std::size_t>(act)];
        else if (entry.kind != "device")  // the store's own: what a device is called
            ++strange;
    }
    return found;
}

}  // namespace restand::test
