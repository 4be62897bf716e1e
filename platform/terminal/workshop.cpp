// bikes, baselines, show, export, import: the workshop file from the command line. Commands that only read
// open it read-only.

#include "platform/terminal/workshop.h"

#include <filesystem>
#include <string>
#include <utility>

#include "app/sentences.h"
#include "core/codec/bundle.h"
#include "core/files/file.h"
#include "core/sync/sync_bundle.h"
#include "platform/terminal/devices.h"
#include "platform/terminal/list_json.h"

namespace restand {

int bikes(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Ledger& ledger = workshop->ledger;
    if (request.json) return out << bikes_json(ledger), exit_done;

    const auto list = ledger.bikes(true);
    if (list.empty()) out << "No bikes yet.\n";
    std::vector<Id> ids;
    for (const Bike* bike : list) ids.push_back(bike->id);
    const std::size_t id_length = telling(ids);
    for (const Bike* bike : list) {
        const Baseline* newest = ledger.newest_baseline(bike->id);
        out << padded(bike->body.name, 24) << padded(to_text(bike->id).substr(0, id_length), id_length + 2)
            << (newest ? "baseline of " + utc_text(newest->clock.ms) : std::string("no baseline yet"))
            << (ledger.open_swap(bike->id) ? ", swap open" : "") << (bike->body.archived ? ", archived" : "")
            << "\n";
    }
    return exit_done;
}

int baselines(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Ledger& ledger = workshop->ledger;
    const Result<const Bike*> bike = bike_of(ledger, request.operands.front());
    if (!bike) return complain(err, bike.error());
    if (request.json) return out << baselines_json(ledger, (*bike)->id), exit_done;

    // `show` searches all bikes, so the printed ids must be unique among them all.
    std::vector<Id> ids;
    for (const Baseline* baseline : all_baselines(ledger)) ids.push_back(baseline->id);
    const std::size_t id_length = telling(ids);
    const auto list = ledger.baselines((*bike)->id);
    if (list.empty()) out << "No baselines of " << plain_line((*bike)->body.name) << " yet.\n";
    for (const Baseline* baseline : list)
        out << padded(to_text(baseline->id).substr(0, id_length), id_length + 2)
            << padded(utc_text(baseline->clock.ms), 22) << padded(person_name(ledger, baseline->by), 16)
            << plain_line(baseline->body.reason) << "\n";
    return exit_done;
}

int show(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Ledger& ledger = workshop->ledger;
    const Result<const Baseline*> found = baseline_by(ledger, request.operands.front());
    if (!found) return complain(err, found.error());
    const Baseline& baseline = **found;
    if (request.json) return out << baseline_json(ledger, baseline), exit_done;

    const Bike* bike = ledger.bike(baseline.bike);
    out << (bike ? plain_line(bike->body.name) : "A bike") << ", baseline of " << utc_text(baseline.clock.ms)
        << " by " << plain_line(person_name(ledger, baseline.by)) << "\n";
    if (!baseline.body.reason.empty()) out << "Reason: " << plain_line(baseline.body.reason) << "\n";
    for (const End end : {End::rear, End::front}) {
        bool first = true;
        for (const BaselineValue& value : baseline.body.values) {
            if (value.end != end || value.stored.reading.repeats.empty()) continue;
            if (std::exchange(first, false)) out << "\n" << (end == End::rear ? "Rear" : "Front") << "\n";
            const StoredReading& take = value.stored;
            out << "  " << padded(point_name(take.reading.point), 26) << padded(value_text(take.reading), 30)
                << padded(person_name(ledger, take.by), 16) << padded(utc_text(take.at.ms), 22)
                << (take.swap.nil() ? std::string("by hand") : "swap " + to_text(take.swap))
                << (take.reading.where.empty() ? "" : ", " + plain_line(take.reading.where)) << "\n";
        }
    }
    return exit_done;
}

int export_bundle(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string name(request.operands.front());
    if (const auto there = may_write(request, name, err)) return *there;
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    const Result<Store> store = Store::open(at->path, Store::Mode::read);
    if (!store) return complain(err, as_shown(store.error(), *at));
    // Damage is not exported.
    if (const auto whole = known_whole(*store, *at); !whole) return complain(err, whole.error());
    auto entries = store->all();
    if (!entries) return complain(err, as_shown(entries.error(), *at));
    const Result<Sender> me = sender_of(*store);
    if (!me) return complain(err, as_shown(me.error(), *at));
    const std::size_t count = entries->size();
    const std::string bytes = write_sync_bundle({*me, std::move(*entries)});
    if (const Outcome written = write_file_durably(name, bytes); !written)
        return complain(err, written.error());
    out << name << ": " << count << " entries written\n";
    return exit_done;
}

namespace {

Result<std::vector<Entry>> of_bundle(const std::string& name) {
    const Result<std::string> bytes = read_bytes(name, bundle_cap, bundle_start);
    Error error;
    if (bytes) {
        auto sync_bundle = read_sync_bundle(*bytes);
        if (sync_bundle) return std::move(sync_bundle->entries);
        error = as_shown(sync_bundle.error(), {"", name});
    } else {
        error = bytes.error();
    }
    if (error.code == ErrorCode::not_ours) error.detail = "a bundle or a workshop file was expected";
    return error;
}

// Opened for reading: the other file is not changed.
Result<std::vector<Entry>> of_workshop(const std::string& name) {
    const WorkshopPath other{name, name};
    const Result<Store> store = Store::open(name, Store::Mode::read);
    if (!store) return as_shown(store.error(), other);
    if (const auto whole = known_whole(*store, other); !whole) return whole.error();
    auto entries = store->all();
    if (!entries) return as_shown(entries.error(), other);
    return entries;
}

}  // namespace

int import_bundle(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string name(request.operands.front());
    if (is_the_workshop(request, name)) {
        err << "restand: " << plain_line(name) << " is the workshop itself; nothing was changed\n";
        return exit_bad_input;
    }
    const bool workshop = name != "-" && first_bytes(name) == database_start;
    const auto entries = workshop ? of_workshop(name) : of_bundle(name);
    if (!entries) return complain(err, entries.error());

    // The import is checked to be whole before the workshop file is opened.
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    Result<Store> store = open_to_write(*at, Store::Mode::create, err);
    if (!store) return complain(err, store.error());
    const auto merged = store->merge(*entries);
    if (!merged) return complain(err, as_shown(merged.error(), *at));
    out << name << ": " << merged->added << " entries added, " << merged->known << " known already\n";
    if (const std::string clocks = clocks_apart(merged->clock_apart_ms); !clocks.empty())
        err << "restand: " << clocks << "\n";
    return report_refused(merged->refused, err);
}

}  // namespace restand
