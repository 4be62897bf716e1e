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

void verdict_row(const CheckResult& result, std::vector<Row>& rows) {
    std::string detail;
    if (result.verdict == Verdict::restored)
        detail = "Every height that was to be held is back, as far as these readings can tell.";
    if (result.verdict == Verdict::not_restored)
        detail = "A height differs by more than your readings' spread and your tolerance.";
    if (result.verdict == Verdict::cannot_tell)
        detail = "Your readings spread wider than your tolerance. Repeat the heights.";
    rows.push_back(row::Verdict{verdict_word(result.verdict), detail, ink_of(result.verdict)});
}

void height_rows(const Desk& desk, const CheckResult& result, std::vector<Row>& rows) {
    const Unit unit = desk.ledger.units().length;
    rows.push_back(row::TableHead{"before", "after"});
    for (const HeightCheck& h : result.heights)
        rows.push_back(row::TableLine{"ride height, " + words::state(h.state), len(desk, h.before),
                                      len(desk, h.after), h.held});
    for (const HeightCheck& h : result.heights)
        rows.push_back(row::Note{
            fmt::format("{}: {} ± {} {}{}", words::state(h.state),
                        words::signed_value((h.after - h.before).value, unit), len(desk, h.expanded),
                        symbol(unit), h.held ? "" : fmt::format(", predicted {}", len(desk, h.predicted))),
            Ink::ink, false, true});
}

}  // namespace

void check_slip(const Desk& desk, const Bike& bike, const Swap& swap, SheetView& sheet) {
    if (desk.pad || !missing(swap, Phase::check).empty()) return;
    const auto result = check_of(bike, swap);
    if (!result) return;
    // The verdict is what they came for: above the readings.
    std::vector<Row> readings;
    readings.swap(sheet.slip.rows);
    auto& rows = sheet.slip.rows;
    verdict_row(*result, rows);
    if (result->verdict == Verdict::not_restored) correction_slip(desk, bike, swap, sheet);
    height_rows(desk, *result, rows);
    if (result->verdict == Verdict::not_restored) {
        sheet.primary = {"Set the correction", act::GoToStep{Step6::set}, ""};
        rows.push_back(row::Button{"keep-anyway", "Keep it as it stands", "the baseline says so",
                                   act::GoToStep{Step6::keep}});
    } else if (result->verdict == Verdict::cannot_tell) {
        const Field rider{.of = Field::Of::reading, .phase = Phase::check, .point = Point::ride_height_rider};
        rows.push_back(row::Button{"repeat", "Repeat the rider height",
                                   "tap + on the pad: more repeats, less spread", act::OpenTag{rider}});
    }
    rows.insert(rows.end(), readings.begin(), readings.end());
}

void keep_slip(const Desk& desk, const Bike& bike, const Swap& swap, SheetView& sheet) {
    auto& rows = sheet.slip.rows;
    const auto known = known_values(desk, swap.bike, end_of(swap.kind), &swap);
    const BikePicture pic = picture(picture_of(bike.body, end_of(swap.kind), Scene::whole, known));
    sheet.drawing = drawing_of(pic);
    sheet.drawing.caption = bike.body.name;
    for (const auto& [phase, point] : {std::pair{Phase::check, Point::ride_height_rider},
                                       {Phase::set, Point::eye_to_eye},
                                       {Phase::set, Point::fork_position},
                                       {Phase::set, Point::spring_installed_length}})
        if (const Take* take = swap.take(phase, point))
            if (const auto anchor = pic.anchors.find(point); anchor != pic.anchors.end())
                put_value(sheet.drawing.tags.emplace_back(tag_at("tag:kept:" + std::string(facts(point).key),
                                                                 words::label(point), anchor->second)),
                          take->reading);
    if (const auto result = check_of(bike, swap); result && !result->heights.empty())
        verdict_row(*result, rows), height_rows(desk, *result, rows);
    else
        rows.push_back(row::Verdict{
            "Not checked", "The heights were not measured again: this baseline will have none.", Ink::stop});
    rows.push_back(row::Heading{"Why"});
    rows.push_back(row::Button{"reason", desk.reason.empty() ? words::usual_reason(swap.kind) : desk.reason,
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
