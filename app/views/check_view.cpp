// Check and keep: restored, not restored with the correction to make, or cannot tell; then the new baseline.

#include <fmt/format.h>

#include "app/views/view_parts.h"
#include "app/views/words.h"

namespace restand {

namespace {
std::string verdict_word(Verdict v) {
    std::string word = words::verdict(v);
    word[0] = static_cast<char>(word[0] - 'a' + 'A');
    return word;
}

Ink ink_of(Verdict v) {
    return v == Verdict::restored ? Ink::ink : v == Verdict::cannot_tell ? Ink::now : Ink::stop;
}

std::string len(const Desk& desk, Length v) {
    return words::value(v, desk.ledger.units());
}

void verdict_row(Verdict verdict, std::vector<Row>& rows) {
    std::string detail;
    if (verdict == Verdict::restored)
        detail = "Every height that was to be held is back, as far as these readings can tell.";
    if (verdict == Verdict::not_restored)
        detail = "A height differs by more than your readings' spread and your tolerance.";
    if (verdict == Verdict::cannot_tell)
        detail = "Your readings spread wider than your tolerance. Repeat the heights.";
    rows.push_back(row::Verdict{verdict_word(verdict), detail, ink_of(verdict)});
}

void height_rows(const Desk& desk, const CheckResult& result, Length tolerance, std::vector<Row>& rows) {
    const Unit unit = desk.ledger.units().length;
    rows.push_back(row::TableHead{"to be", "is"});
    for (const HeightCheck& h : result.heights)
        rows.push_back(row::TableLine{"ride height, " + words::state(h.state), len(desk, h.before),
                                      len(desk, h.after), h.held});
    for (const HeightCheck& h : result.heights)
        rows.push_back(row::Note{
            fmt::format("{}: {} ± {} {}, {}", words::state(h.state),
                        words::signed_value((h.after - h.before).value, unit), len(desk, h.expanded),
                        symbol(unit),
                        h.held ? fmt::format("to be within {}", len(desk, tolerance))
                               : fmt::format("predicted {}", len(desk, h.predicted))),
            Ink::ink, false, true});
}

void repeat_row(End end, std::vector<Row>& rows) {
    const Field rider{
        .of = Field::Of::reading, .phase = Phase::check, .point = Point::ride_height_rider, .end = end};
    rows.push_back(row::Button{end == End::rear ? "repeat" : "repeat:front", "Repeat the rider height",
                               "tap + on the pad: more repeats, less spread", act::OpenTag{rider}});
}

// Slack as it was to be, and as it is. Read to some millimetres, it gets no verdict.
void slack_rows(const Desk& desk, const SwapSite& site, std::vector<Row>& rows) {
    const auto chain = chain_answer_of(site);
    const Take* is = site.swap.take({Phase::check, End::rear, Point::chain_slack});
    if (!chain || !is) return;
    rows.push_back(row::TableHead{"to be", "is"});
    rows.push_back(row::TableLine{"chain slack, wheel hanging", len(desk, chain->will.hanging.slack),
                                  words::shown(is->reading)});
}
}  // namespace

void check_slip(const Desk& desk, const Bike& bike, const Swap& swap, SheetView& sheet) {
    if (desk.pad || !missing(swap, Phase::check).empty()) return;
    const SwapSite site = site_of(desk.ledger, bike, swap);
    const auto checks = checks_of(site);
    const auto verdict = worst_of(checks);
    // The verdict is what they came for: above the readings.
    std::vector<Row> readings;
    readings.swap(sheet.slip.rows);
    auto& rows = sheet.slip.rows;
    if (verdict) verdict_row(*verdict, rows);
    // As long as one end cannot be judged, none is.
    if (verdict)
        for (const auto& [end, result] : checks) {
            if (checks.size() > 1)
                rows.push_back(row::Heading{words::heading(end) + ": " + words::verdict(result->verdict)});
            if (result->verdict == Verdict::not_restored) correction_rows(desk, site, end, sheet);
            height_rows(desk, *result, bike.body.setup(end).tolerance, rows);
            if (result->verdict == Verdict::cannot_tell) repeat_row(end, rows);
        }
    slack_rows(desk, site, rows);
    if (verdict == Verdict::not_restored) {
        sheet.primary = {"Set the correction", act::GoToStep{Step6::set}, ""};
        rows.push_back(row::Button{"keep-anyway", "Keep it as it stands", "the baseline says so",
                                   act::GoToStep{Step6::keep}});
    }
    rows.insert(rows.end(), readings.begin(), readings.end());
}

void keep_slip(const Desk& desk, const Bike& bike, const Swap& swap, SheetView& sheet) {
    auto& rows = sheet.slip.rows;
    const End end = ends_of(swap).front();
    const SwapSite site = site_of(desk.ledger, bike, swap);
    const auto known = known_values(desk, swap.bike, end, &swap);
    const BikePicture pic = picture(picture_of(bike.body, end, Scene::whole, known));
    sheet.drawing = drawing_of(pic);
    sheet.drawing.caption = bike.body.name;
    for (const auto& [phase, point] : {std::pair{Phase::check, Point::ride_height_rider},
                                       {Phase::set, Point::eye_to_eye},
                                       {Phase::set, Point::fork_position},
                                       {Phase::set, Point::spring_installed_length}})
        if (const Take* take = swap.take({phase, end, point}))
            if (const auto anchor = pic.anchors.find(point); anchor != pic.anchors.end())
                put_value(sheet.drawing.tags.emplace_back(tag_at("tag:kept:" + std::string(facts(point).key),
                                                                 words::label(point), anchor->second)),
                          take->reading);
    const auto checks = checks_of(site);
    const auto verdict = worst_of(checks);
    if (verdict) verdict_row(*verdict, rows);
    for (const EndCheck& check : checks)
        if (!check.result)
            rows.push_back(row::Verdict{"Not checked",
                                        "The heights were not measured again at the " +
                                            words::end(check.end) + ": this baseline will have none there.",
                                        Ink::stop});
    if (verdict)
        for (const EndCheck& check : checks) {
            if (checks.size() > 1) rows.push_back(row::Heading{words::heading(check.end)});
            height_rows(desk, *check.result, bike.body.setup(check.end).tolerance, rows);
        }
    slack_rows(desk, site, rows);
    rows.push_back(row::Heading{"Why"});
    rows.push_back(row::Button{"reason", desk.reason.empty() ? words::usual_reason(swap.parts) : desk.reason,
                               "tap to write it", act::OpenTag{{.of = Field::Of::reason}}});
    rows.push_back(row::Note{"Everything a swap does not touch is carried over from the last baseline.",
                             Ink::ink, false, true});
    if (desk.pad)
        sheet.primary = {"Keep it", act::PadNext{}, ""};
    else if (!desk.pending.empty())
        sheet.primary = no_way("Keep as baseline", "saving");
    else
        sheet.primary = {"Keep as baseline", act::Keep{}, ""};
}

}  // namespace restand
