// Rows for tried settings and for missing inputs.

#include "app/trial/chassis_parts.h"

#include <algorithm>

#include "app/season/change_view.h"
#include "app/views/point_wording.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"

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
            return wording::label(point);
    }
}

bool is_tried(const AppState& state, End end, Point point) {
    const auto& tried = state.trial.tried;
    return std::any_of(tried.begin(), tried.end(),
                       [&](const SetValue& v) { return v.end == end && v.reading.point == point; });
}

void also_tried_rows(const AppState& state, Adjusters shown, std::vector<Row>& rows) {
    for (const SetValue& v : state.trial.tried)
        if (std::find(shown.begin(), shown.end(), std::pair(v.end, v.reading.point)) == shown.end())
            rows.push_back(
                row::Note{"Tried besides, on another page: " + adjuster_label(v.end, v.reading.point) + " " +
                              wording::reading(v.reading) + ".",
                          Ink::now, true});
}

Row adjuster_row(const AppState& state, const SetUp& setup, End end, Point point) {
    const Field field{.of = Field::Of::tried, .point = point, .end = end};
    const StoredReading* stored = setup.stored(end, point);
    const auto step = stored ? setting_step(setup, end, point) : std::nullopt;
    const std::string label = adjuster_label(end, point) + (is_tried(state, end, point) ? " · tried" : "");
    const Unit unit = stored ? stored->reading.repeats.back().unit : Unit::mm;
    if (!step) {
        row::ReadingRow row = form_row(state, field, label, stored ? wording::shown(stored->reading) : "");
        if (stored) row.unit = symbol(unit);
        return row;
    }
    return row::Stepper{.id = field_id(field),
                        .label = label,
                        .value = wording::shown(stored->reading),
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
        Action give = act::EditBike{bike.id};
        for (const BikeFieldFacts& f : bike_fields())
            if (f.key == error.subject) {
                label = std::string(f.label);
                give = act::OpenTag{{.of = Field::Of::bike, .bike = f.field}};
            }
        if (error.subject == "front_sprocket") label = "where the front sprocket sits";
        if (error.subject == "linkage") label = "its linkage";
        rows.push_back(row::Note{"Missing of the bike's own numbers: " + label + ".", Ink::now, true});
        rows.push_back(row::Button{"numbers", "Give it", "", std::move(give)});
        return;
    }
    rows.push_back(row::Note{wording::sentence(error), Ink::now, true});
    rows.push_back(row::Button{"change", "Write down how it is set", "", act::StartChange{bike.id}});
}

}  // namespace restand
