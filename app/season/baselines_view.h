#pragma once
// The baselines of a bike, newest first. One baseline opened: every number, who read it, when, and in which
// swap.

#include <map>
#include <string>
#include <vector>

#include "app/app_state.h"
#include "app/views/page_view.h"
#include "core/ledger/setup.h"

namespace restand {

PageView baselines_view(const AppState& state);
PageView baseline_view(const AppState& state);

// Canonical numbers of one end of a set-up, without names.
std::map<Point, double> numbers_of(const SetUp& setup, End end);
// The whole bike with a set-up's main numbers; `was`: another one as its ghost. A height that a setting has
// moved since it was read is where it is expected.
void draw_setup(const Bike& bike, const SetUp& setup, PageView& page, const SetUp* was = nullptr);
// The same of a baseline, in the baseline's ink, with its day.
// The end whose height or slack is read on the open pad, with that dimension and how to read it.
void draw_measured(const AppState& state, const Bike& bike, const SetUp& stands, PageView& page);
void draw_baseline(const AppState& state, const Bike& bike, const Baseline& baseline, PageView& page);
// The numbers of a set-up, rear and front side by side; a tap says who read it, when and with what.
PageTable setup_table(const AppState& state, const std::map<Place, StoredReading>& values);
// What differs from the newest baseline, and everything else that is set or stands.
PageTable changed_table(const AppState& state, const SetUp& now, const Baseline* baseline);

// Of each end whose coils touch before full travel as it is set.
std::vector<std::string> coil_warnings(const AppState& state, const SetUp& setup);
void coil_warning_rows(const AppState& state, const SetUp& setup, std::vector<Row>& rows);

}  // namespace restand
