// Plays the table: what the app would have written on those days, in the same order and the same
// transactions.

#include "demo/season.h"

#include <chrono>
#include <memory>
#include <system_error>

#include "core/codec/body_json.h"
#include "core/ledger/swap_solution.h"
#include "core/store/store.h"
#include "demo/season_truth.h"

namespace restand {
namespace {

using namespace demo;
namespace fs = std::filesystem;

constexpr std::int64_t pace_ms = 41'000;  // between two entries: a reading with its repeats

std::int64_t unix_ms(Day day) {
    using namespace std::chrono;
    const sys_days date = year{2026} / month{day.month} / std::chrono::day{day.day};
    return duration_cast<milliseconds>((date + hours{day.hour}).time_since_epoch()).count();
}

std::string text_of(Day day) {
    const auto two = [](unsigned n) { return (n < 10 ? "0" : "") + std::to_string(n); };
    return "2026-" + two(day.month) + "-" + two(day.day);
}

class Season {
public:
    Season(Store store, std::shared_ptr<std::int64_t> now) : store_(std::move(store)), now_(std::move(now)) {}

    Outcome play() {
        if (const auto begun = begin(); !begun) return begun;
        // Swaps and track days in the order of the year.
        auto track = track_days().begin();
        for (const SwapDay& day : swap_days()) {
            for (; track != track_days().end() && unix_ms(track->day) < unix_ms(day.day); ++track)
                if (const auto written = play(*track); !written) return written;
            if (const auto played = play(day); !played) return played;
        }
        return write_down_jobs();
    }

private:
    struct Machine {
        Id id;
        EndTruth rear, front;
        bool gauge;
    };

    // Appends in one transaction and folds. The ids of what was written, in order.
    Result<std::vector<Id>> append(const std::vector<NewEntry>& entries) {
        const auto written = store_.append_all(entries);
        if (!written) return written.error();
        for (const Unread& unread : read_into(ledger_, *written)) return unread.error;
        std::vector<Id> ids;
        for (const Entry& e : *written) ids.push_back(e.id);
        return ids;
    }
    Outcome write(const std::vector<NewEntry>& entries) {
        const auto ids = append(entries);
        if (!ids) return ids.error();
        return Done{};
    }

    Outcome begin() {
        *now_ = unix_ms(opening_day);
        std::vector<NewEntry> entries = {encode(UnitsBody{})};
        for (const char* name : people()) entries.push_back(encode(PersonBody{name}));
        const auto team = append(entries);
        if (!team) return team.error();
        people_.assign(team->begin() + 1, team->end());

        entries.clear();
        for (const BikeAsFound& bike : bikes()) entries.push_back(encode(bike.body, {}, {}, people_[0]));
        for (const BikeBody& bike : archived_bikes()) entries.push_back(encode(bike, {}, {}, people_[0]));
        const auto ids = append(entries);
        if (!ids) return ids.error();
        for (std::size_t i = 0; i < bikes().size(); ++i) {
            const BikeAsFound& b = bikes()[i];
            machines_.push_back({(*ids)[i], {b, End::rear}, {b, End::front}, b.gauge});
        }
        if (const auto archived = archive(*ids); !archived) return archived;
        entries.clear();
        for (const WatchedPart& part : watched_parts())
            entries.push_back(
                encode(part.body, machines_[static_cast<std::size_t>(part.bike)].id, {}, people_[0]));
        for (const ShelfPart& part : shelf_parts()) {
            ShelfBody body{part.part, part.name, {}, false};
            for (const Line& line : part.lines) body.values.push_back(reading(line));
            entries.push_back(encode(body, {}, {}, people_[0]));
        }
        return write(entries);
    }

    Outcome archive(const std::vector<Id>& ids) {
        std::vector<NewEntry> entries;
        for (std::size_t i = 0; i < archived_bikes().size(); ++i) {
            BikeBody away = archived_bikes()[i];
            away.archived = true;
            const Id id = ids[bikes().size() + i];
            entries.push_back(encode(away, id, {}, people_[0], {id}));
        }
        return write(entries);
    }

    // A job is written after those that come first.
    Outcome write_down_jobs() {
        std::vector<Id> ids;
        for (const PlannedJob& planned : planned_jobs()) {
            JobBody body = planned.body;
            for (const int first : planned.after)
                body.blocked_by.push_back(ids[static_cast<std::size_t>(first)]);
            body.who = people_[static_cast<std::size_t>(planned.bike) % people_.size()];
            *now_ += pace_ms;
            const auto written =
                append({encode(body, machines_[static_cast<std::size_t>(planned.bike)].id, {}, people_[0])});
            if (!written) return written.error();
            ids.push_back(written->front());
        }
        return Done{};
    }

    // One session -----------------------------------------------------------------------------------------

