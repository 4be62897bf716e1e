#include "platform/terminal/machine.h"

#include <cmath>

#include "app/sentences.h"
#include "core/quantity/unit.h"
#include "platform/terminal/bike_case.h"
#include "platform/terminal/bike_tables.h"
#include "platform/terminal/solve.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

Error of_table(Error error) {
    if (!error.subject.starts_with("map.")) error.subject.insert(0, "bike.linkage_table.");
    return error;
}

// Of a bike of the workshop, whose heights by strut the app takes whatever the linkage says.
Error of_pairs(Error error) {
    if (error.subject.starts_with("pairs")) error.subject.replace(0, 5, "bike.rear.pairs_mm");
    return error;
}

// A word of a key in readable form: "rear_height" is "rear height".
std::string plain_key(std::string_view key) {
    std::string text(key);
    for (char& c : text)
        if (c == '_') c = ' ';
    return text;
}

void print_travel(std::span<const TravelRow> rows, std::ostream& out) {
    out << at_right("wheel", 8) << at_right("droop", 9) << at_right("unit", 9) << at_right("travel", 9)
        << at_right("motion", 9) << at_right("wheel rate", 12) << "\n"
        << at_right("mm", 8) << at_right("deg", 9) << at_right("mm", 9) << at_right("mm", 9)
        << at_right("ratio", 9) << at_right("N/mm", 12) << "\n";
    for (const TravelRow& r : rows)
        out << at_right(print_fixed(in_mm(r.wheel_travel), 1), 8)
            << at_right(print_fixed(in_degrees(r.droop), 2), 9)
            << at_right(print_fixed(in_mm(r.unit_length), 1), 9)
            << at_right(print_fixed(in_mm(r.unit_travel), 1), 9)
            << at_right(print_fixed(r.motion_ratio, 4), 9)
            << at_right(print_fixed(in_newton_per_mm(r.wheel_rate), 2), 12) << "\n";
}

// The verdict first, then every pair, then the best-fit points.
void print_check(const TableCheck& t, std::ostream& out) {
    const auto& [of, check] = t;
    const auto hundredths = [](Length l) { return print_fixed(in_mm(l), 2); };
    out << "\nAgainst the table: worst miss " << hundredths(check.fit.worst) << " mm, rms "
        << hundredths(check.fit.rms) << " mm. ";
    if (check.agreement == Agreement::agrees)
        out << "Points and table agree within what the table was read to.\n";
    if (check.agreement == Agreement::points)
        out << "The points that fit best lie within what they were measured to.\n";
    if (check.agreement == Agreement::contradict)
        out << "MEASURE AGAIN: no points within what they were measured to meet this table.\n";
    out << at_right("unit mm", 10) << at_right("rise mm", 10) << at_right("miss mm", 10)
        << (check.best ? at_right("at best", 10) : "") << "\n";
    for (std::size_t i = 0; i < of.table.pairs.size(); ++i)
        out << at_right(print_fixed(in_mm(of.table.pairs[i].unit), 1), 10)
            << at_right(print_fixed(in_mm(of.table.pairs[i].axle_rise), 1), 10)
            << at_right(hundredths(check.fit.misses[i]), 10)
            << (check.best ? at_right(hundredths(check.best->fit.misses[i]), 10) : "") << "\n";
    if (!check.best) return;
    out << "Points that fit best: worst miss " << hundredths(check.best->fit.worst) << " mm, rms "
        << hundredths(check.best->fit.rms) << " mm, the farthest moved by "
        << hundredths(check.best->farthest) << " mm\n";
    for (const auto& [name, by] : moves_of(of, *check.best)) {
        out << "  " << padded(name, 20);
        for (const double d : by) out << at_right((d > 0 ? "+" : "") + print_fixed(d, 2), 9);
        out << "\n";
    }
}

