#include "platform/desktop/screens.h"

#include <random>

#include "demo/season.h"
#include "platform/desktop/picture.h"
#include "platform/desktop/scenes.h"

namespace restand {

using scenes::landscape, scenes::portrait, scenes::Scene;

namespace {
namespace fs = std::filesystem;

// A separate folder for the demo workshop, deleted afterwards.
class Scratch {
public:
    Scratch()
        : path_(fs::temp_directory_path() / ("restand-screens-" + std::to_string(std::random_device{}()))) {
        fs::remove_all(path_);
        fs::create_directories(path_);
    }
    ~Scratch() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    fs::path file(const char* name) const { return path_ / name; }

private:
    fs::path path_;
};

std::vector<Scene> workshop_scenes() {
    const auto go = [](Screen screen) {
        return [screen](Session& b) { scenes::act(b, act::Go{screen, scenes::bike_named(b, "No. 27")->id}); };
    };
    return {
        {"bikes", landscape,
         [](Session& b) {
             scenes::work_as_first(b);
             scenes::act(b, act::Go{Screen::bikes, {}});
         }},
        {"bike", landscape, go(Screen::bike)},
        {"bike-numbers", landscape,
         [](Session& b) { scenes::act(b, act::EditBike{scenes::bike_named(b, "No. 27")->id}); }},
        {"bike-number-pad", landscape,
         [](Session& b) {
             scenes::act(b, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::swingarm}});
         }},
        {"baselines", landscape,
         [](Session& b) {
             scenes::act(b, act::CloseTag{});
             scenes::act(b, act::Go{Screen::baselines, scenes::bike_named(b, "No. 27")->id});
         }},
        {"baseline", landscape,
         [](Session& b) {
             scenes::act(
                 b, act::Go{Screen::baseline,
                            b.app().state().ledger.newest_baseline(scenes::bike_named(b, "No. 27")->id)->id});
         }},
        {"people", landscape, go(Screen::people)},
        {"people-letters", landscape,
         [](Session& b) {
             scenes::act(b, act::OpenTag{{.of = Field::Of::person}});
             scenes::act(b, act::PadText{"Mi"});
         }},
        {"settings", landscape, [](Session& b) {
             scenes::act(b, act::PadErase{});
             scenes::act(b, act::PadErase{});
             scenes::act(b, act::CloseTag{});
             scenes::act(b, act::Go{Screen::settings, {}});
         }}};
}

// The oldest baseline on the screen's time line.
Id old_baseline(Session& session) {
    Id found;
    for (const Entry& e : session.app().state().season.moments)
        if (e.kind == "baseline") found = e.id;
    return found;
}

