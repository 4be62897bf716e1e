#include "platform/desktop/screens.h"

#include <functional>
#include <random>

#include "core/quantity/unit.h"
#include "demo/season.h"
#include "platform/desktop/picture.h"
#include "platform/workbench.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

constexpr Glass landscape{1280, 800, 5.87f};
constexpr Glass portrait{800, 1280, 5.87f};

// A folder of our own for the demo workshop, gone afterwards.
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

// One after the other on one workshop: what a scene does stays done for the next.
struct Scene {
    const char* name;
    Glass glass;
    std::function<void(Workbench&)> play;
};

const Bike* bike_named(Workbench& bench, std::string_view name) {
    for (const Bike* bike : bench.app().desk().ledger.bikes())
        if (bike->body.name == name) return bike;
    return bench.app().desk().ledger.bikes().front();
}

void act(Workbench& bench, const Action& action) {
    bench.act(action);
    bench.settle();
}

Field reading(Phase phase, Point point, End end = End::rear) {
    return {.of = Field::Of::reading, .phase = phase, .point = point, .end = end};
}

void take(Workbench& bench, Phase phase, Point point, const char* text) {
    act(bench, act::OpenTag{reading(phase, point)});
    act(bench, act::PadText{text});
    act(bench, act::PadNext{});
    if (bench.app().desk().pad && !bench.app().desk().pad->question.empty())
        act(bench, act::ConfirmSame{true});
    act(bench, act::CloseTag{});
}

void open_swap_of(Workbench& bench, const char* bike, Step6 step) {
    if (const Swap* swap = bench.app().desk().ledger.open_swap(bike_named(bench, bike)->id)) {
        act(bench, act::ResumeSwap{swap->id});
        act(bench, act::GoToStep{step});
    }
}

void work_as_first(Workbench& bench) {
    act(bench, act::SetPerson{bench.app().desk().ledger.people().front()->id});
}

// The old heights again, as if the rider had sat down once more.
void check_as_before(Workbench& bench) {
    // The ledger folds the swap anew with every reading, so it is asked for each time.
    for (const Point p : ride_heights) {
        const Swap* swap = open_swap(bench.app().desk());
        const Take* before = swap ? swap->take({Phase::before, ends_of(*swap).front(), p}) : nullptr;
        if (!before) continue;
        const std::string text = before->reading.repeats.front().text;
        take(bench, Phase::check, p, text.c_str());
    }
}

// What the swap asks before it, as the bike stands.
void read_as_it_stands(Workbench& bench) {
    const Desk& desk = bench.app().desk();
    const SetUp stands = setup_now(desk, desk.bike);
    for (const Asked& a : asked(*open_swap(desk), Phase::before)) {
        const Take* take = stands.take(a.end, a.point);
        if (!take) continue;
        act(bench, act::OpenTag{reading(Phase::before, a.point, a.end)});
        act(bench, act::PadText{take->reading.repeats.front().text});
        act(bench, act::PadNext{});
        if (desk.pad && !desk.pad->question.empty()) act(bench, act::ConfirmSame{true});
        act(bench, act::CloseTag{});
    }
}

