#include "platform/desktop/screens.h"

#include <functional>
#include <random>

#include "core/quantity/unit.h"
#include "demo/season.h"
#include "platform/desktop/picture.h"
#include "platform/session.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

constexpr Viewport landscape{1280, 800, 5.87f};
constexpr Viewport portrait{800, 1280, 5.87f};

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

// The scenes run in sequence on one workshop: each keeps the changes of the scenes before it.
struct Scene {
    const char* name;
    Viewport viewport;
    std::function<void(Session&)> play;
};

const Bike* bike_named(Session& session, std::string_view name) {
    for (const Bike* bike : session.app().state().ledger.bikes())
        if (bike->body.name == name) return bike;
    return session.app().state().ledger.bikes().front();
}

void act(Session& session, const Action& action) {
    session.act(action);
    session.settle();
}

Field reading(Phase phase, Point point, End end = End::rear) {
    return {.of = Field::Of::reading, .phase = phase, .point = point, .end = end};
}

void take(Session& session, Phase phase, Point point, const char* text) {
    act(session, act::OpenTag{reading(phase, point)});
    act(session, act::PadText{text});
    act(session, act::PadNext{});
    if (session.app().state().pad && !session.app().state().pad->question.empty())
        act(session, act::ConfirmSame{true});
    act(session, act::CloseTag{});
}

void open_swap_of(Session& session, const char* bike, Step6 step) {
    if (const Swap* swap = session.app().state().ledger.open_swap(bike_named(session, bike)->id)) {
        act(session, act::ResumeSwap{swap->id});
        act(session, act::GoToStep{step});
    }
}

void work_as_first(Session& session) {
    act(session, act::SetPerson{session.app().state().ledger.people().front()->id});
}

// The old heights again, as if the rider had sat down a second time.
void check_as_before(Session& session) {
    // The ledger recomputes the swap after every reading, so it is fetched each time.
    for (const Point p : ride_heights) {
        const Swap* swap = open_swap(session.app().state());
        const StoredReading* before = swap ? swap->stored({Phase::before, ends_of(*swap).front(), p}) : nullptr;
        if (!before) continue;
        const std::string text = before->reading.repeats.front().text;
        take(session, Phase::check, p, text.c_str());
    }
}

// The values that the swap asks for first, from the bike's current set-up.
void read_as_it_stands(Session& session) {
    const AppState& state = session.app().state();
    const SetUp stands = setup_now(state, state.bike);
    for (const Asked& a : asked(*open_swap(state), Phase::before)) {
        const StoredReading* take = stands.stored(a.end, a.point);
        if (!take) continue;
        act(session, act::OpenTag{reading(Phase::before, a.point, a.end)});
        act(session, act::PadText{take->reading.repeats.front().text});
        act(session, act::PadNext{});
        if (state.pad && !state.pad->question.empty()) act(session, act::ConfirmSame{true});
        act(session, act::CloseTag{});
    }
}

