#include "platform/desktop/scenes.h"

namespace restand::scenes {

std::vector<Scene> workshop_scenes() {
    const auto go = [](Screen screen) {
        return [screen](Session& b) { act(b, act::Go{screen, bike_named(b, "No. 27")->id}); };
    };
    return {
        {"bikes",
         [](Session& b) {
             work_as_first(b);
             act(b, act::Go{Screen::bikes, {}});
         }},
        {"bike", go(Screen::bike)},
        {"bike-numbers", [](Session& b) { act(b, act::EditBike{bike_named(b, "No. 27")->id}); }},
        {"bike-number-pad",
         [](Session& b) { act(b, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::swingarm}}); }},
        {"baselines",
         [](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::baselines, bike_named(b, "No. 27")->id});
         }},
        {"baseline",
         [](Session& b) {
             act(b, act::Go{Screen::baseline,
                            b.app().state().ledger.newest_baseline(bike_named(b, "No. 27")->id)->id});
         }},
        {"people", go(Screen::people)},
        {"people-letters",
         [](Session& b) {
             act(b, act::OpenTag{{.of = Field::Of::person}});
             act(b, act::PadText{"Mi"});
         }},
        {"settings",
         [](Session& b) {
             act(b, act::PadErase{});
             act(b, act::PadErase{});
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::settings, {}});
         }},
    };
}

namespace {
// The oldest baseline on the screen's time line.
Id old_baseline(Session& session) {
    Id found;
    for (const Entry& e : session.app().state().season.moments)
        if (e.kind == "baseline") found = e.id;
    return found;
}
}  // namespace

std::vector<Scene> season_scenes() {
    const auto id = [](Session& b) { return bike_named(b, "No. 27")->id; };
    return {
        {"season",
         [=](Session& b) {
             act(b, act::Go{Screen::history, id(b)});
         }},
        {"season-find",
         [](Session& b) {
             act(b, act::OpenTag{{.of = Field::Of::find}});
             act(b, act::PadText{"port"});
         }},
        {"season-moment",
         [=](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::history, id(b)});
             act(b, act::OpenMoment{old_baseline(b)});
         }},
        {"season-compare",
         [](Session& b) {
             act(b, act::OpenBoth{b.app().state().season.moment->id, {}});
         }},
        {"season-way",
         [=](Session& b) {
             act(b, act::ShowPlan{id(b), b.app().state().season.one->id});
         }},
        {"season-way-begun",
         [](Session& b) {
             act(b, act::BeginPlan{});
             for (int i = 0; i < 2; ++i)
                 if (const auto shown = plan_shown(b.app().state()); shown && !shown->plan.actions.empty())
                     act(b, act::CompleteStep{shown->plan.actions.front().key});
         }},
        {"season-change",
         [=](Session& b) {
             act(b, act::EndPlan{false});
             act(b, act::StartChange{id(b)});
             act(b, act::Nudge{End::rear, Point::clicks_rebound_low, 1});
         }},
        {"season-session",
         [=](Session& b) {
             act(b, act::StartEvent{id(b)});
             act(b, act::OpenTag{{.of = Field::Of::event, .event = EventField::circuit}});
             act(b, act::PadText{"Kesselau"});
         }},
        {"season-sag",
         [=](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::Back{});
             act(b, act::ShowTrend{id(b), Watched::rider_sag, End::rear, Point::spring_free_length});
         }},
        {"season-chain",
         [=](Session& b) {
             act(b, act::ShowTrend{id(b), Watched::chain_elongation, End::rear, Point::chain_gauge_length});
         }},
    };
}

std::vector<Scene> chassis_scenes() {
    const auto id = [](Session& b) { return bike_named(b, "No. 27")->id; };
    return {
        {"attitude", [=](Session& b) { act(b, act::ShowAttitude{id(b)}); }},
        {"attitude-tried",
         [](Session& b) {
             for (int i = 0; i < 3; ++i) act(b, act::Try{End::front, Point::fork_position, 1});
             act(b, act::Try{End::rear, Point::eye_to_eye, 4});
         }},
        {"attitude-travel",
         [](Session& b) {
             act(b, act::TryNothing{});
             act(b, act::ShowAttitude{bike_named(b, "No. 8")->id});
             act(b, act::Try{End::rear, Point::eye_to_eye, 4});
             act(b, act::OverTravel{TravelPlot::wheel_rate});
         }},
        {"attitude-slack", [](Session& b) { act(b, act::OverTravel{TravelPlot::slack}); }},
        {"attitude-slack-taut",
         [=](Session& b) {
             act(b, act::ShowAttitude{id(b)});
             act(b, act::Try{End::rear, Point::sprocket_rear, 3});
         }},
        {"chain",
         [=](Session& b) {
             act(b, act::OverTravel{TravelPlot::none});
             act(b, act::TryNothing{});
             act(b, act::ShowChain{id(b)});
         }},
        {"chain-tried",
         [](Session& b) {
             act(b, act::Try{End::rear, Point::sprocket_rear, 2});
         }},
        {"gears-tried", [](Session& b) { act(b, act::ShowGears{true}); }},
        {"gears", [](Session& b) { act(b, act::TryNothing{}); }},
    };
}

std::vector<Scene> number_scenes() {
    return {
        {"numbers-linkage",
         [](Session& b) {
             act(b, act::ShowGears{false});
             act(b, act::EditBike{bike_named(b, "No. 8")->id});
         }},
        {"numbers-points",
         [](Session& b) {
             strut_table(b, 0);
             bike_number(b, BikeField::pivot_to_rod, "62.5");
             act(b, act::CloseTag{});
             scroll_to(b, "points:best");
         }},
        {"numbers-points-taken",
         [](Session& b) {
             act(b, act::TakeBestPoints{});
             scroll_to(b, "points:typed");
         }},
        {"numbers-points-slip",
         [](Session& b) {
             act(b, act::EditBike{bike_named(b, "No. 8")->id});
             strut_table(b, 9);
             scroll_to(b, "side");
         }},
    };
}

std::vector<Scene> shelf_scenes() {
    const auto id = [](Session& b) { return bike_named(b, "No. 27")->id; };
    return {
        {"shelf",
         [](Session& b) {
             act(b, act::Go{Screen::shelf, {}});
         }},
        {"shelf-part", [](Session& b) { act(b, act::OpenItem{b.app().state().ledger.shelf().front()->id}); }},
        {"which-spring",
         [=](Session& b) {
             act(b, act::ShowSprings{id(b), End::rear});
         }},
        {"season-service",
         [=](Session& b) {
             act(b, act::Go{Screen::parts, id(b)});
         }},
        {"jobs",
         [=](Session& b) {
             act(b, act::Go{Screen::jobs, id(b)});
         }},
        {"job", [=](Session& b) { act(b, act::OpenJob{b.app().state().ledger.jobs(id(b))[1]->id}); }},
        {"ready",
         [=](Session& b) {
             act(b, act::Go{Screen::ready, id(b)});
         }},
        {"as-it-stands",
         [=](Session& b) {
             act(b, act::StartChange{id(b)});
             scroll_to(b, "row:change:rear:chain_slack");
         }},
        {"devices",
         [](Session& b) {
             act(b, act::Go{Screen::devices, {}});
             act(b, act::BackUpNow{});
         }},
    };
}

}  // namespace restand::scenes
