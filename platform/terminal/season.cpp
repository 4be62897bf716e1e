#include "platform/terminal/season.h"

#include <algorithm>

#include "app/sentences.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"
#include "platform/terminal/list_json.h"
#include "platform/terminal/tables_season.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

constexpr std::size_t page_size = 200;
constexpr std::string_view now_word = "now:";

// One line for a moment; `names` contains the baselines that a restore plan leads to.
std::string said(const Body& body, const Ledger& names) {
    if (const auto* b = std::get_if<SwapBody>(&body)) return wording::parts(b->parts);
    if (const auto* b = std::get_if<EventBody>(&body))
        return wording::said(body) + (b->words.empty() ? "" : " — " + b->words);
    if (const auto* b = std::get_if<PlanBody>(&body)) {
        const Baseline* target = names.baseline(b->target);
        return "to " + (target && !target->body.reason.empty() ? "'" + target->body.reason + "'"
                                                               : to_text(b->target).substr(0, 13));
    }
    return wording::said(body);
}

struct TimeLine {
    std::vector<Entry> moments;
    std::set<Id> set_aside;
};
Result<TimeLine> time_line(const Store& store, HistoryQuery query) {
    TimeLine line;
    query.limit = page_size;
    for (bool more = true; more;) {
        auto page = store.history(query);
        if (!page) return page.error();
        line.set_aside.merge(page->set_aside);
        more = page->more && !page->moments.empty();
        if (more) query.before = {page->moments.back().clock, page->moments.back().id};
        std::move(page->moments.begin(), page->moments.end(), std::back_inserter(line.moments));
    }
    return line;
}

// The bike's current set-up, from its newest baseline and the changes since.
Result<SetUp> setup_now(Workshop& workshop, const Id& bike) {
    const auto entries = workshop.store.setup(bike, latest);
    if (!entries) return entries.error();
    read_into(workshop.ledger, *entries);
    return restand::setup_now(workshop.ledger, bike);
}

struct Side {
    SetUp setup;
    Id bike;
    std::string title;
};
Result<Side> side_of(Workshop& workshop, std::string_view word) {
    if (word.starts_with(now_word)) {
        const auto bike = bike_of(workshop.ledger, word.substr(now_word.size()));
        if (!bike) return bike.error();
        const Id id = (*bike)->id;
        const std::string title = (*bike)->body.name + " now";
        auto setup = setup_now(workshop, id);
        if (!setup) return setup.error();
        return Side{std::move(*setup), id, title};
    }
    const auto baseline = baseline_by(workshop.ledger, word);
    if (!baseline) return baseline.error();
    const Bike* bike = workshop.ledger.bike((*baseline)->bike);
    const std::string reason = (*baseline)->body.reason;
    return Side{setup_of(**baseline), (*baseline)->bike,
                (bike ? bike->body.name + ", " : "") + "baseline of " + utc_text((*baseline)->clock.ms) +
                    (reason.empty() ? "" : ", " + reason)};
}

std::string side_text(const std::optional<StoredReading>& stored, const std::optional<double>& value) {
    if (stored && !stored->reading.repeats.empty()) return value_text(stored->reading);
    return value ? print_fixed(*value, 2) : "not known";
}

std::string_view sign_of(Derived what) {
    if (what == Derived::final_drive) return "";
    return what == Derived::spring_rate_at_wheel ? "N/mm" : "mm";
}

void print_difference(const Difference& d, std::ostream& out) {
    const auto* point = std::get_if<Point>(&d.what);
    const Unit unit = !point                                   ? Unit::one
                      : d.is && !d.is->reading.repeats.empty() ? d.is->reading.repeats[0].unit
                                                               : chosen({}, facts(*point).dimension);
    out << "  " << padded(wording::end(d.end), 7)
        << padded(point ? point_name(*point) : wording::label(std::get<Derived>(d.what)), 26)
        << padded(side_text(d.was, d.was_value), 22) << "-> " << padded(side_text(d.is, d.is_value), 22);
    if (d.change) {
        const bool up = *d.change > 0;
        out << (up ? "+" : "") << (point ? print_in(*d.change, unit) : print_fixed(*d.change, 2));
        const std::string_view sign = point ? symbol(unit) : sign_of(std::get<Derived>(d.what));
        if (!sign.empty()) out << " " << sign;
        if (!d.real) out << "  within what the readings can tell";
    }
    out << "\n";
}

}  // namespace