void bike_number(Session& session, BikeField field, const std::string& text) {
    act(session, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
    act(session, act::PadText{text});
    act(session, act::PadNext{});
}

// Measures five struts in place of the shock, on the bike in the form, with the wheel where its own points
// put it; the third is misread by `mistake`, in mm.
void strut_table(Session& session, double mistake) {
    const BikeBody body = session.app().state().form->body;
    const auto map = LinkageMap::of(*body.mechanism.linkage);
    for (int i = 0; i < 5; ++i) {
        const double strut = 316 - 15 * i;
        const double height = 420 + in_mm(*body.geometry.swingarm * sin(*map->droop_at(mm(strut))));
        bike_number(session, BikeField::pair_length, print_fixed(strut, 0));
        act(session, act::PadText{print_fixed(height + (i == 2 ? mistake : 0), 1)});
        act(session, act::PadNext{});
        act(session, act::CloseTag{});
    }
}

// What is not drawn yet cannot be scrolled to.
void scroll_to(Session& session, const char* id) {
    session.settle();
    session.frame(0);
    session.app().screen().show(id);
}

void pick(Session& session, const char* name) {
    for (const ShelfItem* item : session.app().state().ledger.shelf())
        if (item->body.name == name) act(session, act::PickItem{item->id});
}

void set_as_answered(Session& session) {
    for (Point p : {Point::eye_to_eye, Point::spring_installed_length}) {
        act(session, act::OpenTag{reading(Phase::set, p)});
        act(session, act::PadSame{});
        act(session, act::PadNext{});
        if (session.app().state().pad && !session.app().state().pad->question.empty())
            act(session, act::ConfirmSame{true});
    }
    act(session, act::CloseTag{});
}

std::vector<Scene> workshop_scenes() {
    const auto go = [](Screen screen) {
        return [screen](Session& b) { act(b, act::Go{screen, bike_named(b, "No. 27")->id}); };
    };
    return {
        {"bikes", landscape,
         [](Session& b) {
             work_as_first(b);
             act(b, act::Go{Screen::bikes, {}});
         }},
        {"bike", landscape, go(Screen::bike)},
        {"bike-numbers", landscape, [](Session& b) { act(b, act::EditBike{bike_named(b, "No. 27")->id}); }},
        {"bike-number-pad", landscape,
         [](Session& b) { act(b, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::swingarm}}); }},
        {"baselines", landscape,
         [](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::baselines, bike_named(b, "No. 27")->id});
         }},
        {"baseline", landscape,
         [](Session& b) {
             act(b, act::Go{Screen::baseline,
                            b.app().state().ledger.newest_baseline(bike_named(b, "No. 27")->id)->id});
         }},
        {"people", landscape, go(Screen::people)},
        {"people-letters", landscape,
         [](Session& b) {
             act(b, act::OpenTag{{.of = Field::Of::person}});
             act(b, act::PadText{"Mi"});
         }},
        {"settings", landscape, [](Session& b) {
             act(b, act::PadErase{});
             act(b, act::PadErase{});
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::settings, {}});
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
    const auto id = [](Session& b) { return bike_named(b, "No. 27")->id; };
    return {
        {"season", landscape,
         [=](Session& b) {
             act(b, act::Go{Screen::history, id(b)});
         }},
        {"season-portrait", portrait, [](Session&) {}},
        {"season-find", landscape,
         [](Session& b) {
             act(b, act::OpenTag{{.of = Field::Of::find}});
             act(b, act::PadText{"port"});
         }},
        {"season-moment", landscape,
         [=](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::history, id(b)});
             act(b, act::OpenMoment{old_baseline(b)});
         }},
        {"season-compare", landscape,
         [](Session& b) {
             act(b, act::OpenBoth{b.app().state().season.moment->id, {}});
         }},
        {"season-way", landscape,
         [=](Session& b) {
             act(b, act::ShowPlan{id(b), b.app().state().season.one->id});
         }},
        {"season-way-begun", landscape,
         [](Session& b) {
             act(b, act::BeginPlan{});
             for (int i = 0; i < 2; ++i)
                 if (const auto shown = plan_shown(b.app().state()); shown && !shown->plan.actions.empty())
                     act(b, act::CompleteStep{shown->plan.actions.front().key});
         }},
        {"season-way-portrait", portrait, [](Session&) {}},
        {"season-change", landscape,
         [=](Session& b) {
             act(b, act::EndPlan{false});
             act(b, act::StartChange{id(b)});
             act(b, act::Nudge{End::rear, Point::clicks_rebound_low, 1});
         }},
        {"season-change-portrait", portrait, [](Session&) {}},
        {"season-session", landscape,
         [=](Session& b) {
             act(b, act::StartEvent{id(b)});
             act(b, act::OpenTag{{.of = Field::Of::event, .event = EventField::circuit}});
             act(b, act::PadText{"Kesselau"});
         }},
        {"season-sag", landscape,
         [=](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::Back{});
             act(b, act::ShowTrend{id(b), Watched::rider_sag, End::rear, Point::spring_free_length});
         }},
        {"season-chain", landscape,
         [=](Session& b) {
             act(b, act::ShowTrend{id(b), Watched::chain_elongation, End::rear, Point::chain_gauge_length});
         }},
        {"attitude", landscape, [=](Session& b) { act(b, act::ShowAttitude{id(b)}); }},
        {"attitude-tried", landscape,
         [](Session& b) {
             for (int i = 0; i < 3; ++i) act(b, act::Try{End::front, Point::fork_position, 1});
             act(b, act::Try{End::rear, Point::eye_to_eye, 4});
         }},
        {"attitude-portrait", portrait, [](Session&) {}},
        {"attitude-travel", landscape,
         [](Session& b) {
             act(b, act::TryNothing{});
             act(b, act::ShowAttitude{bike_named(b, "No. 8")->id});
             act(b, act::Try{End::rear, Point::eye_to_eye, 4});
             act(b, act::OverTravel{TravelPlot::wheel_rate});
         }},
        {"attitude-slack", landscape, [](Session& b) { act(b, act::OverTravel{TravelPlot::slack}); }},
        {"attitude-slack-portrait", portrait, [](Session&) {}},
        {"attitude-slack-taut", landscape,
         [=](Session& b) {
             act(b, act::ShowAttitude{id(b)});
             act(b, act::Try{End::rear, Point::sprocket_rear, 3});
         }},
        {"chain", landscape,
         [=](Session& b) {
             act(b, act::OverTravel{TravelPlot::none});
             act(b, act::TryNothing{});
             act(b, act::ShowChain{id(b)});
         }},
        {"chain-tried", landscape,
         [](Session& b) {
             act(b, act::Try{End::rear, Point::sprocket_rear, 2});
         }},
        {"chain-portrait", portrait, [](Session&) {}},
        {"gears-tried", landscape, [](Session& b) { act(b, act::ShowGears{true}); }},
        {"gears-portrait", portrait, [](Session&) {}},
        {"gears", landscape, [](Session& b) { act(b, act::TryNothing{}); }},
        {"numbers-linkage", landscape,
         [](Session& b) {
             act(b, act::ShowGears{false});
             act(b, act::EditBike{bike_named(b, "No. 8")->id});
         }},
        {"numbers-points", landscape,
         [](Session& b) {
             strut_table(b, 0);
             bike_number(b, BikeField::pivot_to_rod, "62.5");
             act(b, act::CloseTag{});
             scroll_to(b, "points:best");
         }},
        {"numbers-points-taken", landscape,
         [](Session& b) {
             act(b, act::TakeBestPoints{});
             scroll_to(b, "points:typed");
         }},
        {"numbers-points-slip", landscape,
         [](Session& b) {
             act(b, act::EditBike{bike_named(b, "No. 8")->id});
             strut_table(b, 9);
             scroll_to(b, "side");
         }},
        {"numbers-points-slip-portrait", portrait, [](Session& b) { scroll_to(b, "side"); }},
        {"shelf", landscape,
         [](Session& b) {
             act(b, act::Go{Screen::shelf, {}});
         }},
        {"shelf-part", landscape,
         [](Session& b) { act(b, act::OpenItem{b.app().state().ledger.shelf().front()->id}); }},
        {"which-spring", landscape,
         [=](Session& b) {
             act(b, act::ShowSprings{id(b), End::rear});
         }},
        {"which-spring-portrait", portrait, [](Session&) {}},
        {"season-service", landscape,
         [=](Session& b) {
             act(b, act::Go{Screen::parts, id(b)});
         }},
        {"devices", landscape,
         [](Session& b) {
             act(b, act::Go{Screen::devices, {}});
             act(b, act::BackUpNow{});
         }},
        {"devices-portrait", portrait, [](Session&) {}},
    };
}

