#pragma once
// The numbers of a bike's description that a user can enter, as one table. To add one, add a line to
// bike_fields.cpp.

#include <optional>
#include <span>
#include <string_view>

#include "app/pad/field.h"
#include "core/ledger/body.h"

namespace restand {

enum class BikeGroup { whole, strut, chain, linkage, gearbox };   // section of the form
struct BikeFieldFacts {
    BikeField field;
    BikeGroup group;
    std::string_view key;        // in ids: "swingarm"
    std::string_view label;      // on the screen
    std::string_view guide;      // how it is measured
    Dimension dimension;
    double min, max;             // canonical, allowed range
    bool needed;                 // needed for a first answer
};
std::span<const BikeFieldFacts> bike_fields();
const BikeFieldFacts& facts(BikeField field);

bool belongs(const BikeBody& bike, BikeField field);   // false: another linkage, two gears above the last
int decimals(BikeField field, Unit unit);                   // as shown and edited
std::optional<double> number(const BikeBody& bike, BikeField field);       // canonical
void set_number(BikeBody& bike, BikeField field, std::optional<double> canonical);

}  // namespace restand
