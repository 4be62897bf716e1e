#pragma once
// Shared by attitude, travel and chain: rows for tried settings, and rows for inputs that a computation
// lacks.

#include <span>
#include <utility>

#include "app/views/view_parts.h"
#include "core/ledger/chassis.h"

namespace restand {

bool is_tried(const AppState& state, End end, Point point);
std::string adjuster_label(End end, Point point);
// A tried setting of the set-up: two step keys where it has steps, else it is typed.
Row adjuster_row(const AppState& state, const SetUp& setup, End end, Point point);
// What is tried besides and this page does not show: what sets the bike so would write it, too.
using Adjusters = std::span<const std::pair<End, Point>>;
void also_tried_rows(const AppState& state, Adjusters shown, std::vector<Row>& rows);
// Names the missing input in words, and leads to where it is entered.
void missing_rows(const Bike& bike, const Error& error, std::vector<Row>& rows);

// Plots one quantity over the travel, the tried set-up against the current one, as the page's drawing. Adds
// the row that selects the quantity.
void draw_travel(const AppState& state, const Bike& bike, PageView& page);
// Plots road speed over engine speed in each gear, in the same way.
void draw_gears(const AppState& state, const Bike& bike, PageView& page);

}  // namespace restand