std::vector<Scene> swap_scenes() {
    return {
        {"swap-1-before", landscape, [](Session& b) { open_swap_of(b, "No. 27", Step6::before); }},
        {"swap-1-reading", landscape,
         [](Session& b) {
             act(b, act::OpenTag{reading(Phase::before, Point::eye_to_eye)});
             act(b, act::PadText{"309"});
         }},
        {"swap-1-asked", landscape,
         [](Session& b) {
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
         [](Session& b) {
             act(b, act::ConfirmSame{false});
             act(b, act::CloseTag{});
             act(b, act::GoToStep{Step6::new_part});
         }},
        {"swap-3-answer", landscape, [](Session& b) { act(b, act::GoToStep{Step6::answer}); }},
        {"swap-3-answer-portrait", portrait, [](Session&) {}},
        {"swap-3-answer-night", landscape,
         [](Session& b) {
             act(b, act::SetLook{true, 100});
         }},
        {"swap-3-refused", landscape,
         [](Session& b) {
             act(b, act::SetLook{false, 100});
             act(b, act::GoToStep{Step6::new_part});
             take(b, Phase::new_part, Point::spring_rate, "190");
             act(b, act::GoToStep{Step6::answer});
         }},
        {"swap-4-set", landscape,
         [](Session& b) {
             act(b, act::SetLook{false, 100});
             act(b, act::Undo{});
             act(b, act::GoToStep{Step6::set});
             set_as_answered(b);
         }},
        {"swap-5-check", landscape, [](Session& b) { act(b, act::GoToStep{Step6::check}); }},
        {"swap-5-restored", landscape, [](Session& b) { check_as_before(b); }},
        {"swap-5-not-restored", landscape,
         [](Session& b) { take(b, Phase::check, Point::ride_height_rider, "449.5"); }},
        {"swap-6-keep", landscape,
         [](Session& b) {
             check_as_before(b);
             act(b, act::GoToStep{Step6::keep});
         }},
        {"front-1-before", landscape, [](Session& b) { open_swap_of(b, "No. 8", Step6::before); }},
        {"front-1-before-portrait", portrait, [](Session&) {}},
        {"front-1-reading-portrait", portrait,
         [](Session& b) {
             act(b, act::OpenTag{reading(Phase::before, Point::fork_position, End::front)});
             act(b, act::PadText{"6.5"});
         }},
        {"several-0-choose", landscape,
         [](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::ChooseParts{bike_named(b, "No. 64")->id});
             for (const SwapPart part : {SwapPart::shock, SwapPart::front_tyre}) act(b, act::TogglePart{part});
         }},
        {"several-1-before", landscape,
         [](Session& b) {
             const Id bike = bike_named(b, "No. 27")->id;
             act(b, act::AbandonSwap{b.app().state().ledger.open_swap(bike)->id});
             act(b, act::StartSwap{bike, {SwapPart::shock_spring, SwapPart::sprockets, SwapPart::front_tyre}});
         }},
        {"several-2-new-parts", landscape,
         [](Session& b) {
             read_as_it_stands(b);
             act(b, act::GoToStep{Step6::new_part});
         }},
        {"several-3-answer", landscape,
         [](Session& b) {
             pick(b, "red, 97");
             pick(b, "rain, front");
             take(b, Phase::new_part, Point::sprocket_front, "16");
             take(b, Phase::new_part, Point::sprocket_rear, "44");
             act(b, act::GoToStep{Step6::answer});
         }},
        {"several-3-answer-portrait", portrait, [](Session&) {}},
        {"bikes-portrait", portrait,
         [](Session& b) {
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
    auto session = Session::open(scratch.file("demo.restand"), landscape, {});
    if (!session) return session.error();
    for (const auto& scenes : {workshop_scenes(), season_scenes(), swap_scenes()})
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
