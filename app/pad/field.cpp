// The kind of value a field holds.

#include "app/pad/field.h"

#include "app/workshop/bike_fields.h"

namespace restand {

bool is_text(const Field& field) {
    return field.of == Field::Of::where || dimension_of(field) == Dimension::text;
}

Dimension dimension_of(const Field& field) {
    switch (field.of) {
        case Field::Of::reading:
        case Field::Of::change:
        case Field::Of::tried:
        case Field::Of::plan:
        case Field::Of::shelf:
            return facts(field.point).dimension;
        case Field::Of::bike:
            return facts(field.bike).dimension;
        case Field::Of::event:
            return field.event >= EventField::distance ? Dimension::ratio : Dimension::text;
        case Field::Of::part:
            return field.part == PartField::name ? Dimension::text : Dimension::ratio;
        case Field::Of::job:
            return field.job >= JobField::planned ? Dimension::ratio : Dimension::text;
        case Field::Of::person:
        case Field::Of::reason:
        case Field::Of::where:
        case Field::Of::find:
        case Field::Of::device:
        case Field::Of::folder:
            return Dimension::text;
    }
    return Dimension::text;
}

bool is_reading(const Field& field) {
    return field.of == Field::Of::reading || field.of == Field::Of::change || field.of == Field::Of::plan ||
           field.of == Field::Of::tried || field.of == Field::Of::shelf;
}

}  // namespace restand
