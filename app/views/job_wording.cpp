#include "app/views/job_wording.h"

#include <fmt/format.h>

#include "app/views/season_wording.h"
#include "app/views/wording.h"

namespace restand::wording {

std::string label(JobField field) {
    switch (field) {
        case JobField::what:
            return "what is to be done";
        case JobField::why:
            return "why";
        case JobField::part:
            return "part waited for";
        case JobField::from:
            return "ordered from";
        case JobField::ordered:
            return "ordered on";
        case JobField::due:
            return "due";
        case JobField::planned:
            return "minutes planned";
        case JobField::taken:
            return "minutes taken";
    }
    return "";
}

std::string milestone(Milestone milestone) {
    switch (milestone) {
        case Milestone::start_up:
            return "start-up";
        case Milestone::dyno:
            return "dyno";
        case Milestone::shakedown:
            return "shakedown";
        case Milestone::scrutineering:
            return "scrutineering";
        case Milestone::wet_session:
            return "wet session";
        case Milestone::season:
            return "start of the season";
    }
    return "";
}

std::string before(const std::optional<Milestone>& of) {
    return of ? "before " + milestone(*of) : "may wait";
}

std::string waits_for(const OpenJob& job) {
    std::string text;
    const JobBody& body = job.job->body;
    if (waits_for_part(body)) {
        text = body.part;
        if (!body.due.empty()) text += ", due " + body.due;
        if (!body.from.empty()) text += ", from " + body.from;
    }
    for (const Job* first : job.waits_for)
        text += (text.empty() ? "" : " · ") + ("after: " + first->body.what);
    if (job.in_circle) text += std::string(text.empty() ? "" : " · ") + "waits for itself: take one out";
    return text;
}

std::string against(const ReadyItem& item, const UnitChoice& units) {
    switch (item.rule) {
        case ReadyRule::open_job:
            return item.name;
        case ReadyRule::open_swap:
            return "A swap is open";
        case ReadyRule::open_way:
            return "A way back is not finished";
        case ReadyRule::not_verified:
            return "The last swap was kept without being found restored";
        case ReadyRule::no_heights:
            return fmt::format("How high the {} stands is not known", end(*item.end));
        case ReadyRule::heights_moved:
            return fmt::format("Set otherwise since the {} heights were read", end(*item.end));
        case ReadyRule::heights_old:
            return fmt::format("The {} heights are {:.0f} days old", end(*item.end), item.amount);
        case ReadyRule::coils_touch:
            return coils_touch(*item.end, mm(item.amount), units);
        case ReadyRule::beyond_adjuster:
            return "A setting is beyond what its adjuster can do";
        case ReadyRule::chain_short:
            return chain_too_short(mm(item.amount), units);
        case ReadyRule::chain_new:
            return "The new chain's slack was not read since it ran in";
        case ReadyRule::chain_worn:
            return fmt::format("The chain is worn by {:.1f} %", item.amount);
        case ReadyRule::part_due:
            return fmt::format("{} is at {:.0f} % of its limit", item.name, 100 * item.amount);
        case ReadyRule::two_baselines:
            return "Two devices each kept a baseline";
        case ReadyRule::two_descriptions:
            return "Two devices described this bike differently";
    }
    return "";
}

std::string put_right(const ReadyItem& item, const std::vector<OpenJob>& jobs) {
    switch (item.rule) {
        case ReadyRule::open_job:
            for (const OpenJob& open : jobs)
                if (open.job->id == item.subject && !open.can_begin()) return waits_for(open);
            return "can be done now";
        case ReadyRule::open_swap:
            return "finish it, or set it aside";
        case ReadyRule::open_way:
            return "finish it, or leave it";
        case ReadyRule::not_verified:
            return "read the heights again and keep them";
        case ReadyRule::no_heights:
        case ReadyRule::heights_moved:
        case ReadyRule::heights_old:
            return "read them";
        case ReadyRule::coils_touch:
        case ReadyRule::beyond_adjuster:
            return "set it otherwise";
        case ReadyRule::chain_short:
            return "move the axle, or more links";
        case ReadyRule::chain_new:
            return "read the slack";
        case ReadyRule::chain_worn:
            return "another chain";
        case ReadyRule::part_due:
            return "service or replace it";
        case ReadyRule::two_baselines:
        case ReadyRule::two_descriptions:
            return "say which one stands";
    }
    return "";
}

std::vector<JobBody> usual_jobs() {
    using enum Milestone;
    const auto job = [](Milestone before, const char* what) {
        return JobBody{.what = what, .before = before};
    };
    return {job(start_up, "Fuel lines and clamps tight, no leak"),
            job(start_up, "Battery strapped down, its leads covered"),
            job(start_up, "Oil and coolant filled"),
            job(dyno, "Throttle closes by itself at full lock, both sides"),
            job(dyno, "Sprocket nuts secured, chain slack set"),
            job(shakedown, "Axles, calipers, yokes and shock bolts to the maker's torque"),
            job(shakedown, "Brakes bled, levers firm"),
            job(shakedown, "Nothing rubs at full lock and full travel"),
            job(scrutineering, "Drain plugs, filler cap and filter wired"),
            job(scrutineering, "Lever guard, catch tank and numbers fitted"),
            job(wet_session, "Rain tyres on their wheels"),
            job(wet_session, "Rain light works"),
            job(season, "Fork and shock serviced"),
            job(season, "Brake fluid and coolant changed")};
}

std::string recheck(SwapPart part) {
    switch (part) {
        case SwapPart::shock:
        case SwapPart::shock_spring:
            return "Shock bolts and collar again after the first run";
        case SwapPart::link_rod:
            return "Linkage bolts again after the first run";
        case SwapPart::rear_tyre:
            return "Rear spindle, caliper and cold pressure again after the first run";
        case SwapPart::front_tyre:
            return "Front spindle, calipers and cold pressure again after the first run";
        case SwapPart::sprockets:
            return "Sprocket nuts again after the first run";
        case SwapPart::chain:
            return "Joint and slack of the chain again after the first run";
        case SwapPart::fork:
        case SwapPart::fork_springs:
        case SwapPart::fork_oil:
            return "Yoke bolts, fork caps and seals again after the first run";
        case SwapPart::load:
            return "Fasteners of tank and bodywork again after the first run";
    }
    return "";
}

std::string only_recorded() {
    return "This is what is written down, and no more. The licensed person and the event's rules decide.";
}

}  // namespace restand::wording
