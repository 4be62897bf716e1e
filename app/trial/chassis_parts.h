#pragma once
// What attitude, travel and chain share: settings that are tried, and what must be known before any of it can be
// computed.

#include "app/views/view_parts.h"
#include "core/ledger/chassis.h"

namespace restand {

bool is_tried(const AppState& state, End end, Point point);
std::string adjuster_label(End end, Point point);
// A setting of the set-up that is tried: a key on each side where it has steps, else it is typed.
Row adjuster_row(const AppState& state, const SetUp& setup, End end, Point point);
// What must be known first, in words, with the way to it.
void missing_rows(const Bike& bike, const Error& error, std::vector<Row>& rows);

// One quantity over the travel as the sheet's drawing, the tried set-up against the one as it is; and the row that
// chooses which.
void draw_travel(const AppState& state, const Bike& bike, PageView& page);
// Road speed and engine speed in each gear, the same way.
void draw_gears(const AppState& state, const Bike& bike, PageView& page);

}  // namespace restand
