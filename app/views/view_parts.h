#pragma once
// What several views share: the page's title line, pictures of a bike as the ledger knows it, rows of
// readings.

#include <initializer_list>

#include "app/app_state.h"
#include "app/views/bike_drawing.h"
#include "app/views/page_view.h"

namespace restand {

// A page with title line, look and notice; with the pad when one is open.
PageView blank_page(const AppState& state, std::string title);
PadView pad_view(const AppState& state);

// Known canonical values of one end before the swap: the newest baseline's, overlaid by its readings.
std::map<Point, double> known_before(const AppState& state, const Swap& swap, End end);
// Canonical numbers of one end of a set-up, without names.
std::map<Point, double> numbers_of(const SetUp& setup, End end);
PictureInput picture_of(const BikeBody& bike, End end, Scene scene, std::map<Point, double> known);
Drawing drawing_of(const BikePicture& picture);   // strokes, joints and frame; tags are the view's

// A tag at its place, an empty box; and what a reading puts into it.
Tag tag_at(std::string id, std::string label, const Anchor& anchor);
void put_value(Tag& tag, const Reading& reading);
// The whole bike with a set-up's main numbers; `was`: another one as its ghost. A height that a setting has
// moved since it was read is where it is expected.
void draw_setup(const Bike& bike, const SetUp& setup, PageView& page, const SetUp* was = nullptr);
// The same of a baseline, in the baseline's ink, with its day.
void draw_baseline(const AppState& state, const Bike& bike, const Baseline& baseline, PageView& page);
// The numbers of a set-up, rear and front side by side; a tap says who read it, when and with what.
PageTable setup_table(const AppState& state, const std::map<Place, StoredReading>& values);
// What differs from the newest baseline, and everything else that is set or stands.
PageTable changed_table(const AppState& state, const SetUp& now, const Baseline* baseline);

// Of each end whose coils touch before full travel as it is set.
std::vector<std::string> coil_warnings(const AppState& state, const SetUp& setup);
void coil_warning_rows(const AppState& state, const SetUp& setup, std::vector<Row>& rows);

// Sorts the lines as the person chose, and lets a tap on the name of one of these columns choose.
void sort_lines(const AppState& state, PageTable& table, std::initializer_list<std::size_t> columns);

// Step of a setting and the labels of its two keys. Empty if the value is typed instead.
struct SettingStep {
    double by;                     // canonical, of the key on the right
    std::string less, more;
};
std::optional<SettingStep> setting_step(const SetUp& setup, End end, Point point);

// Readings are taken in groups, each at one place; a group has a heading in the side panel and a
// scene in the drawing.
enum class Group { heights, position, chain, dampers, linkage, unit, spring, load, inside };
Group group_of(Point point);
Scene scene_of(Group group);
std::string group_name(Group group, End end);
// How its slack is read: "wheel hanging", "on the stand".
std::string read_how(const ChainNow& chain);
std::string field_id(const Field& field);     // "before:rear:eye_to_eye", "bike:rake", "person"

// The row that opens the field: neither marked nor with a unit.
row::ReadingRow form_row(const AppState& state, const Field& field, std::string label, std::string value,
                         bool optional = true);

// "±0.1" at 95 %, in the unit it was read in.
std::string plus_minus(const Reading& reading);
std::string who_and_when(const AppState& state, const Id& by, std::int64_t at_ms);
// A button that asks for confirmation, because Undo cannot revert its action. Its 'yes' has the id + ":yes".
struct Question { std::string text, yes, no; };
void asking(const AppState& state, std::vector<Row>& rows, row::Button button, Question question);
Primary no_way(std::string label, std::string why_not);

// Parts on the shelf that this swap can use.
void shelf_rows(const AppState& state, const Swap& swap, std::vector<Row>& rows);
// Side panels of the swap steps without readings; for the other steps, the rows below the readings.
void answer_panel(const AppState& state, const Bike& bike, SolvedSwap& solved, PageView& page);
// That the parts do not fit, and why; nothing where they do, or where there is no answer.
void refusal_rows(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows);
void correction_rows(const AppState& state, const Swap& swap, const EndSolution& end, PageView& page);
void set_prediction(const AppState& state, const SolvedSwap& solved, PageView& page);
void check_panel(const AppState& state, const Bike& bike, const SolvedSwap& solved, PageView& page);
void keep_panel(const AppState& state, const Bike& bike, const SolvedSwap& solved, PageView& page);

}  // namespace restand
