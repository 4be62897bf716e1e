// bikes, baselines, show, export, import: the workshop file from the command line. Reading opens it
// read-only.

#include <algorithm>
#include <filesystem>
#include <string>
#include <utility>

#include "core/exchange/body_json.h"
#include "core/exchange/bundle.h"
#include "core/exchange/list_json.h"
#include "core/exchange/words.h"
#include "core/store/file.h"
#include "core/store/store.h"
#include "platform/terminal/request.h"

namespace restand {
namespace {

constexpr std::size_t shortest_id = 8;

// The store knows its file by path; messages call it as the person did.
Error as_shown(Error error, const WorkshopPath& where) {
    const auto hide = [&](std::string& text) {
        for (std::size_t at = 0; !where.path.empty() && (at = text.find(where.path, at)) != std::string::npos;
             at += where.shown.size())
            text.replace(at, where.path.size(), where.shown);
    };
    hide(error.subject);
    hide(error.detail);
    if (error.subject.empty() || error.subject == "file") error.subject = where.shown;
    return error;
}

struct Workshop {
    Store store;
    Ledger ledger;
};

// The workshop with every bike's baselines.
Result<Workshop> open_workshop(const Request& request, std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return at.error();
    const WorkshopPath& where = *at;
    Result<Store> store = Store::open(where.path, Store::Mode::read);
    if (!store) return as_shown(store.error(), where);
    Workshop workshop{std::move(*store), {}};
    const auto opening = workshop.store.opening();
    if (!opening) return as_shown(opening.error(), where);
    std::size_t unread = read_into(workshop.ledger, *opening).size();
    for (const Bike* bike : workshop.ledger.bikes(true)) {
        const auto kept = workshop.store.of_bike(bike->id, "baseline");
        if (!kept) return as_shown(kept.error(), where);
        unread += read_into(workshop.ledger, *kept).size();
    }
    if (unread > 0)
        err << "restand: " << where.shown << ": " << unread << " entries cannot be read and are not shown\n";
    return workshop;
}

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
    return out;
}

// The whole name wins, then the start of an id, then the start of a name. Errors: not_found, contradiction.
Result<const Bike*> bike_of(const Ledger& ledger, std::string_view word) {
    const auto all = ledger.bikes(true);
    const std::string wanted = lower(word);
    const auto matching = [&](auto fits) {
        std::vector<const Bike*> found;
        std::copy_if(all.begin(), all.end(), std::back_inserter(found), fits);
        return found;
    };
    auto found = matching([&](const Bike* b) { return lower(b->body.name) == wanted; });
    if (found.empty()) found = matching([&](const Bike* b) { return to_text(b->id).starts_with(wanted); });
    if (found.empty())
        found = matching([&](const Bike* b) { return lower(b->body.name).starts_with(wanted); });
    const std::string subject = "bike '" + std::string(word.substr(0, 80)) + "'";
    if (found.empty()) return Error{ErrorCode::not_found, subject, "see restand bikes"};
    if (found.size() > 1)
        return Error{ErrorCode::contradiction, subject,
                     std::to_string(found.size()) + " bikes fit; type more of it"};
    return found.front();
}

std::vector<const Baseline*> all_baselines(const Ledger& ledger) {
    std::vector<const Baseline*> all;
    for (const Bike* bike : ledger.bikes(true))
        for (const Baseline* baseline : ledger.baselines(bike->id)) all.push_back(baseline);
    return all;
}

Result<const Baseline*> baseline_by(const Ledger& ledger, std::string_view word) {
    const std::string wanted = lower(word);
    std::vector<const Baseline*> found;
    for (const Baseline* baseline : all_baselines(ledger))
        if (!wanted.empty() && to_text(baseline->id).starts_with(wanted)) found.push_back(baseline);
    const std::string subject = "baseline '" + std::string(word.substr(0, 80)) + "'";
    if (found.empty()) return Error{ErrorCode::not_found, subject, "see restand baselines BIKE"};
    if (found.size() > 1)
        return Error{ErrorCode::contradiction, subject,
                     std::to_string(found.size()) + " baselines fit; type more of its id"};
    return found.front();
}

// So much of an id that no other begins with it.
std::size_t telling(const std::vector<Id>& ids) {
    std::vector<std::string> texts;
    for (const Id& id : ids) texts.push_back(to_text(id));
    std::sort(texts.begin(), texts.end());
    std::size_t length = shortest_id;
    for (std::size_t i = 1; i < texts.size(); ++i) {
        const auto [a, b] = std::mismatch(texts[i].begin(), texts[i].end(), texts[i - 1].begin());
        length = std::max(length, static_cast<std::size_t>(a - texts[i].begin()) + 1);
    }
    return std::min<std::size_t>(length, 36);
}

std::string padded(std::string text, std::size_t width) {
    std::size_t n = 0;
    for (const char c : text) n += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u;
    return text + std::string(n < width ? width - n : 1, ' ');
}

std::string person_name(const Ledger& ledger, const Id& id) {
    const Person* person = ledger.person(id);
    return person ? person->name : "nobody named";
}

// "ride height topped out": the key is the trade term.
std::string point_name(Point point) {
    std::string name(facts(point).key);
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

std::string value_text(const Reading& reading) {
    const Typed& first = reading.repeats.front();
    if (facts(reading.point).dimension == Dimension::text) return first.text;
    if (reading.repeats.size() == 1) {
        const std::string unit(symbol(first.unit));
        const bool said = unit.empty() || first.text.ends_with(unit);
        return said ? first.text : first.text + " " + unit;
    }
    const Measured m = measured(reading);
    return print_in(m.value, first.unit) + " " + std::string(symbol(first.unit)) + " (mean of " +
           std::to_string(m.repeats) + ", spread " + print_in(m.spread, first.unit) + ")";
}

}  // namespace

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

