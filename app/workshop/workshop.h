#pragma once
// The form that describes a bike, and the settings of the app's look.

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/workshop/workshop_actions.h"
#include "core/machine/linkage_fit.h"

namespace restand {

// The points that fit the strut table best, copied into a form, and the points that they replaced.
struct PointsTaken {
    Linkage typed, best;
    Length typed_arm, best_arm;
};
struct BikeForm {
    Id bike;                         // nil: a new one
    BikeBody body;
    std::optional<Length> half_pair; // typed strut length whose ride height is still missing
    std::vector<std::pair<Length, Length>> pairs_out{};  // taken out of the table, the newest last
    std::optional<PointsTaken> taken{};  // not in the draft: after a restart only leaving the form reverts it
};

struct Look {
    bool night = false;
    int text_percent = 100;
    friend bool operator==(const Look&, const Look&) = default;
};

// Compares a bike's linkage points with its strut table. Errors: missing (points, table, the swingarm, or a
// third strut length), no_solution (the linkage does not close, or not at every strut length).
Result<LinkageCheck> points_check(const BikeBody& body);
// The bike whose numbers are typed and not saved; nullptr: none.
const Bike* bike_typed(const AppState& state);
// A strut's length and its ride height: "272 → 428 mm".
std::string pair_text(const std::pair<Length, Length>& pair, const UnitChoice& units);
// Brings back what was last taken out of the table of the form on the screen. False: nothing was.
bool undo_pair(AppState& state);
// True if the form holds the best points unchanged.
bool best_taken(const BikeForm& form);

}  // namespace restand