int history(const Request& request, std::ostream& out, std::ostream& err) {
    Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Result<const Bike*> bike = bike_of(workshop->ledger, request.operands.front());
    if (!bike) return complain(err, bike.error());
    HistoryQuery query;
    query.bike = (*bike)->id;
    query.text = request.words.value_or("");
    query.part = request.part.value_or("");
    const auto line = time_line(workshop->store, query);
    if (!line) return complain(err, line.error());
    if (request.json) return out << history_json(line->moments, line->set_aside, workshop->ledger), exit_done;

    if (line->moments.empty()) out << "Nothing found of " << plain_line((*bike)->body.name) << ".\n";
    std::vector<Id> ids;
    for (const Entry& entry : line->moments) ids.push_back(entry.id);
    const std::size_t id_length = telling(ids);
    for (const Entry& entry : line->moments) {
        const auto fact = decode(entry);
        out << padded(to_text(entry.id).substr(0, id_length), id_length + 2)
            << padded(utc_text(entry.clock.ms), 22) << padded(wording::moment(entry.kind), 15)
            << padded(person_name(workshop->ledger, entry.by), 16)
            << plain_line(fact ? said(fact->body, workshop->ledger) : "from a newer Restand")
            << (line->set_aside.contains(entry.id) ? "  [set aside]" : "") << "\n";
    }
    return exit_done;
}

int compare_two(const Request& request, std::ostream& out, std::ostream& err) {
    Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const auto was = side_of(*workshop, request.operands[0]);
    if (!was) return complain(err, was.error());
    const auto is = side_of(*workshop, request.operands[1]);
    if (!is) return complain(err, is.error());
    const Bike *was_bike = workshop->ledger.bike(was->bike), *is_bike = workshop->ledger.bike(is->bike);
    const Comparison comparison = compare(was->setup, was_bike ? &was_bike->body : nullptr, is->setup,
                                          is_bike ? &is_bike->body : nullptr);
    if (request.json) return out << comparison_json(comparison), exit_done;

    out << "from  " << plain_line(was->title) << "\nto    " << plain_line(is->title) << "\n\n";
    for (const Difference& d : comparison.changed) print_difference(d, out);
    if (comparison.changed.empty()) out << "  no difference\n";
    out << "\n" << comparison.same.size() << " values are the same\n";
    return exit_done;
}

int plan(const Request& request, std::ostream& out, std::ostream& err) {
    Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Result<const Bike*> found = bike_of(workshop->ledger, request.operands[0]);
    if (!found) return complain(err, found.error());
    const BikeBody bike = (*found)->body;
    const Id id = (*found)->id;
    const auto target = side_of(*workshop, request.operands[1]);
    if (!target) return complain(err, target.error());
    if (target->bike != id)
        return complain(err, {ErrorCode::contradiction, "baseline '" + std::string(request.operands[1]) + "'",
                              "it is of another bike"});
    const auto now = setup_now(*workshop, id);
    if (!now) return complain(err, now.error());
    const PlanActions back = restore_plan(bike, *now, target->setup);
    const int code = back.held ? exit_done : exit_not_held;
    if (request.json) return out << plan_json(back), code;

    out << plain_line(bike.name) << ": back to " << plain_line(target->title) << "\n\n";
    std::size_t count = 0;
    for (const PlanAction& action : back.actions)
        out << padded(std::to_string(++count) + ".", 5)
            << plain_line(wording::action(action, workshop->ledger.units()))
            << (action.solved ? "  (computed for the part now fitted)" : "") << "\n";
    for (const PlanAction& action : back.refits)
        out << "or:  refit the spring of then: "
            << plain_line(wording::action(action, workshop->ledger.units()))
            << "; then its settings are those of then\n";
    if (back.actions.empty()) out << "It stands so already.\n";
    for (const EndLimit& limit : back.limits) out << "in the way: " << sentence(limit, limit.end) << "\n";
    for (const Error& error : back.unsaid) out << "not said: " << plain_line(sentence(error)) << "\n";
    for (const LeftOut& left : back.left_out)
        out << "left out: " << plain_line(wording::left_out(left)) << "\n";
    if (!back.held) out << "The ride heights of then cannot be held.\n";
    return code;
}

}  // namespace restand