void print_chain(const ChainResult& c, const BikeCase& from, std::ostream& out) {
    const auto mm_text = [](Length l) { return print_fixed(in_mm(l), 1) + " mm"; };
    out << c.run.sprockets.front << "/" << c.run.sprockets.rear << ", " << c.run.links << " links, chain "
        << mm_text(c.run.length) << "\n"
        << "slack hanging " << mm_text(c.setting.hanging.slack) << ", at the tight spot "
        << mm_text(c.setting.tight.slack) << " (droop " << print_fixed(in_degrees(c.setting.tight.droop), 1)
        << " deg)\n";
    if (c.setting.tight.excess.value < 0)
        out << "TOO SHORT: at the tight spot " << mm_text(-c.setting.tight.excess)
            << " of chain are missing\n";
    if (from.wanted_slack.value > 0.0) {
        out << "for " << mm_text(from.wanted_slack) << " at the tight spot: set "
            << mm_text(c.setting.slack_to_set) << " hanging, axle " << mm_text(abs(c.setting.axle))
            << (c.setting.axle.value < 0 ? " forward" : " back") << "\n";
        if (c.axle)
            out << "axle position " << mm_text(*c.axle)
                << (c.fits ? "" : ": OUTSIDE THE SLOT, change the links") << "\n";
    }
    if (!c.gears.empty())
        out << "\n"
            << at_right("gear", 10) << at_right("ratio", 9)
            << at_right("km/h at " + print_fixed(c.rpm, 0), 16) << at_right("then rpm", 11) << "\n";
    for (std::size_t i = 0; i < c.gears.size(); ++i)
        out << at_right(std::to_string(i + 1), 10) << at_right(print_fixed(c.gears[i].ratio, 3), 9)
            << at_right(print_fixed(c.gears[i].kmh, 1), 16)
            << at_right(c.gears[i].rpm_after ? print_fixed(*c.gears[i].rpm_after, 0) : "", 11) << "\n";
    out << "\n"
        << at_right("wheel mm", 10) << at_right("droop", 9) << at_right("slack mm", 11)
        << at_right("anti-squat %", 14) << "\n";
    for (const TravelRow& r : c.rows)
        if (r.chain)
            out << at_right(print_fixed(in_mm(r.wheel_travel), 1), 10)
                << at_right(print_fixed(in_degrees(r.droop), 1), 9)
                << at_right(print_fixed(in_mm(r.chain->slack), 1), 11)
                << at_right(r.squat ? print_fixed(r.squat->anti_squat_percent, 0) : "-", 14) << "\n";
}

const char* unit_of(TargetKind kind) {
    switch (kind) {
        case TargetKind::rake:
        case TargetKind::arm_to_ground:
            return "deg";
        case TargetKind::wheel_rate:
            return "N/mm";
        case TargetKind::anti_squat:
            return "%";
        case TargetKind::final_drive:
            return "";
        default:
            return "mm";
    }
}
// A ratio to three decimals: this distinguishes different ratios of teeth.
int decimals_of(TargetKind kind, int usual) {
    return kind == TargetKind::final_drive ? 3 : usual;
}
std::string name_of(const Target& t) {
    const bool stateless = is_slack(t.what) || t.what == TargetKind::final_drive;
    return plain_key(key(t.what)) + (stateless ? "" : ", " + plain_key(key(t.state)));
}

// What must be read before any number.
void print_trouble(const BikeCase& c, const WholeAnswer& a, std::ostream& out) {
    for (const auto& [margin, name] : {std::pair{a.shock_margin, "shock"}, {a.fork_margin, "fork"}})
        if (margin && margin->value < -0.05)
            out << "DO NOT FIT IT SO: the " << name << " spring's coils touch "
                << print_fixed(-in_mm(*margin), 1) << " mm before full travel.\n";
    if (a.chain_short)
        out << "DO NOT FIT IT SO: the chain is too short, " << print_fixed(in_mm(*a.chain_short), 1)
            << " mm are missing at its tight spot.\n";
    std::string musts, others;
    for (std::size_t j = 0; j < c.targets.size(); ++j) {
        const Target& t = c.targets[j];
        if (a.targets[j].held || t.weight <= 0.0) continue;
        const double off = a.targets[j].detent - t.value;
        std::string& list = t.must_hold || is_slack(t.what) ? musts : others;
        list += (list.empty() ? "" : ", ") + name_of(t) + " " + (off > 0 ? "+" : "") +
                print_fixed(off, decimals_of(t.what, 1)) + " " + unit_of(t.what);
    }
    if (!musts.empty()) out << "IT CANNOT STAND AS IT MUST: " << musts << ".\n";
    if (musts.empty()) out << "What must hold is held.\n";
    if (!others.empty()) out << "Not held among the rest: " << others << ".\n";
    for (const auto& [rider, words] : {std::pair{Rider::off, "alone"}, {Rider::on, "with the rider"}})
        if (const auto was = standing(c.before, rider))
            if (was->rear_topped_out || was->fork_topped_out)
                out << "As it was, " << words << ", the " << (was->rear_topped_out ? "rear" : "fork")
                    << " stood on its top-out stop: is every number right?\n";
    out << "\n";
}

// The direction to turn a thread: a collar or cap turned in shortens its spring.
const char* plan_of(Adjustable what, double moved) {
    const bool collar = what == Adjustable::shock_installed || what == Adjustable::fork_installed;
    if (collar) return moved < 0 ? " in" : " out";
    return moved > 0 ? " longer" : " shorter";
}

