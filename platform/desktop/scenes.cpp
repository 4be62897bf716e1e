#include "platform/desktop/scenes.h"

namespace restand::scenes {

const Bike* bike_named(Session& session, std::string_view name) {
    for (const Bike* bike : session.app().state().ledger.bikes())
        if (bike->body.name == name) return bike;
    return session.app().state().ledger.bikes().front();
}

void act(Session& session, const Action& action) {
    session.act(action);
    session.settle();
}

Field reading(Phase phase, Point point, End end) {
    return {.of = Field::Of::reading, .phase = phase, .point = point, .end = end};
}

void take(Session& session, Phase phase, Point point, const std::string& text, End end) {
    act(session, act::OpenTag{reading(phase, point, end)});
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

void check_as_before(Session& session) {
    // The ledger recomputes the swap after every reading, so it is fetched each time.
    for (const Point p : ride_heights) {
        const Swap* swap = open_swap(session.app().state());
        const StoredReading* before =
            swap ? swap->stored({Phase::before, ends_of(*swap).front(), p}) : nullptr;
        if (!before) continue;
        take(session, Phase::check, p, std::string(before->reading.repeats.front().text));
    }
}

void read_as_it_stands(Session& session) {
    const AppState& state = session.app().state();
    const SetUp stands = setup_now(state.ledger, state.bike);
    for (const Asked& a : asked(*open_swap(state), Phase::before)) {
        if (const StoredReading* stored = stands.stored(a.end, a.point))
            take(session, Phase::before, a.point, stored->reading.repeats.front().text, a.end);
    }
}

void bike_number(Session& session, BikeField field, const std::string& text) {
    act(session, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
    act(session, act::PadText{text});
    act(session, act::PadNext{});
}

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

}  // namespace restand::scenes
