#pragma once
// Scenes that put the demo's app into the states of `restand --screenshot`. Inside platform/desktop only.

#include <functional>
#include <string>
#include <vector>

#include "core/quantity/unit.h"
#include "platform/session.h"

namespace restand::scenes {


// The scenes run in sequence on one workshop: each keeps the changes of the scenes before it.
struct Scene {
    const char* name;
    std::function<void(Session&)> play;
};

const Bike* bike_named(Session& session, std::string_view name);
void act(Session& session, const Action& action);
Field reading(Phase phase, Point point, End end = End::rear);
void take(Session& session, Phase phase, Point point, const std::string& text, End end = End::rear);
void open_swap_of(Session& session, const char* bike, Step6 step);
void work_as_first(Session& session);
// The old heights again, as if the rider had sat down a second time.
void check_as_before(Session& session);
// The values that the swap asks for first, from the bike's current set-up.
void read_as_it_stands(Session& session);
void bike_number(Session& session, BikeField field, const std::string& text);
// Measures five struts in place of the shock, on the bike in the form, with the wheel where its own points
// put it; the third is misread by `mistake`, in mm.
void strut_table(Session& session, double mistake);
// What is not drawn yet cannot be scrolled to.
void scroll_to(Session& session, const char* id);
void pick(Session& session, const char* name);
void set_as_answered(Session& session);

std::vector<Scene> workshop_scenes();
std::vector<Scene> season_scenes();
std::vector<Scene> chassis_scenes();
std::vector<Scene> number_scenes();
std::vector<Scene> shelf_scenes();
std::vector<Scene> shock_scenes();
std::vector<Scene> several_scenes();
std::vector<Scene> known_scenes();

}  // namespace restand::scenes
