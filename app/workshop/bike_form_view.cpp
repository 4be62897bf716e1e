#include "app/workshop/bike_form_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/season/baselines_view.h"
#include "app/views/view_parts.h"
#include "app/views/ways_drawing.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"
#include "app/workshop/bikes_view.h"

namespace restand {

namespace {
std::string value_text(const AppState& state, const BikeBody& body, BikeField field) {
    if (field == BikeField::name) return body.name;
    if (field == BikeField::note) return body.note;
    if (field == BikeField::rear_leverage && body.rear.pairs.size() >= 2) return "table";
    const auto v = number(body, field);
    if (!v) return "";
    const Unit unit = chosen(state.ledger.units(), facts(field).dimension);
    return unit == Unit::one && facts(field).dimension == Dimension::count
               ? wording::value(*v, unit)
               : print_fixed(from_canonical(*v, unit), decimals(field, unit));
}

Field form_field(BikeField field) {
    return {.of = Field::Of::bike, .bike = field};
}

Row field_row(const AppState& state, const BikeBody& body, const BikeFieldFacts& f) {
    const std::string value = value_text(state, body, f.field);
    const bool superseded = f.field == BikeField::rear_leverage && !body.rear.pairs.empty();
    row::ReadingRow row =
        form_row(state, form_field(f.field), std::string(f.label), value, !f.needed || superseded);
    // What every bike begins with, such as the tolerance, is neither asked for nor done.
    const bool assumed = !value.empty() && number(body, f.field) == number(BikeBody{}, f.field);
    row.mark = value.empty()                               ? row::Mark::todo
               : assumed && f.dimension != Dimension::text ? row::Mark::none
                                                           : row::Mark::done;
    if (f.dimension != Dimension::text && !value.empty())
        row.unit = symbol(chosen(state.ledger.units(), f.dimension));
    return row;
}

void rows_of(const AppState& state, BikeGroup group, PageView& page) {
    for (const BikeFieldFacts& f : bike_fields())
        if (f.group == group && belongs(state.form->body, f.field))
            page.panel.rows.push_back(field_row(state, state.form->body, f));
}

std::string amount(const AppState& state, Length length) {
    return wording::length(length, state.ledger.units());
}

// The strut length at which points and table differ most.
Length worst_strut(const BikeBody& body, const LinkageFit& fit) {
    const auto at = std::max_element(fit.misses.begin(), fit.misses.end(),
                                     [](Length a, Length b) { return abs(a) < abs(b); });
    return body.rear.pairs[static_cast<std::size_t>(at - fit.misses.begin())].first;
}

void best_button(const AppState& state, const LinkageCheck& check, PageView& page) {
    // A difference that a tape cannot show does not justify new points.
    constexpr Length worth = mm(0.1);
    if (best_taken(*state.form))
        page.panel.rows.push_back(row::Button{"points:typed", "Back to the points as typed",
                                              "nothing is saved yet", act::TypedPoints{}});
    else if (check.agreement != Agreement::contradict && check.best &&
             check.fit.rms - check.best->fit.rms >= worth)
        page.panel.rows.push_back(row::Button{
            "points:best", "Take the points that fit best",
            fmt::format("then at most {} apart; the farthest point moves {}",
                        amount(state, check.best->fit.worst), amount(state, check.best->farthest)),
            act::TakeBestPoints{}});
}

// With both points and table: how well they agree, and what to do if they do not.
void agreement_rows(const AppState& state, PageView& page) {
    const BikeBody& body = state.form->body;
    auto& rows = page.panel.rows;
    if (body.rear.pairs.empty()) return;
    rows.push_back(row::Heading{"Points against the strut table"});
    const auto check = points_check(body);
    if (!check && check.error().subject == "swingarm")
        return rows.push_back(row::Note{"With the swingarm's length they are checked against each other."});
    if (!check && check.error().code == ErrorCode::missing)
        return rows.push_back(
            row::Note{"With three strut lengths or more they are checked against each other."});
    if (!check)
        return rows.push_back(
            row::Note{"A strut of the table is longer or shorter than these points allow. Measure that "
                      "strut again, then the points.",
                      Ink::stop});
    const std::string apart =
        fmt::format("Ride height by the points and by the struts: at most {} apart, {} as a rule",
                    amount(state, check->fit.worst), amount(state, check->fit.rms));
    const std::string where = amount(state, worst_strut(body, check->fit));
    if (check->agreement == Agreement::agrees)
        rows.push_back(row::Note{apart + ". They agree as well as a tape can tell."});
    if (check->agreement == Agreement::points)
        rows.push_back(row::Note{apart + "; most with the strut of " + where + ".", Ink::now});
    if (check->agreement == Agreement::contradict)
        rows.push_back(
            row::Note{apart + ". Measure again: first the strut of " + where +
                          ", then the points. Points a little beside those typed do not meet this table.",
                      Ink::stop});
    best_button(state, *check, page);
}

// Sprocket, slot and linkage. Attitude, chain and an exact leverage need them.
void mechanism_rows(const AppState& state, PageView& page) {
    const BikeBody& body = state.form->body;
    auto& rows = page.panel.rows;
    const auto& linkage = body.mechanism.linkage;
    const std::size_t kind = !linkage                                      ? 0
                             : !linkage->rocker                            ? 1
                             : linkage->rocker->pivot.on == Carrier::frame ? 2
                                                                           : 3;
    rows.push_back(row::Heading{"Chain run and linkage"});
    rows_of(state, BikeGroup::chain, page);
    rows.push_back(
        row::Choice{"linkage",
                    "shock",
                    {"not said", "direct", "rocker, frame", "rocker, arm"},
                    {act::LinkageKind{0}, act::LinkageKind{1}, act::LinkageKind{2}, act::LinkageKind{3}},
                    kind});
    if (!linkage) return;
    rows_of(state, BikeGroup::linkage, page);
    if (linkage->rocker)
        rows.push_back(row::Button{"side", "Turn the rocker over",
                                   "where the drawing shows it folded the wrong way", act::LinkageSide{}});
    if (const auto closes = LinkageMap::of(*linkage))
        rows.push_back(row::Note{fmt::format("It closes, with a shock of {} to {} mm.",
                                             wording::value(closes->shortest().length.value, Unit::mm),
                                             wording::value(closes->longest().length.value, Unit::mm)),
                                 Ink::ink, false, true});
    else
        return rows.push_back(
            row::Note{"Not used yet: " + closes.error().detail + ".", Ink::now, false, true});
    agreement_rows(state, page);
}

// What the front heights and the slack mean; both are asked for in the swap, too.
void form_how_read_rows(const AppState& state, PageView& page) {
    const HowRead& how = state.form->body.how_read;
    const auto with = [&how](std::optional<FrontHeights> front, std::optional<Stand> stand) {
        HowRead said = how;
        if (front) said.front_heights = front;
        if (stand) said.slack_stand = stand;
        return Action(act::SayHowRead{{}, said});
    };
    auto& rows = page.panel.rows;
    rows.push_back(row::Heading{"How it is read"});
    if (!state.form->body.front.leverage)
        rows.push_back(row::Choice{"how:front",
                                   "front heights",
                                   {"along the fork", "upright"},
                                   {with(FrontHeights::along_fork, {}), with(FrontHeights::square, {})},
                                   !how.front_heights                               ? 2u
                                   : *how.front_heights == FrontHeights::along_fork ? 0u
                                                                                    : 1u,
                                   {way_drawing(Way::along_fork), way_drawing(Way::upright)}});
    rows.push_back(row::Choice{"how:slack",
                               "chain slack",
                               {"topped out", "stand under arm"},
                               {with({}, Stand::hanging), with({}, Stand::swingarm)},
                               !how.slack_stand ? 2u : static_cast<std::size_t>(*how.slack_stand),
                               {way_drawing(Way::frame_carried), way_drawing(Way::stand_under_arm)}});
}

// The table measured with a strut. It takes precedence over the single ratio.
void table_rows(const AppState& state, PageView& page) {
    const auto& pairs = state.form->body.rear.pairs;
    auto& rows = page.panel.rows;
    rows.push_back(row::Heading{"Leverage, measured with a strut"});
    if (pairs.empty())
        rows.push_back(
            row::Note{"A strut of known length in place of the shock, ride height read at each: five or "
                      "more over the travel. Better than one ratio."});
    if (pairs.size() == 1)
        rows.push_back(row::Note{"One more at least; the single ratio is used until then."});
    for (std::size_t i = 0; i < pairs.size(); ++i)
        rows.push_back(row::Button{fmt::format("pair:{}", i), pair_text(pairs[i], state.ledger.units()),
                                   "tap to take out", act::RemovePair{i}});
    rows.push_back(
        row::Button{"pair:add", "Add a strut length", "", act::OpenTag{form_field(BikeField::pair_length)}});
}

// True for fields on the drawing, which are measured on the bike. Names, tolerances and the table are in the
// list.
bool is_on_drawing(BikeField field) {
    switch (field) {
        case BikeField::rear_leverage:
        case BikeField::rake:
        case BikeField::swingarm:
        case BikeField::wheelbase:
        case BikeField::rear_wheel_radius:
        case BikeField::front_wheel_radius:
        case BikeField::offset:
        case BikeField::pivot_height:
            return true;
        default:
            return false;
    }
}

void tags(const AppState& state, const BikePicture& pic, Drawing& drawing) {
    for (const auto& [field, anchor] : pic.bike_anchors) {
        const BikeFieldFacts& f = facts(field);
        if (!is_on_drawing(field)) continue;
        Tag tag = tag_at("tag:bike:" + std::string(f.key), std::string(f.label), anchor);
        tag.value = value_text(state, state.form->body, field);
        tag.unit = tag.value.empty() ? "" : std::string(symbol(chosen(state.ledger.units(), f.dimension)));
        tag.open = state.pad && state.pad->field == form_field(field);
        tag.tap = act::OpenTag{form_field(field)};
        drawing.tags.push_back(std::move(tag));
    }
}
}  // namespace

PageView bike_form_view(const AppState& state) {
    if (!state.form) return bikes_view(state);
    const BikeBody& body = state.form->body;
    PageView page = blank_page(state, body.name.empty() ? "A new bike" : body.name + " · its numbers");
    // The drawing shows where the number in hand is measured; without one the list has the page.
    if (state.pad || body.name.empty()) {
        const auto known = numbers_of(setup_now(state.ledger, state.form->bike), End::rear);
        const BikePicture pic = picture(picture_of(body, End::rear, Scene::whole, known));
        page.drawing = drawing_of(pic);
        tags(state, pic, page.drawing);
        page.drawing.caption =
            pic.to_scale ? "to scale, from this bike's own numbers" : "schematic where not measured";
    }
    page.panel.title = "Its numbers";
    rows_of(state, BikeGroup::whole, page);
    form_how_read_rows(state, page);
    table_rows(state, page);
    mechanism_rows(state, page);
    page.panel.rows.push_back(row::Heading{"Gearbox, for road speeds"});
    rows_of(state, BikeGroup::gearbox, page);
    const auto& gears = body.gearbox.gears;
    if (gears_in_order(gears).size() < gears.size())
        page.panel.rows.push_back(
            row::Note{"Each gear's ratio is below the one before it. Of those behind the slip no "
                      "speed is said.",
                      Ink::stop, true});
    const bool closes =
        body.mechanism.linkage && body.geometry.swingarm && LinkageMap::of(*body.mechanism.linkage);
    const bool leverage = body.rear.leverage || body.rear.pairs.size() >= 2 || closes;
    if (state.pad) {
        page.primary = {"Keep it", act::PadNext{}, ""};
        if (state.pad->field.of == Field::Of::bike)
            page.drawing.guide = std::string(facts(state.pad->field.bike).guide);
    } else if (body.name.empty())
        page.primary = {"Name the bike", act::OpenTag{form_field(BikeField::name)}, ""};
    else if (!leverage)
        page.primary = {"Give its leverage ratio", act::OpenTag{form_field(BikeField::rear_leverage)}, ""};
    else
        page.primary = {"Save the bike", act::SaveBike{}, ""};
    if (!state.pad && !state.form->bike.nil()) {
        page.panel.rows.push_back(row::Heading{"The whole of it"});
        page.panel.rows.push_back(row::Button{"hand_over", "Hand it over as a file",
                                              "its numbers as saved, for another workshop",
                                              act::HandOver{state.form->bike}, !state.work});
        page.panel.rows.push_back(row::Button{"archive", "Archive", "can be brought back",
                                              act::ArchiveBike{state.form->bike, true}});
    }
    if (!state.pad && !body.name.empty() && !leverage)
        page.panel.rows.push_back(
            row::Button{"save", "Save without it", "front swaps only, until it is given", act::SaveBike{}});
    return page;
}

}  // namespace restand