std::vector<Scene> season_scenes() {
    const auto id = [](Session& b) { return scenes::bike_named(b, "No. 27")->id; };
    return {
        {"season", landscape,
         [=](Session& b) {
             scenes::act(b, act::Go{Screen::history, id(b)});
         }},
        {"season-portrait", portrait, [](Session&) {}},
        {"season-find", landscape,
         [](Session& b) {
             scenes::act(b, act::OpenTag{{.of = Field::Of::find}});
             scenes::act(b, act::PadText{"port"});
         }},
        {"season-moment", landscape,
         [=](Session& b) {
             scenes::act(b, act::CloseTag{});
             scenes::act(b, act::Go{Screen::history, id(b)});
             scenes::act(b, act::OpenMoment{old_baseline(b)});
         }},
        {"season-compare", landscape,
         [](Session& b) {
             scenes::act(b, act::OpenBoth{b.app().state().season.moment->id, {}});
         }},
        {"season-way", landscape,
         [=](Session& b) {
             scenes::act(b, act::ShowPlan{id(b), b.app().state().season.one->id});
         }},
        {"season-way-begun", landscape,
         [](Session& b) {
             scenes::act(b, act::BeginPlan{});
             for (int i = 0; i < 2; ++i)
                 if (const auto shown = plan_shown(b.app().state()); shown && !shown->plan.actions.empty())
                     scenes::act(b, act::CompleteStep{shown->plan.actions.front().key});
         }},
        {"season-way-portrait", portrait, [](Session&) {}},
        {"season-change", landscape,
         [=](Session& b) {
             scenes::act(b, act::EndPlan{false});
             scenes::act(b, act::StartChange{id(b)});
             scenes::act(b, act::Nudge{End::rear, Point::clicks_rebound_low, 1});
         }},
        {"season-change-portrait", portrait, [](Session&) {}},
        {"season-session", landscape,
         [=](Session& b) {
             scenes::act(b, act::StartEvent{id(b)});
             scenes::act(b, act::OpenTag{{.of = Field::Of::event, .event = EventField::circuit}});
             scenes::act(b, act::PadText{"Kesselau"});
         }},
        {"season-sag", landscape,
         [=](Session& b) {
             scenes::act(b, act::CloseTag{});
             scenes::act(b, act::Back{});
             scenes::act(b, act::ShowTrend{id(b), Watched::rider_sag, End::rear, Point::spring_free_length});
         }},
        {"season-chain", landscape,
         [=](Session& b) {
             scenes::act(
                 b, act::ShowTrend{id(b), Watched::chain_elongation, End::rear, Point::chain_gauge_length});
         }},
        {"attitude", landscape, [=](Session& b) { scenes::act(b, act::ShowAttitude{id(b)}); }},
        {"attitude-tried", landscape,
         [](Session& b) {
             for (int i = 0; i < 3; ++i) scenes::act(b, act::Try{End::front, Point::fork_position, 1});
             scenes::act(b, act::Try{End::rear, Point::eye_to_eye, 4});
         }},
        {"attitude-portrait", portrait, [](Session&) {}},
        {"attitude-travel", landscape,
         [](Session& b) {
             scenes::act(b, act::TryNothing{});
             scenes::act(b, act::ShowAttitude{scenes::bike_named(b, "No. 8")->id});
             scenes::act(b, act::Try{End::rear, Point::eye_to_eye, 4});
             scenes::act(b, act::OverTravel{TravelPlot::wheel_rate});
         }},
        {"attitude-slack", landscape, [](Session& b) { scenes::act(b, act::OverTravel{TravelPlot::slack}); }},
        {"attitude-slack-portrait", portrait, [](Session&) {}},
        {"attitude-slack-taut", landscape,
         [=](Session& b) {
             scenes::act(b, act::ShowAttitude{id(b)});
             scenes::act(b, act::Try{End::rear, Point::sprocket_rear, 3});
         }},
        {"chain", landscape,
         [=](Session& b) {
             scenes::act(b, act::OverTravel{TravelPlot::none});
             scenes::act(b, act::TryNothing{});
             scenes::act(b, act::ShowChain{id(b)});
         }},
        {"chain-tried", landscape,
         [](Session& b) {
             scenes::act(b, act::Try{End::rear, Point::sprocket_rear, 2});
         }},
        {"chain-portrait", portrait, [](Session&) {}},
        {"gears-tried", landscape, [](Session& b) { scenes::act(b, act::ShowGears{true}); }},
        {"gears-portrait", portrait, [](Session&) {}},
        {"gears", landscape, [](Session& b) { scenes::act(b, act::TryNothing{}); }},
        {"numbers-linkage", landscape,
         [](Session& b) {
             scenes::act(b, act::ShowGears{false});
             scenes::act(b, act::EditBike{scenes::bike_named(b, "No. 8")->id});
         }},
        {"numbers-points", landscape,
         [](Session& b) {
             scenes::strut_table(b, 0);
             scenes::bike_number(b, BikeField::pivot_to_rod, "62.5");
             scenes::act(b, act::CloseTag{});
             scenes::scroll_to(b, "points:best");
         }},
        {"numbers-points-taken", landscape,
         [](Session& b) {
             scenes::act(b, act::TakeBestPoints{});
             scenes::scroll_to(b, "points:typed");
         }},
        {"numbers-points-slip", landscape,
         [](Session& b) {
             scenes::act(b, act::EditBike{scenes::bike_named(b, "No. 8")->id});
             scenes::strut_table(b, 9);
             scenes::scroll_to(b, "side");
         }},
        {"numbers-points-slip-portrait", portrait, [](Session& b) { scenes::scroll_to(b, "side"); }},
        {"shelf", landscape,
         [](Session& b) {
             scenes::act(b, act::Go{Screen::shelf, {}});
         }},
        {"shelf-part", landscape,
         [](Session& b) { scenes::act(b, act::OpenItem{b.app().state().ledger.shelf().front()->id}); }},
        {"which-spring", landscape,
         [=](Session& b) {
             scenes::act(b, act::ShowSprings{id(b), End::rear});
         }},
        {"which-spring-portrait", portrait, [](Session&) {}},
        {"season-service", landscape,
         [=](Session& b) {
             scenes::act(b, act::Go{Screen::parts, id(b)});
         }},
        {"devices", landscape,
         [](Session& b) {
             scenes::act(b, act::Go{Screen::devices, {}});
             scenes::act(b, act::BackUpNow{});
         }},
        {"devices-portrait", portrait, [](Session&) {}},
    };
}

}  // namespace

Outcome write_screens(const fs::path& folder) {
    std::error_code failed;
    fs::create_directories(folder, failed);
    if (failed) return Error{ErrorCode::io, folder.string(), failed.message()};
    const Scratch scratch;
    if (auto made = make_demo(scratch.file("demo.restand")); !made) return made.error();
    auto session = Session::open(scratch.file("demo.restand"), landscape, {});
    if (!session) return session.error();
    for (const auto& scenes : {workshop_scenes(), season_scenes(), scenes::swap_scenes()})
        for (const Scene& scene : scenes) {
            (*session)->handle(ResizeEvent{scene.viewport});
            scene.play(**session);
            const auto picture = picture_of(**session, scene.viewport, 2);
            if (!picture) return picture.error();
            if (auto done = write_png(folder / (std::string(scene.name) + ".png"), *picture); !done)
                return done.error();
        }
    return Done{};
}

}  // namespace restand
