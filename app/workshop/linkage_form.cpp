// The linkage in the bike's form, and its points against the strut table.

#include <fmt/format.h>

#include <utility>

#include "app/app_state.h"
#include "app/views/wording.h"
#include "core/ledger/map_of.h"

namespace restand {

void act_on(AppState& state, const act::LinkageKind& to) {
    if (!state.form || !leave_pad(state)) return;
    auto& linkage = state.form->body.mechanism.linkage;
    if (to.kind == 0) return linkage.reset();
    Linkage l = linkage.value_or(Linkage{});
    if (to.kind == 1) {
        l.rocker.reset();
    } else {
        Rocker r = l.rocker.value_or(Rocker{});
        const bool on_frame = to.kind == 2;
        r.pivot.on = on_frame ? Carrier::frame : Carrier::arm;
        r.rod_end.on = on_frame ? Carrier::arm : Carrier::frame;
        l.rocker = r;
    }
    linkage = l;
}

void act_on(AppState& state, const act::LinkageSide&) {
    if (!state.form || !state.form->body.mechanism.linkage || !state.form->body.mechanism.linkage->rocker)
        return;
    int& side = state.form->body.mechanism.linkage->rocker->side;
    side = -side;
}

// Ride height grows as the axle hangs lower, so a rise in the table is a fall of the axle. The start height
// is fitted anyway.
Result<LinkageCheck> points_check(const BikeBody& body) {
    const auto& linkage = body.mechanism.linkage;
    if (!linkage || !body.geometry.swingarm)
        return Error{ErrorCode::missing, linkage ? "swingarm" : "linkage", ""};
    return checked(*linkage, *body.geometry.swingarm, strut_table(body));
}

bool best_taken(const BikeForm& form) {
    return form.taken && form.body.mechanism.linkage == form.taken->best &&
           form.body.geometry.swingarm == form.taken->best_arm;
}

void act_on(AppState& state, const act::TakeBestPoints&) {
    if (!state.form || !leave_pad(state)) return;
    BikeBody& body = state.form->body;
    const auto check = points_check(body);
    if (!check || !check->best || check->agreement == Agreement::contradict) return;
    const auto& best = *check->best;
    state.form->taken = PointsTaken{*body.mechanism.linkage, best.linkage, *body.geometry.swingarm, best.arm};
    body.mechanism.linkage = best.linkage;
    body.geometry.swingarm = best.arm;
    const Unit unit = state.ledger.units().length;
    say(state, fmt::format("Taken: the farthest point moved {} {}. Not kept until you save the bike.",
                           wording::value(best.farthest.value, unit), symbol(unit)));
}

void act_on(AppState& state, const act::TypedPoints&) {
    if (!state.form || !leave_pad(state) || !best_taken(*state.form)) return;
    state.form->body.mechanism.linkage = state.form->taken->typed;
    state.form->body.geometry.swingarm = state.form->taken->typed_arm;
    state.form->taken.reset();
}

}  // namespace restand