void bike_number(Workbench& bench, BikeField field, const std::string& text) {
    act(bench, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
    act(bench, act::PadText{text});
    act(bench, act::PadNext{});
}

// Five struts in the shock's place on the bike in the form, the wheel where its own points put it; one
// misread by `slip`.
void strut_table(Workbench& bench, double slip) {
    const BikeBody body = bench.app().desk().form->body;
    const auto map = LinkageMap::of(*body.mechanism.linkage);
    for (int i = 0; i < 5; ++i) {
        const double strut = 316 - 15 * i;
        const double height = 420 + in_mm(*body.geometry.swingarm * sin(*map->droop_at(mm(strut))));
        bike_number(bench, BikeField::pair_length, print_fixed(strut, 0));
        act(bench, act::PadText{print_fixed(height + (i == 2 ? slip : 0), 1)});
        act(bench, act::PadNext{});
        act(bench, act::CloseTag{});
    }
}

// What is not drawn yet cannot be scrolled to.
void scroll_to(Workbench& bench, const char* id) {
    bench.settle();
    bench.frame(0);
    bench.app().screen().show(id);
}

void pick(Workbench& bench, const char* name) {
    for (const ShelfItem* item : bench.app().desk().ledger.shelf())
        if (item->body.name == name) act(bench, act::PickItem{item->id});
}

void set_as_answered(Workbench& bench) {
    for (Point p : {Point::eye_to_eye, Point::spring_installed_length}) {
        act(bench, act::OpenTag{reading(Phase::set, p)});
        act(bench, act::PadSame{});
        act(bench, act::PadNext{});
        if (bench.app().desk().pad && !bench.app().desk().pad->question.empty())
            act(bench, act::ConfirmSame{true});
    }
    act(bench, act::CloseTag{});
}

std::vector<Scene> workshop_scenes() {
    const auto go = [](Screen screen) {
        return [screen](Workbench& b) { act(b, act::Go{screen, bike_named(b, "No. 27")->id}); };
    };
    return {
        {"bikes", landscape,
         [](Workbench& b) {
             work_as_first(b);
             act(b, act::Go{Screen::bikes, {}});
         }},
        {"bike", landscape, go(Screen::bike)},
        {"bike-numbers", landscape, [](Workbench& b) { act(b, act::EditBike{bike_named(b, "No. 27")->id}); }},
        {"bike-number-pad", landscape,
         [](Workbench& b) { act(b, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::swingarm}}); }},
        {"baselines", landscape,
         [](Workbench& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::baselines, bike_named(b, "No. 27")->id});
         }},
        {"baseline", landscape,
         [](Workbench& b) {
             act(b, act::Go{Screen::baseline,
                            b.app().desk().ledger.newest_baseline(bike_named(b, "No. 27")->id)->id});
         }},
        {"people", landscape, go(Screen::people)},
        {"people-letters", landscape,
         [](Workbench& b) {
             act(b, act::OpenTag{{.of = Field::Of::person}});
             act(b, act::PadText{"Mi"});
         }},
        {"settings", landscape, [](Workbench& b) {
             act(b, act::PadErase{});
             act(b, act::PadErase{});
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::settings, {}});
         }}};
}

// The oldest baseline on the time line of the screen.
Id old_baseline(Workbench& bench) {
    Id found;
    for (const Entry& e : bench.app().desk().season.moments)
        if (e.kind == "baseline") found = e.id;
    return found;
}

