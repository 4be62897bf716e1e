#include "platform/terminal/page.h"

#include <cmath>

#include "app/sentences.h"
#include "core/quantity/unit.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

constexpr std::size_t name_width = 26;
constexpr std::size_t column_width = 12;

std::string change(std::optional<Length> was, std::optional<Length> will) {
    if (!was || !will) return "";
    const std::string text = tenths(*will - *was);
    const bool rises = in_mm(*will - *was) > 0.0 && text != "0.0";
    return (rises ? "+" : "") + text;
}

std::string row(const std::string& name, const std::string& was, const std::string& will,
                const std::string& more) {
    std::string line = "  " + padded(name, name_width) + at_right(was, column_width) +
                       at_right(will, column_width) + (more.empty() ? "" : at_right(more, column_width));
    return line + "\n";
}
std::string row(const std::string& name, std::optional<Length> was, std::optional<Length> will) {
    return row(name, tenths(was), tenths(will), change(was, will));
}

// Where only differences count, the adjuster is left where it is, or its length is said by its turns alone.
std::string length_to_set(const CaseFile& file, const Setting& set) {
    const std::string turned = set.length_turns ? length_turns(*set.length_turns) : "";
    if (file.fork_length)
        return "  Fork position" + (turned.empty() ? "" : ": " + turned) + ": " +
               tenths(fork_position(file, set)) + " mm above the yoke\n";
    const std::string length = file.length_known ? "eye to eye " + tenths(set.length) + " mm" : "";
    if (!turned.empty()) return "  Length adjuster: " + turned + (length.empty() ? "" : ", " + length) + "\n";
    return length.empty() ? "" : "  Eye to eye: " + tenths(set.length) + " mm\n";
}

std::string to_do(const CaseFile& file, const Answer& a) {
    const Setting& set = a.detent;
    std::string text = length_to_set(file, set);
    if (set.collar_turns) text += "  Collar: " + collar_turns(*set.collar_turns) + "\n";
    text += "  Set spring to " +
            (file.free_length_known ? tenths(set.installed_length) + " mm installed, preload "
                                    : "a preload of ") +
            tenths(set.preload) + " mm\n";
    return text;
}

std::string exact(const CaseFile& file, const Answer& a) {
    const Setting &exact = a.setting, &near = a.detent;
    if (!file.length_known || !file.free_length_known) return "";
    if (tenths(exact.length) == tenths(near.length) &&
        tenths(exact.installed_length) == tenths(near.installed_length))
        return "";
    return "  (exactly: length " + print_fixed(in_mm(exact.length), 2) + " mm, spring " +
           print_fixed(in_mm(exact.installed_length), 2) + " mm; above is the nearest that can be set)\n";
}

std::string heights(const Answer& a) {
    const Prediction &was = a.before, &will = a.predicted_detent;
    std::string text = row("mm, axle to mark", "was", "will be", "change");
    for (const State state : all_states) {
        const auto moved = will.residual_at(state);
        const auto height = [state](const Prediction& p) -> std::optional<Length> {
            return p.at(state) ? std::optional(p.at(state)->height) : std::nullopt;
        };
        if (height(was) || height(will))
            text += row(height_name(state), height(was), height(will));
        else if (moved)  // of a height that nobody read
            text += row(height_name(state), "not read", "", change(mm(0.0), moved));
    }
    if (was.free_sag || will.free_sag) text += row("Free sag", was.free_sag, will.free_sag);
    if (was.rider_sag || will.rider_sag) text += row("Rider sag", was.rider_sag, will.rider_sag);
    const auto rate = [](const Prediction& p) {
        return p.wheel_rate ? print_fixed(in_newton_per_mm(*p.wheel_rate), 1) : std::string("–");
    };
    text += row("Wheel rate, N/mm", rate(was), rate(will), "");
    text += row("Coils apart at full travel", tenths(was.block_margin), tenths(will.block_margin), "");
    text += row("Travel left under rider", tenths(was.travel_left), tenths(will.travel_left), "");
    return text;
}

std::string step_line(const std::string& name, const Step& step, bool thread) {
    const std::optional<Length>& effect = step.rider ? step.rider : step.static_;
    if (!effect) return "";
    const std::string what = thread ? "one turn " + name : tenths(step.setting) + " mm " + name;
    return "  " + what + ": " + change(mm(0.0), effect) + " mm at the axle\n";
}