    // `show` looks among all bikes, so the ids printed must tell them all apart.
    std::vector<Id> ids;
    for (const Baseline* baseline : all_baselines(ledger)) ids.push_back(baseline->id);
    const std::size_t id_length = telling(ids);
    const auto list = ledger.baselines((*bike)->id);
    if (list.empty()) out << "No baselines of " << (*bike)->body.name << " yet.\n";
    for (const Baseline* baseline : list)
        out << padded(to_text(baseline->id).substr(0, id_length), id_length + 2)
            << padded(utc_text(baseline->clock.ms), 22) << padded(person_name(ledger, baseline->by), 16)
            << baseline->body.reason << "\n";
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
    out << (bike ? bike->body.name : "A bike") << ", baseline of " << utc_text(baseline.clock.ms) << " by "
        << person_name(ledger, baseline.by) << "\n";
    if (!baseline.body.reason.empty()) out << "Reason: " << baseline.body.reason << "\n";
    for (const End end : {End::rear, End::front}) {
        bool first = true;
        for (const BaselineValue& value : baseline.body.values) {
            if (value.end != end || value.take.reading.repeats.empty()) continue;
            if (std::exchange(first, false)) out << "\n" << (end == End::rear ? "Rear" : "Front") << "\n";
            const Take& take = value.take;
            out << "  " << padded(point_name(take.reading.point), 26) << padded(value_text(take.reading), 30)
                << padded(person_name(ledger, take.by), 16) << padded(utc_text(take.at_ms), 22)
                << (take.swap.nil() ? std::string("by hand") : "swap " + to_text(take.swap))
                << (take.reading.where.empty() ? "" : ", " + take.reading.where) << "\n";
        }
    }
    return exit_done;
}

int export_bundle(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string name(request.operands.front());
    std::error_code failed;
    if (!request.replace && std::filesystem::exists(name, failed)) {
        err << "restand: " << name << " is there already; nothing was written (--replace replaces it)\n";
        return exit_bad_input;
    }
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    const WorkshopPath& where = *at;
    const Result<Store> store = Store::open(where.path, Store::Mode::read);
    if (!store) return complain(err, as_shown(store.error(), where));
    const auto entries = store->all();
    if (!entries) return complain(err, as_shown(entries.error(), where));
    if (const Outcome written = write_file_durably(name, write_bundle(*entries)); !written)
        return complain(err, written.error());
    out << name << ": " << entries->size() << " entries written\n";
    return exit_done;
}

int import_bundle(const Request& request, std::ostream& out, std::ostream& err) {
    const std::string name(request.operands.front());
    const Result<std::string> bytes = read_bytes(name, bundle_cap);
    if (!bytes) return complain(err, bytes.error());
    const auto entries = read_bundle(*bytes);
    if (!entries) {
        Error error = as_shown(entries.error(), {"", name});
        if (error.code == ErrorCode::not_ours) error.detail = "a bundle was expected";
        return complain(err, error);
    }

    // The bundle is known to be whole before the workshop file is even opened.
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    const WorkshopPath& where = *at;
    Result<Store> store = Store::open(where.path, Store::Mode::create);
    if (!store) return complain(err, as_shown(store.error(), where));
    const auto merged = store->merge(*entries);
    if (!merged) return complain(err, as_shown(merged.error(), where));
    out << name << ": " << merged->added << " entries added, " << merged->known << " known already\n";
    for (const Error& refused : merged->refused) err << "restand: refused: " << sentence(refused) << "\n";
    return merged->refused.empty() ? exit_done : exit_bad_input;
}

}  // namespace restand