std::vector<Scene> season_scenes() {
    const auto id = [](Workbench& b) { return bike_named(b, "No. 27")->id; };
    return {
        {"season", landscape,
         [=](Workbench& b) {
             act(b, act::Go{Screen::history, id(b)});
         }},
        {"season-portrait", portrait, [](Workbench&) {}},
        {"season-find", landscape,
         [](Workbench& b) {
             act(b, act::OpenTag{{.of = Field::Of::find}});
             act(b, act::PadText{"port"});
         }},
        {"season-moment", landscape,
         [=](Workbench& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::history, id(b)});
             act(b, act::OpenMoment{old_baseline(b)});
         }},
        {"season-compare", landscape,
         [](Workbench& b) {
             act(b, act::OpenBoth{b.app().desk().season.moment->id, {}});
         }},
        {"season-way", landscape,
         [=](Workbench& b) {
             act(b, act::ShowWay{id(b), b.app().desk().season.one->id});
         }},
        {"season-way-begun", landscape,
         [](Workbench& b) {
             act(b, act::BeginWay{});
             for (int i = 0; i < 2; ++i)
                 if (const auto shown = way_shown(b.app().desk()); shown && !shown->way.actions.empty())
                     act(b, act::TickAction{shown->way.actions.front().key});
         }},
        {"season-way-portrait", portrait, [](Workbench&) {}},
        {"season-change", landscape,
         [=](Workbench& b) {
             act(b, act::EndWay{false});
             act(b, act::StartChange{id(b)});
             act(b, act::Nudge{End::rear, Point::clicks_rebound_low, 1});
         }},
        {"season-change-portrait", portrait, [](Workbench&) {}},
        {"season-session", landscape,
         [=](Workbench& b) {
             act(b, act::StartEvent{id(b)});
             act(b, act::OpenTag{{.of = Field::Of::event, .event = EventField::circuit}});
             act(b, act::PadText{"Kesselau"});
         }},
        {"season-sag", landscape,
         [=](Workbench& b) {
             act(b, act::CloseTag{});
             act(b, act::Back{});
             act(b, act::ShowTrend{id(b), Watched::rider_sag, End::rear, Point::spring_free_length});
         }},
        {"season-chain", landscape,
         [=](Workbench& b) {
             act(b, act::ShowTrend{id(b), Watched::chain_elongation, End::rear, Point::chain_gauge_length});
         }},
        {"attitude", landscape, [=](Workbench& b) { act(b, act::ShowAttitude{id(b)}); }},
        {"attitude-tried", landscape,
         [](Workbench& b) {
             for (int i = 0; i < 3; ++i) act(b, act::Try{End::front, Point::fork_position, 1});
             act(b, act::Try{End::rear, Point::eye_to_eye, 4});
         }},
        {"attitude-portrait", portrait, [](Workbench&) {}},
        {"attitude-travel", landscape,
         [](Workbench& b) {
             act(b, act::TryNothing{});
             act(b, act::ShowAttitude{bike_named(b, "No. 8")->id});
             act(b, act::Try{End::rear, Point::eye_to_eye, 4});
             act(b, act::OverTravel{TravelPlot::wheel_rate});
         }},
        {"attitude-slack", landscape, [](Workbench& b) { act(b, act::OverTravel{TravelPlot::slack}); }},
        {"attitude-slack-portrait", portrait, [](Workbench&) {}},
        {"attitude-slack-taut", landscape,
         [=](Workbench& b) {
             act(b, act::ShowAttitude{id(b)});
             act(b, act::Try{End::rear, Point::sprocket_rear, 3});
         }},
        {"chain", landscape,
         [=](Workbench& b) {
             act(b, act::OverTravel{TravelPlot::none});
             act(b, act::TryNothing{});
             act(b, act::ShowChain{id(b)});
         }},
        {"chain-tried", landscape,
         [](Workbench& b) {
             act(b, act::Try{End::rear, Point::sprocket_rear, 2});
         }},
        {"chain-portrait", portrait, [](Workbench&) {}},
        {"gears-tried", landscape, [](Workbench& b) { act(b, act::ShowGears{true}); }},
        {"gears-portrait", portrait, [](Workbench&) {}},
        {"gears", landscape, [](Workbench& b) { act(b, act::TryNothing{}); }},
        {"numbers-linkage", landscape,
         [](Workbench& b) {
             act(b, act::ShowGears{false});
             act(b, act::EditBike{bike_named(b, "No. 8")->id});
         }},
        {"numbers-points", landscape,
         [](Workbench& b) {
             strut_table(b, 0);
             bike_number(b, BikeField::pivot_to_rod, "62.5");
             act(b, act::CloseTag{});
             scroll_to(b, "points:best");
         }},
        {"numbers-points-taken", landscape,
         [](Workbench& b) {
             act(b, act::TakeBestPoints{});
             scroll_to(b, "points:typed");
         }},
        {"numbers-points-slip", landscape,
         [](Workbench& b) {
             act(b, act::EditBike{bike_named(b, "No. 8")->id});
             strut_table(b, 9);
             scroll_to(b, "side");
         }},
        {"numbers-points-slip-portrait", portrait, [](Workbench& b) { scroll_to(b, "side"); }},
        {"shelf", landscape,
         [](Workbench& b) {
             act(b, act::Go{Screen::shelf, {}});
         }},
        {"shelf-part", landscape,
         [](Workbench& b) { act(b, act::OpenItem{b.app().desk().ledger.shelf().front()->id}); }},
        {"which-spring", landscape,
         [=](Workbench& b) {
             act(b, act::ShowSprings{id(b), End::rear});
         }},
        {"which-spring-portrait", portrait, [](Workbench&) {}},
        {"season-service", landscape,
         [=](Workbench& b) {
             act(b, act::Go{Screen::parts, id(b)});
         }},
        {"devices", landscape,
         [](Workbench& b) {
             act(b, act::Go{Screen::devices, {}});
             act(b, act::BackUpNow{});
         }},
        {"devices-portrait", portrait, [](Workbench&) {}},
    };
}