std::string steps(const CaseFile& file, const Answer& a) {
    const bool adjustable = file.swap.length.min < file.swap.length.max;
    std::string text;
    if (adjustable)
        text += step_line(file.fork_length ? "less fork position" : "longer", a.length_step,
                          file.swap.length.per_turn.has_value());
    text += step_line(file.swap.installed.per_turn ? "of the collar in" : "shorter spring", a.collar_step,
                      file.swap.installed.per_turn.has_value());
    return text;
}

std::string uncertainty_lines(const CaseFile& file, const UncertainAnswer& uncertain) {
    const auto line = [](const char* name, const std::optional<Uncertain>& u) {
        return u ? std::string("  ") + name + " ± " + print_fixed(u->expanded, 1) + " mm\n" : std::string();
    };
    const std::string settings =
        line("Length", uncertain.length) + (file.free_length_known
                                                ? line("Installed length", uncertain.installed_length)
                                                : line("Preload", uncertain.preload));
    // A swap in the workshop's keys says how well each height comes back, whatever the reading before.
    if (!file.origins.empty())
        return settings + line("Topped out, back within", uncertain.change[0]) +
               line("Static, back within", uncertain.change[1]) +
               line("Rider, back within", uncertain.change[2]);
    return settings + line("Topped out", uncertain.topped_out) + line("Static", uncertain.static_) +
           line("Rider", uncertain.rider);
}

std::string section(const std::string& title, const std::string& body) {
    return body.empty() ? "" : "\n" + title + "\n" + body;
}

// The verdict of the whole page, and what prevents an answer.
std::string verdict(const CaseFile& file, const Answer& a) {
    std::string text =
        a.held ? std::string(a.hold == State::static_ ? "Static ride height" : "Ride height with rider") +
                     " is held within " + print_fixed(in_mm(file.swap.tolerance), 1) + " mm.\n"
               : "DO NOT FIT IT SO: the bike would not stand as before, or could not be ridden.\n";
    for (const Limit& limit : a.limits) text += "  ! " + sentence(limit, file.swap.end) + "\n";
    return text;
}

// What the case does not give, and what is taken for it.
std::string taken_for_granted(const CaseFile& file) {
    std::string text;
    for (const CaseDefault& d : file.assumed)
        text += "  " + d.what + ": " + print_fixed(d.value, 1) +
                (d.half > 0 ? " ± " + print_fixed(d.half, 1) : "") + "\n";
    return text.empty() ? "" : "\nNot given, and taken as\n" + text;
}

constexpr const char* at_the_foot =
    "  Secure the bike on its stands before anything is loosened.\n"
    "  A spring under load can leave its seat: back the collar off first.\n"
    "  A gas damper is opened or charged only by its maker or a specialist.\n"
    "  Fasteners to the maker's manual, and again after the first run.\n"
    "  This is arithmetic on your readings, not approval to ride.\n";

}  // namespace

std::string tenths(std::optional<Length> length) {
    return length ? print_fixed(in_mm(*length), 1) : "–";
}

std::string to_set(const CaseFile& file, const Answer& answer) {
    return to_do(file, answer) + exact(file, answer);
}

std::string cautions() {
    return at_the_foot;
}

std::string end_page(const CaseFile& file, const UncertainAnswer& uncertain, const std::string& title) {
    const Answer& a = uncertain.answer;
    std::string text = title;
    if (!file.note.empty()) text += ": " + plain_line(file.note);
    text += "\n" + taken_for_granted(file) + "\n" + verdict(file, a) +
            "\nSet, with the bike secured on its stands\n" + to_set(file, a) + "\n" + heights(a);
    text += section("What one step does, rider on", steps(file, a));
    return text + section("How sure, 95 %", uncertainty_lines(file, uncertain));
}

std::string page(const CaseFile& file, const UncertainAnswer& uncertain) {
    const char* title = file.swap.end == End::rear ? "REAR END, NEW UNIT" : "FRONT END, NEW UNIT";
    return end_page(file, uncertain, title) + "\n" + cautions();
}

}  // namespace restand
