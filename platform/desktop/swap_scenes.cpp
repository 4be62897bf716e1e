#include "platform/desktop/scenes.h"

namespace restand::scenes {

std::vector<Scene> shock_scenes() {
    return {
        {"swap-1-before", [](Session& b) { open_swap_of(b, "No. 27", Step6::before); }},
        {"swap-1-reading",
         [](Session& b) {
             act(b, act::OpenTag{reading(Phase::before, Point::eye_to_eye)});
             act(b, act::PadText{"309"});
         }},
        {"swap-1-asked",
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
        {"swap-2-new-part",
         [](Session& b) {
             act(b, act::ConfirmSame{false});
             act(b, act::CloseTag{});
             act(b, act::GoToStep{Step6::new_part});
         }},
        {"swap-3-answer", [](Session& b) { act(b, act::GoToStep{Step6::answer}); }},
        {"swap-3-refused",
         [](Session& b) {
             act(b, act::SetLook{false, 100});
             act(b, act::GoToStep{Step6::new_part});
             take(b, Phase::new_part, Point::spring_rate, "190");
             act(b, act::GoToStep{Step6::answer});
         }},
        {"swap-4-set",
         [](Session& b) {
             act(b, act::SetLook{false, 100});
             act(b, act::Undo{});
             act(b, act::GoToStep{Step6::set});
             set_as_answered(b);
         }},
        {"swap-5-check", [](Session& b) { act(b, act::GoToStep{Step6::check}); }},
        {"swap-5-restored", [](Session& b) { check_as_before(b); }},
        {"swap-5-not-restored",
         [](Session& b) {
             take(b, Phase::check, Point::ride_height_static, "471.4");
             take(b, Phase::check, Point::ride_height_rider, "448.6");
         }},
        {"swap-6-keep",
         [](Session& b) {
             check_as_before(b);
             act(b, act::GoToStep{Step6::keep});
         }},
    };
}

std::vector<Scene> several_scenes() {
    return {
        {"front-1-before", [](Session& b) { open_swap_of(b, "No. 8", Step6::before); }},
        {"front-1-reading",
         [](Session& b) {
             act(b, act::OpenTag{reading(Phase::before, Point::fork_position, End::front)});
             act(b, act::PadText{"6.5"});
         }},
        {"several-0-choose",
         [](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::ChooseParts{bike_named(b, "No. 64")->id});
             for (const SwapPart part : {SwapPart::shock, SwapPart::front_tyre})
                 act(b, act::TogglePart{part});
         }},
        {"several-1-before",
         [](Session& b) {
             const Id bike = bike_named(b, "No. 27")->id;
             act(b, act::AbandonSwap{b.app().state().ledger.open_swap(bike)->id});
             act(b,
                 act::StartSwap{bike, {SwapPart::shock_spring, SwapPart::sprockets, SwapPart::front_tyre}});
         }},
        {"several-2-new-parts",
         [](Session& b) {
             read_as_it_stands(b);
             act(b, act::GoToStep{Step6::new_part});
         }},
        {"several-3-answer",
         [](Session& b) {
             pick(b, "red, 97");
             pick(b, "rain, front");
             take(b, Phase::new_part, Point::sprocket_front, "16");
             take(b, Phase::new_part, Point::sprocket_rear, "44");
             act(b, act::GoToStep{Step6::answer});
         }},
    };
}

std::vector<Scene> known_scenes() {
    return {
        {"known-1-before",
         [](Session& b) {
             const Id bike = bike_named(b, "No. 27")->id;
             act(b, act::AbandonSwap{b.app().state().ledger.open_swap(bike)->id});
             act(b, act::StartSwap{bike, {SwapPart::shock}});
         }},
        {"known-2-new-part",
         [](Session& b) {
             act(b, act::GoToStep{Step6::new_part});
             take(b, Phase::new_part, Point::eye_to_eye, "309.5");
         }},
        {"known-3-answer",
         [](Session& b) {
             take(b, Phase::new_part, Point::spring_free_length, "158");
             act(b, act::GoToStep{Step6::answer});
             scroll_to(b, "assumed:new_part:rear:gas_force");
         }},
        {"insides-1-before",
         [](Session& b) {
             act(b, act::GoToStep{Step6::before});
             act(b, act::AskInside{});
             scroll_to(b, "row:before:rear:top_out_rate");
         }},
        {"insides-2-spring-moved",
         [](Session& b) {
             act(b, act::GoToStep{Step6::new_part});
             act(b, act::MoveSpring{End::rear, true});
             scroll_to(b, "spring-moved:rear");
         }},
        {"tank-0-choose",
         [](Session& b) {
             const Id bike = bike_named(b, "No. 27")->id;
             act(b, act::AbandonSwap{b.app().state().ledger.open_swap(bike)->id});
             act(b, act::ChooseParts{bike});
             act(b, act::TogglePart{SwapPart::load});
             scroll_to(b, "part:load");
         }},
        {"tank-1-before",
         [](Session& b) {
             act(b, act::StartSwap{bike_named(b, "No. 27")->id, {SwapPart::load}});
             take(b, Phase::before, Point::fitted_mass, "6.2");
         }},
        {"tank-3-answer",
         [](Session& b) {
             act(b, act::GoToStep{Step6::new_part});
             take(b, Phase::new_part, Point::fitted_mass, "3.4");
             act(b, act::GoToStep{Step6::answer});
         }},
        {"bikes-swap-open",
         [](Session& b) {
             act(b, act::CloseTag{});
             act(b, act::Go{Screen::bikes, {}});
         }},
    };
}

}  // namespace restand::scenes