std::vector<Scene> swap_scenes() {
    return {
        {"swap-1-before", landscape, [](Workbench& b) { open_swap_of(b, "No. 27", Step6::before); }},
        {"swap-1-reading", landscape,
         [](Workbench& b) {
             act(b, act::OpenTag{reading(Phase::before, Point::eye_to_eye)});
             act(b, act::PadText{"309"});
         }},
        {"swap-1-asked", landscape,
         [](Workbench& b) {
             act(b, act::PadErase{});
             act(b, act::PadErase{});
             act(b, act::PadErase{});
             act(b, act::CloseTag{});
             act(b, act::OpenTag{reading(Phase::before, Point::ride_height_rider)});
             act(b, act::PadDropRepeat{0});
             act(b, act::PadDropRepeat{0});
             act(b, act::PadDropRepeat{0});
             act(b, act::PadText{"402"});
             act(b, act::PadNext{});
         }},
        {"swap-2-new-part", landscape,
         [](Workbench& b) {
             act(b, act::ConfirmSame{false});
             act(b, act::CloseTag{});
             act(b, act::GoToStep{Step6::new_part});
         }},
        {"swap-3-answer", landscape, [](Workbench& b) { act(b, act::GoToStep{Step6::answer}); }},
        {"swap-3-answer-portrait", portrait, [](Workbench&) {}},
        {"swap-3-answer-night", landscape,
         [](Workbench& b) {
             act(b, act::SetLook{true, 100});
         }},
        {"swap-3-refused", landscape,
         [](Workbench& b) {
             act(b, act::SetLook{false, 100});
             act(b, act::GoToStep{Step6::new_part});
             take(b, Phase::new_part, Point::spring_rate, "190");
             act(b, act::GoToStep{Step6::answer});
         }},
        {"swap-4-set", landscape,
         [](Workbench& b) {
             act(b, act::SetLook{false, 100});
             act(b, act::Undo{});
             act(b, act::GoToStep{Step6::set});
             set_as_answered(b);
         }},
        {"swap-5-check", landscape, [](Workbench& b) { act(b, act::GoToStep{Step6::check}); }},
        {"swap-5-restored", landscape, [](Workbench& b) { check_as_before(b); }},
        {"swap-5-not-restored", landscape,
         [](Workbench& b) { take(b, Phase::check, Point::ride_height_rider, "449.5"); }},
        {"swap-6-keep", landscape,
         [](Workbench& b) {
             check_as_before(b);
             act(b, act::GoToStep{Step6::keep});
         }},
        {"front-1-before", landscape, [](Workbench& b) { open_swap_of(b, "No. 8", Step6::before); }},
        {"front-1-before-portrait", portrait, [](Workbench&) {}},
        {"front-1-reading-portrait", portrait,
         [](Workbench& b) {
             act(b, act::OpenTag{reading(Phase::before, Point::fork_position, End::front)});
             act(b, act::PadText{"6.5"});
         }},
        {"several-0-choose", landscape,
         [](Workbench& b) {
             act(b, act::CloseTag{});
             act(b, act::ChooseParts{bike_named(b, "No. 64")->id});
             for (const SwapPart part : {SwapPart::shock, SwapPart::front_tyre}) act(b, act::TogglePart{part});
         }},
        {"several-1-before", landscape,
         [](Workbench& b) {
             const Id bike = bike_named(b, "No. 27")->id;
             act(b, act::AbandonSwap{b.app().desk().ledger.open_swap(bike)->id});
             act(b, act::StartSwap{bike, {SwapPart::shock_spring, SwapPart::sprockets, SwapPart::front_tyre}});
         }},
        {"several-2-new-parts", landscape,
         [](Workbench& b) {
             read_as_it_stands(b);
             act(b, act::GoToStep{Step6::new_part});
         }},
        {"several-3-answer", landscape,
         [](Workbench& b) {
             pick(b, "red, 97");
             pick(b, "rain, front");
             take(b, Phase::new_part, Point::sprocket_front, "16");
             take(b, Phase::new_part, Point::sprocket_rear, "44");
             act(b, act::GoToStep{Step6::answer});
         }},
        {"several-3-answer-portrait", portrait, [](Workbench&) {}},
        {"bikes-portrait", portrait,
         [](Workbench& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::bikes, {}});
         }},
    };
}
}  // namespace

Outcome write_screens(const fs::path& folder) {
    std::error_code failed;
    fs::create_directories(folder, failed);
    if (failed) return Error{ErrorCode::io, folder.string(), failed.message()};
    const Scratch scratch;
    if (auto made = make_demo(scratch.file("demo.restand")); !made) return made.error();
    auto bench = Workbench::open(scratch.file("demo.restand"), landscape, {});
    if (!bench) return bench.error();
    for (const auto& scenes : {workshop_scenes(), season_scenes(), swap_scenes()})
        for (const Scene& scene : scenes) {
            (*bench)->handle(ResizeEvent{scene.glass});
            scene.play(**bench);
            const auto picture = picture_of(**bench, scene.glass, 2);
            if (!picture) return picture.error();
            if (auto done = write_png(folder / (std::string(scene.name) + ".png"), *picture); !done)
                return done.error();
        }
    return Done{};
}

}  // namespace restand