void print_adjusters(const BikeCase& c, const WholeAnswer& a, std::ostream& out) {
    out << "Set, with the bike secured on its stands\n";
    for (std::size_t i = 0; i < c.adjusters.size(); ++i) {
        const WholeAdjuster& adjuster = c.adjusters[i];
        const bool counted = is_counted(adjuster.what);
        const double moved = a.detent[i] - adjuster.now;
        const int digits = counted ? 0 : 2;
        out << "  " << padded(plain_key(key(adjuster.what)), 20)
            << at_right(print_fixed(adjuster.now, digits), 10) << "  -> "
            << at_right(print_fixed(a.detent[i], digits), 9) << (counted ? "   " : " mm");
        const double turns = adjuster.per_turn > 0 ? std::fabs(moved) / adjuster.per_turn : 0.0;
        if (std::fabs(moved) < 0.005)
            out << "   leave it";
        else if (turns > 0)
            out << "   " << print_quarters(turns) << (turns < 1.1 ? " turn" : " turns")
                << plan_of(adjuster.what, moved);
        out << "\n";
    }
}

std::string in_the_way(const BikeCase& c, const WholeAnswer& a, std::size_t i) {
    const bool high = a.setting[i] >= a.ends[i].high - 1e-6;
    const EndWhy why = high ? a.ends[i].high_why : a.ends[i].low_why;
    return "  (" + plain_key(key(c.adjusters[i].what)) +
           (why == EndWhy::no_preload    ? " would be without preload"
            : why == EndWhy::coils_touch ? " would let the coils touch"
                                         : " is at its end") +
           ")";
}

void print_whole(const BikeCase& c, const WholeAnswer& a, std::ostream& out) {
    print_trouble(c, a, out);
    print_adjusters(c, a, out);
    out << "\n"
        << padded("", 26) << at_right("should be", 11) << at_right("found", 11) << at_right("will be", 11)
        << "\n";
    for (std::size_t j = 0; j < c.targets.size(); ++j) {
        const Target& t = c.targets[j];
        const TargetAnswer& answer = a.targets[j];
        const int decimals = decimals_of(t.what, 2);
        out << "  " << padded(name_of(t), 24) << at_right(print_fixed(t.value, decimals), 11)
            << at_right(print_fixed(answer.found, decimals), 11)
            << at_right(print_fixed(answer.detent, decimals), 11) << " " << padded(unit_of(t.what), 5)
            << (t.must_hold || is_slack(t.what) ? "must  " : "      ") << (answer.held ? "" : "NOT HELD");
        for (const std::size_t i : answer.in_the_way) out << in_the_way(c, a, i);
        out << "\n";
    }
    out << "\nSprings are under load; axle and chain adjusters to the maker's manual, re-checked after the "
           "first run.\n"
           "Arithmetic on the numbers given, not approval to ride.\n";
}

}  // namespace

int linkage_of(const Request& request, std::ostream& out, std::ostream& err) {
    const auto c = case_of(request);
    if (!c) return complain(err, c.error());
    const auto rows = travel_table(c->bike);
    if (!rows) return no_answer(request, *c, rows.error(), out, err);
    std::optional<Result<TableCheck>> table;
    if (const auto& m = c->measured) {
        const auto check = checked(m->linkage, m->arm, m->table);
        if (check)
            table = TableCheck{*m, *check};
        else if (c->of_ledger)
            table = of_pairs(check.error());
        else
            return no_answer(request, *c, of_table(check.error()), out, err);
    }
    if (request.csv)
        out << travel_csv(*rows);
    else if (request.text)
        print_travel(*rows, out);
    else
        out << travel_json(*rows, table);
    if (request.text && table && *table) print_check(**table, out);
    if (request.text && table && !*table) out << "\nAgainst the table: " << sentence(table->error()) << "\n";
    return exit_done;
}

int chain_of(const Request& request, std::ostream& out, std::ostream& err) {
    const auto c = case_of(request);
    if (!c) return complain(err, c.error());
    const auto chain = chain_result(*c);
    if (!chain) return no_answer(request, *c, chain.error(), out, err);
    if (request.text)
        print_chain(*chain, *c, out);
    else
        out << (request.csv ? chain_csv(chain->rows) : chain_json(*chain));
    // A chain that does not close as it is, and cannot be made to by moving the axle, is invalid.
    const bool goes_round = chain->setting.tight.excess.value >= 0.0 || (chain->wanted && chain->fits);
    return chain->fits && goes_round ? exit_done : exit_not_held;
}

int solve_whole(const Request& request, std::string_view text, std::ostream& out, std::ostream& err) {
    if (no_table(request, err)) return exit_bad_input;
    auto c = read_bike_case(text, Aims::as_typed);
    if (!c) return complain(err, in_case(request.operands.front(), c.error()));
    if (const auto measured = measure_aims(*c); !measured)
        return no_answer(request, *c, measured.error(), out, err);
    const auto answer = restore(WholeCase{c->bike, c->targets, c->adjusters});
    if (!answer) return no_answer(request, *c, answer.error(), out, err);
    if (request.text) {
        if (!c->note.empty()) out << plain_line(c->note) << "\n\n";
        print_whole(*c, *answer, out);
    } else {
        out << whole_json(*c, *answer);
    }
    return answer->held ? exit_done : exit_not_held;
}

}  // namespace restand