    Outcome play(const TrackDay& day) {
        *now_ = unix_ms(day.day);
        machine_ = &machines_[static_cast<std::size_t>(day.bike)];
        by_ = people_[static_cast<std::size_t>(day.by)];
        EventBody event;
        event.day = text_of(day.day);
        event.circuit = day.circuit;
        event.session = day.session;
        event.weather = day.weather;
        event.tyre = day.tyre;
        event.words = day.words;
        event.distance_km = day.distance_km;
        event.running_h = day.running_h;
        event.track_c = day.track_c;
        std::vector<NewEntry> entries = {encode(event, machine_->id, {}, by_)};
        ChangeBody change;
        for (const PitChange& c : day.changes) {
            EndTruth& end = truth(c.end);
            if (c.line.point != Point::chain_slack) {
                end.know(c.line);
                change.values.push_back({c.end, reading(c.line)});
                continue;
            }
            end.tighten(mm(canonical_value(typed(c.line))));
            for (const Point point : {Point::axle_position, Point::chain_slack})
                change.values.push_back({c.end, end.read(point, machine_->gauge, day.by == 1, scatter_)});
        }
        if (!change.values.empty()) entries.push_back(encode(change, machine_->id, {}, by_));
        return write(entries);
    }

    // One swap --------------------------------------------------------------------------------------------

    Outcome play(const SwapDay& day) {
        *now_ = unix_ms(day.day);
        day_ = &day;
        machine_ = &machines_[static_cast<std::size_t>(day.bike)];
        by_ = people_[static_cast<std::size_t>(day.by)];
        end_ = end_of(day.swapped.front());
        for (const Line& line : day.before) truth().know(line);
        weigh(day.fuel_kg);
        const auto begun = append({encode(SwapBody{tidy(day.swapped)}, machine_->id, {}, by_)});
        if (!begun) return begun.error();
        swap_ = begun->front();

        std::vector<NewEntry> entries = readings(Phase::before);
        if (day.until == Until::before_half_read) {
            entries.resize(entries.size() / 2);
            return write(entries);
        }
        entries.push_back(step(Step6::new_part));
        for (const Line& line : day.part) entries.push_back(entry(Phase::new_part, reading(line)));
        entries.push_back(step(Step6::answer));
        if (const auto written = write(entries); !written || day.until == Until::answer) return written;

        if (const auto set = set_as_answered(); !set) return set;
        if (const auto checked = read_heights_again(); !checked) return checked;
        if (day.slipped > mm(0.0))
            if (const auto corrected = correct_panel(); !corrected) return corrected;
        return keep();
    }

    Outcome set_as_answered() {
        const SwapSolution solution = solve_swap(site());
        const auto& answer = solution.end(end_)->answer;
        if (!answer) return answer.error();
        // A new part is what it measures, but for its spring, which is up to 0.8 % off its mark.
        truth().fit(day_->part, 0.008 * scatter_.next());
        for (const Line& line : day_->set) truth().know(line);
        turn_to(answer->detent);
        if (refits_chain(*ledger_.swap(swap_)))
            if (const auto placed = place_axle(solution.chain); !placed) return placed;
        std::vector<NewEntry> entries = {step(Step6::set)};
        for (NewEntry& one : readings(Phase::set)) entries.push_back(std::move(one));
        // Found out only by the check: what was written is not what the bike stands on.
        truth().set(Point::spring_installed_length, answer->detent.installed_length + day_->slipped);
        return write(entries);
    }

    // A new chain is taken by its links: its axle is a first guess, the slack is not.
    Outcome place_axle(const Result<ChainAnswer>& chain) {
        if (!chain) return chain.error();
        truth().know({Point::chain_links, std::to_string(chain->will.run.links).c_str()});
        if (chain->by_count)
            truth().tighten(chain->will.on_stand.slack);
        else
            truth().move_axle(*chain->axle_from + chain->axle_by);
        return Done{};
    }

    Outcome read_heights_again() {
        std::vector<NewEntry> entries = {step(Step6::check)};
        if (day_->filled_kg) weigh(day_->filled_kg, "filled up since the heights before");
        for (NewEntry& one : readings(Phase::check)) entries.push_back(std::move(one));
        if (day_->slipped == mm(0.0)) entries.push_back(step(Step6::keep));
        return write(entries);
    }

    void check_again(std::vector<NewEntry>& entries) {
        entries.push_back(step(Step6::check));
        for (const Asked& asked_for : asked(*ledger_.swap(swap_), Phase::check))
            if (truth().knows(asked_for.point)) entries.push_back(again(Phase::check, read(asked_for.point)));
    }

