#pragma once
// The form that describes a bike, and how the app looks.

#include <optional>

#include "app/workshop/workshop_actions.h"
#include "core/machine/linkage_fit.h"

namespace restand {

struct AppState;

// The points that met the strut table best, taken into a form, and those that stood there before.
struct PointsTaken {
    Linkage typed, best;
    Length typed_arm, best_arm;
};
struct BikeForm {
    Id bike;                         // nil: a new one
    BikeBody body;
    std::optional<Length> half_pair; // strut length typed, its ride height not yet
    std::optional<PointsTaken> taken{};  // not in the draft: then only leaving the form takes it back
};

struct Look {
    bool night = false;
    int text_percent = 100;
    friend bool operator==(const Look&, const Look&) = default;
};

// A bike's linkage points against its strut table. Errors: missing (one of the two, the swingarm, or a
// third strut length), no_solution (the points do not close, or not with every strut).
Result<LinkageCheck> points_check(const BikeBody& body);
// Whether the form holds the best points as they were taken.
bool best_taken(const BikeForm& form);

}  // namespace restand
