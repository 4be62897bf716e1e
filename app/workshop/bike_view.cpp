// One bike: its state by the newest baseline, and the actions on it.

#include <fmt/format.h>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"

namespace restand {

namespace {
// A new chain settles on its first run. Until its slack is read outside the swap that fitted it, it is due.
void new_chain_row(const AppState& state, const Bike& bike, std::vector<Row>& rows) {
    const SetUp setup = setup_now(state, bike.id);
    const StoredReading* slack = setup.stored(End::rear, Point::chain_slack);
    const Swap* swap = slack ? state.ledger.swap(slack->swap) : nullptr;
    if (!swap || !swap->kept || !swap->has(SwapPart::chain)) return;
    rows.push_back(row::Button{"new-chain", "New chain: read its slack after the first run",
                               "fitted " + wording::day(swap->started.ms, state.utc_offset_min),
                               act::StartChange{bike.id}});
}
}  // namespace

PageView bike_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name);
    const Baseline* last = state.ledger.newest_baseline(bike->id);
    if (last) {
        draw_baseline(state, *bike, *last, page);
    } else {
        page.drawing = drawing_of(picture(picture_of(bike->body, End::rear, Scene::whole, {})));
        page.drawing.caption = "schematic: nothing measured yet";
    }
    auto& rows = page.panel.rows;
    page.panel.title = bike->body.name;
    if (!bike->body.note.empty()) rows.push_back(row::Note{bike->body.note});
    if (bike->body.archived) {
        rows.push_back(row::Note{"Archived. Nothing is lost."});
        page.primary = {"Bring it back", act::ArchiveBike{bike->id, false}, ""};
        rows.push_back(row::Button{"baselines", "Baselines", "", act::Go{Screen::baselines, bike->id}});
        return page;
    }
    if (!bike->rivals.empty())
        rows.push_back(row::Note{
            "Two devices described this bike differently. Edit it and save to settle it.", Ink::stop, true});
    if (last)
        if (const auto rivals = rivals_of(state.ledger, *last); rivals.size() > 1) {
            rows.push_back(
                row::Note{"Two devices each kept a baseline on the same one. Look at both; one stands.",
                          Ink::stop, true});
            rows.push_back(row::Button{"rivals", "See both side by side", "",
                                       act::OpenBoth{rivals[0]->id, rivals[1]->id}});
            for (const Baseline* rival : rivals)
                rows.push_back(
                    row::Button{"keep:" + to_text(rival->id), "Let this one stand: " + rival->body.reason,
                                who_and_when(state, rival->by, rival->clock.ms), act::KeepThis{rival->id}});
        }
    new_chain_row(state, *bike, rows);
    const Swap* open = state.ledger.open_swap(bike->id);
    if (open) {
        page.primary = {fmt::format("Resume: {}, {}", wording::parts(open->parts), wording::step(open->step)),
                        act::ResumeSwap{open->id}, ""};
        rows.push_back(row::Note{fmt::format("A swap is open since {1}: {0}.", wording::parts(open->parts),
                                             wording::day(open->started.ms, state.utc_offset_min))});
        rows.push_back(
            row::Note{"Another swap can begin when this one is kept or set aside.", Ink::ink, false, true});
    } else {
        rows.push_back(row::Heading{"Swap"});
        for (const SwapPart part : {SwapPart::shock_spring, SwapPart::fork_springs, SwapPart::fork})
            rows.push_back(row::Button{fmt::format("swap:{}", key(part)), "The " + wording::part(part), "",
                                       act::StartSwap{bike->id, {part}}});
        rows.push_back(row::Button{"swap:several", "Another part, or several",
                                   "linkage, sprockets, chain, tyres, oil, tank",
                                   act::ChooseParts{bike->id}});
        rows.push_back(row::Button{"springs", "Which spring?", "for the sag that is wanted, from the shelf",
                                   act::ShowSprings{bike->id, End::rear}});
        page.primary = {"Swap the shock", act::StartSwap{bike->id, {SwapPart::shock}}, ""};
    }
    rows.push_back(row::Heading{"The season"});
    if (state.ledger.open_plan(bike->id))
        rows.push_back(
            row::Button{"way", "Go on with the way back", "", act::ShowPlan{bike->id, {}}, true, true});
    rows.push_back(row::Button{"change", "Change a setting", "clicks, preload, pressures, gearing",
                               act::StartChange{bike->id}});
    rows.push_back(row::Button{"attitude", "Attitude", "rake, trail, heights; try a setting",
                               act::ShowAttitude{bike->id}});
    rows.push_back(
        row::Button{"chain", "Chain and gearing", "slack, sprockets, axle", act::ShowChain{bike->id}});
    rows.push_back(row::Button{"history", "The season", "what was on it, and the way back",
                               act::Go{Screen::history, bike->id}});
    rows.push_back(row::Button{"session", "Write down a session", "", act::StartEvent{bike->id}});
    rows.push_back(row::Button{"trend", "Over the season", "what wears, what settles",
                               act::Go{Screen::trend, bike->id}});
    rows.push_back(row::Button{"parts", "Service", "hours and kilometres", act::Go{Screen::parts, bike->id}});
    rows.push_back(row::Heading{"The bike"});
    rows.push_back(
        row::Button{"baselines", "Baselines",
                    last ? "last " + wording::day(last->clock.ms, state.utc_offset_min) : "none yet",
                    act::Go{Screen::baselines, bike->id}});
    rows.push_back(
        row::Button{"edit", "Its numbers", "leverage, geometry, linkage", act::EditBike{bike->id}});
    rows.push_back(row::Button{"hand_over", "Hand it over as a file", "its numbers, for another workshop",
                               act::HandOver{bike->id}, !state.work});
    if (open)
        rows.push_back(
            row::Button{"abandon", "Set this swap aside", "readings are kept", act::AbandonSwap{open->id}});
    rows.push_back(
        row::Button{"archive", "Archive", "can be brought back", act::ArchiveBike{bike->id, true}});
    return page;
}

}  // namespace restand
