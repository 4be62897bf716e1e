#include "app/swap/choose_view.h"

#include <algorithm>

#include "app/season/baselines_view.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"

namespace restand {

namespace {
std::string beginning(const std::vector<SwapPart>& parts) {
    return parts.empty() ? "Begin" : "Begin: " + wording::parts(parts);
}

// What a part brings with it, or what is lacking for it.
std::string part_detail(const Bike& bike, SwapPart part) {
    switch (part) {
        case SwapPart::shock:
            return "with its spring";
        case SwapPart::fork:
            return "with its springs and its oil";
        case SwapPart::link_rod:
            if (!bike.body.geometry.swingarm) return "needs the swingarm's length: see the bike's numbers";
            return bike.body.mechanism.linkage && bike.body.mechanism.linkage->rocker
                       ? ""
                       : "needs the linkage's points: see the bike's numbers";
        case SwapPart::load:
            return "or ballast; preload makes up for it";
        case SwapPart::sprockets:
        case SwapPart::chain:
            return bike.body.mechanism.front_sprocket
                       ? ""
                       : "needs the front sprocket's place: see the bike's numbers";
        default:
            return "";
    }
}
}  // namespace

PageView choose_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · swap");
    draw_setup(*bike, setup_now(state.ledger, bike->id), page);
    const auto& chosen = state.chosen_parts;
    auto& rows = page.panel.rows;
    page.panel.title = "What is swapped?";
    for (int i = 0; i < swap_part_count; ++i) {
        const auto part = static_cast<SwapPart>(i);
        if (part == SwapPart::load)
            rows.push_back(row::Heading{"What it carries"});
        else if (i == 0 || end_of(part) != end_of(static_cast<SwapPart>(i - 1)))
            rows.push_back(row::Heading{wording::heading(end_of(part))});
        std::vector<SwapPart> with = chosen;
        with.push_back(part);
        const bool is = std::find(chosen.begin(), chosen.end(), part) != chosen.end();
        // What comes with a part already chosen is not chosen again.
        const bool comes = !is && tidy(with) == chosen;
        const std::string detail = comes ? "comes with it" : part_detail(*bike, part);
        const bool lacks = detail.starts_with("needs");
        // What the bike lacks for it is typed where its numbers are.
        const Action tap = lacks ? Action(act::EditBike{bike->id}) : Action(act::TogglePart{part});
        rows.push_back(row::Button{"part:" + std::string(key(part)), wording::part(part), detail, tap, !comes,
                                   is || comes});
    }
    page.primary = chosen.empty() ? no_way(beginning(chosen), "choose at least one part")
                                  : Primary{beginning(chosen), act::StartSwap{bike->id, chosen}, ""};
    return page;
}

}  // namespace restand
