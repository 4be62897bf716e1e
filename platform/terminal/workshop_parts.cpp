// Shared by the commands on a workshop file.

#include "platform/terminal/workshop.h"

#include <algorithm>
#include <filesystem>

#include "app/sentences.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"
#include "core/store/old_version.h"
#include "platform/terminal/devices.h"

namespace restand {
namespace {

constexpr std::size_t shortest_id = 8;

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
    return out;
}

}  // namespace

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

Result<Store> open_to_write(const WorkshopPath& where, Store::Mode mode, std::ostream& err) {
    auto opened = open_keeping_old(where.path, mode, wall_ms());
    if (!opened) return as_shown(opened.error(), where);
    if (!opened->old_kept.empty()) {
        const Error kept = as_shown(Error{ErrorCode::io, opened->old_kept, ""}, where);
        err << "restand: " << where.shown << " was brought up from version " << opened->old_version << " to "
            << workshop_version << "; the file as it was is kept as " << kept.subject << "\n";
    }
    return std::move(opened->store);
}

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
    if (found.empty() && !wanted.empty())
        found =
            matching([&](const Bike* b) { return lower(b->body.name).find(wanted) != std::string::npos; });
    const std::string subject = "bike '" + std::string(word.substr(0, 80)) + "'";
    if (found.empty()) return Error{ErrorCode::not_found, subject, "see restand bikes"};
    if (found.size() > 1)
        return Error{ErrorCode::contradiction, subject,
                     "; " + std::to_string(found.size()) + " bikes fit; type more of it"};
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
                     "; " + std::to_string(found.size()) + " baselines fit; type more of its id"};
    return found.front();
}

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

namespace {
std::size_t letters(const std::string& text) {
    std::size_t n = 0;
    for (const char c : text) n += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u;
    return n;
}
}  // namespace

std::string padded(std::string text, std::size_t width) {
    text = plain_line(text);
    const std::size_t n = letters(text);
    return text + std::string(n < width ? width - n : 1, ' ');
}

std::string at_right(const std::string& text, std::size_t width) {
    const std::size_t n = letters(text);
    return n < width ? std::string(width - n, ' ') + text : text;
}

std::string person_name(const Ledger& ledger, const Id& id) {
    const Person* person = ledger.person(id);
    return person ? person->name : "nobody named";
}

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
        const bool said = unit.empty() || wording::typed_number(first) != first.text;
        return said ? first.text : first.text + " " + unit;
    }
    const Measured m = measured(reading);
    return print_in(m.value, first.unit) + " " + std::string(symbol(first.unit)) + " (mean of " +
           std::to_string(m.repeats) + ", spread " + print_in(m.spread, first.unit) + ")";
}

bool is_the_workshop(const Request& request, const std::string& name) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return false;
    std::error_code failed;
    // The files that SQLite and the lock keep beside the workshop belong to it.
    for (const char* more : {"", "-journal", "-wal", "-shm", ".lock"})
        if (std::filesystem::equivalent(name, at->path + more, failed)) return true;
    return false;
}

Outcome known_whole(const Store& store, const WorkshopPath& where) {
    const Result<Health> health = store.check();
    if (!health) return as_shown(health.error(), where);
    if (health->whole) return Done{};
    const std::string why =
        health->found.empty() ? "" : health->found.front().subject + ", " + health->found.front().detail;
    return as_shown(Error{ErrorCode::damaged, where.path, why}, where);
}

std::optional<int> may_write(const Request& request, const std::string& name, std::ostream& err) {
    std::error_code failed;
    if (is_the_workshop(request, name)) {
        err << "restand: " << plain_line(name) << " is the workshop itself; nothing was written\n";
        return exit_bad_input;
    }
    if (request.replace || !std::filesystem::exists(name, failed)) return std::nullopt;
    err << "restand: " << name << " is there already; nothing was written (--replace replaces it)\n";
    return exit_bad_input;
}

int report_refused(const std::vector<Error>& refused, std::ostream& err) {
    for (const Error& one : refused) err << "restand: refused: " << plain_line(sentence(one)) << "\n";
    return refused.empty() ? exit_done : exit_bad_input;
}

}  // namespace restand
