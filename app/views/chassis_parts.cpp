// Rows of settings that are tried, and of what is missing.

#include "app/views/chassis_parts.h"

#include <algorithm>

#include "app/bike_fields.h"
#include "app/views/words.h"

namespace restand {

std::string adjuster_label(End end, Point point) {
    switch (point) {
        case Point::eye_to_eye:
            return "shock, eye to eye";
        case Point::spring_installed_length:
            return end == End::rear ? "shock spring, installed" : "fork spring, installed";
        case Point::tyre:
            return end == End::rear ? "rear tyre, by its marking" : "front tyre, by its marking";
        default:
            return words::label(point);
    }
}

bool is_tried(const Desk& desk, End end, Point point) {
    const auto& tried = desk.season.tried;
    return std::any_of(tried.begin(), tried.end(),
                       [&](const SetValue& v) { return v.end == end && v.reading.point == point; });
}

Row adjuster_row(const Desk& desk, const SetUp& setup, End end, Point point) {
    const Field field{.of = Field::Of::tried, .point = point, .end = end};
    const Take* take = setup.take(end, point);
    const auto step = take ? setting_step(setup, end, point) : std::nullopt;
    const std::string label = adjuster_label(end, point) + (is_tried(desk, end, point) ? " · tried" : "");
    const Unit unit = take ? take->reading.repeats.back().unit : Unit::mm;
    if (!step)
        return row::ReadingRow{.id = "row:" + field_id(field),
                               .mark = row::Mark::none,
                               .label = label,
                               .value = take ? words::shown(take->reading) : "",
                               .unit = take ? std::string(symbol(unit)) : "",
                               .plus_minus = {},
                               .open = desk.pad && desk.pad->field == field,
                               .optional = true,
                               .tap = act::OpenTag{field}};
    return row::Stepper{.id = field_id(field),
                        .label = label,
                        .value = words::shown(take->reading),
                        .unit = std::string(symbol(unit)),
                        .less = step->less,
                        .more = step->more,
                        .tap_less = act::Try{end, point, -step->by},
                        .tap_more = act::Try{end, point, step->by},
                        .tap_value = act::OpenTag{field},
                        .saving = false};
}

void missing_rows(const Bike& bike, const Error& error, std::vector<Row>& rows) {
    if (error.detail == "bike") {
        std::string label = error.subject;
        for (const BikeFieldFacts& f : bike_fields())
            if (f.key == error.subject) label = std::string(f.label);
        if (error.subject == "front_sprocket") label = "where the front sprocket sits";
        if (error.subject == "linkage") label = "its linkage";
        rows.push_back(row::Note{"Missing of the bike's own numbers: " + label + ".", Ink::now, true});
        rows.push_back(row::Button{"numbers", "Give its numbers", "", act::EditBike{bike.id}});
        return;
    }
    rows.push_back(row::Note{words::sentence(error), Ink::now, true});
    rows.push_back(row::Button{"change", "Write down how it is set", "", act::StartChange{bike.id}});
}

}  // namespace restand