    // Not restored: the collar is measured once more and the heights with it, the correction is set, and the
    // bike is checked again.
    Outcome correct_panel() {
        Reading found = read(Point::spring_installed_length);
        found.where = "measured again: the lock ring had turned back";
        std::vector<NewEntry> once_more = {step(Step6::set), again(Phase::set, found)};
        check_again(once_more);
        if (const auto written = write(once_more); !written) return written;

        const SwapSolution solution = solve_swap(site());
        const auto& correction = solution.end(end_)->correction;
        if (!correction) return correction.error();
        turn_to(correction->detent);
        std::vector<NewEntry> entries;
        for (const Point point : {Point::eye_to_eye, Point::fork_position, Point::spring_installed_length})
            if (ledger_.swap(swap_)->stored({Phase::set, end_, point}))
                entries.push_back(again(Phase::set, read(point)));
        check_again(entries);
        entries.push_back(step(Step6::keep));
        return write(entries);
    }

    Outcome keep() {
        const Swap& swap = *ledger_.swap(swap_);
        const BaselineBody body =
            baseline_of(swap, setup_at(swap.bike, ledger_.facts_of(swap.bike)), day_->reason);
        return write(
            {encode(body, swap.bike, swap.id, by_), encode(SwapEndBody{true}, swap.bike, swap.id, by_)});
    }

    // Its pieces ------------------------------------------------------------------------------------------

    SwapSite site() const { return site_of(ledger_, *ledger_.bike(machine_->id), *ledger_.swap(swap_)); }
    EndTruth& truth() { return truth(end_); }
    EndTruth& truth(End end) { return end == End::rear ? machine_->rear : machine_->front; }

    // Fuel and rider are of the whole bike.
    void weigh(const char* fuel_kg, const char* where = "") {
        for (EndTruth* end : {&machine_->rear, &machine_->front}) end->know({Point::fuel, fuel_kg, where});
    }
    bool swaps(SwapPart part) const { return ledger_.swap(swap_)->has(part); }
    void turn_to(const Setting& setting) {
        truth().set(Point::spring_installed_length, setting.installed_length);
        if (swaps(SwapPart::shock) || swaps(SwapPart::rear_tyre))
            truth().set(Point::eye_to_eye, setting.length);
        if (swaps(SwapPart::fork) || swaps(SwapPart::front_tyre))
            truth().set(Point::fork_position, truth().value(Point::fork_length) - setting.length);
    }

    // Bram types a decimal comma.
    Reading read(Point point) { return truth().read(point, machine_->gauge, day_->by == 1, scatter_); }

    NewEntry step(Step6 to) const { return encode(StepBody{to}, machine_->id, swap_, by_); }
    NewEntry entry(Phase phase, const Reading& reading) const {
        return encode(ReadingBody{phase, reading, false}, machine_->id, swap_, by_);
    }
    // In place of the one that stands.
    NewEntry again(Phase phase, const Reading& reading) const {
        NewEntry one = entry(phase, reading);
        one.supersedes = ledger_.swap(swap_)->entries({phase, end_, reading.point});
        return one;
    }
    std::vector<NewEntry> readings(Phase phase) {
        std::vector<NewEntry> entries;
        for (const Asked& asked_for : asked(*ledger_.swap(swap_), phase))
            if (truth().knows(asked_for.point)) entries.push_back(entry(phase, read(asked_for.point)));
        return entries;
    }

    Store store_;
    std::shared_ptr<std::int64_t> now_;
    Ledger ledger_;
    Scatter scatter_;
    std::vector<Id> people_;
    std::vector<Machine> machines_;
    // The swap being played.
    const SwapDay* day_ = nullptr;
    Machine* machine_ = nullptr;
    End end_ = End::rear;
    Id by_, swap_;
};

Outcome made(const fs::path& file) {
    const auto now = std::make_shared<std::int64_t>(0);
    auto store = Store::open(file.string(), Store::Mode::create, [now] { return *now += pace_ms; });
    if (!store) return store.error();
    return Season(std::move(*store), now).play();
}

void remove_all_of(const fs::path& file) {
    std::error_code ignored;
    for (const char* end : {"", "-journal", ".lock"}) fs::remove(file.string() + end, ignored);
}

}  // namespace

Outcome make_demo(const fs::path& workshop) {
    std::error_code failed;
    if (fs::exists(fs::symlink_status(workshop, failed))) {
        const auto there = Store::open(workshop.string(), Store::Mode::read);
        if (!there) return there.error();
        return Done{};
    }
    const fs::path beside = workshop.string() + ".unfinished";
    remove_all_of(beside);
    Outcome outcome = made(beside);
    if (outcome) {
        fs::rename(beside, workshop, failed);
        if (failed) outcome = Error{ErrorCode::io, workshop.string(), failed.message()};
    }
    remove_all_of(beside);
    return outcome;
}

}  // namespace restand
