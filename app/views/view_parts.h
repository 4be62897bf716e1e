#pragma once
// What several views share: the page's title line, pictures of a bike as the ledger knows it, rows of
// readings.

#include "app/app_state.h"
#include "app/views/bike_drawing.h"
#include "app/views/page_view.h"

namespace restand {

// A page with title line, look and notice; with the pad when one is open.
PageView blank_page(const AppState& state, std::string title);

// Known canonical values of one end before the swap: the newest baseline's, overlaid by its readings.
std::map<Point, double> known_before(const AppState& state, const Swap& swap, End end);
PictureInput picture_of(const BikeBody& bike, End end, Scene scene, std::map<Point, double> known);
Drawing drawing_of(const BikePicture& picture);   // strokes, joints and frame; tags are the view's

// A tag at its place, an empty box; and what a reading puts into it.
Tag tag_at(std::string id, std::string label, const Anchor& anchor);
void put_value(Tag& tag, const Reading& reading);

// Readings are taken in groups, each at one place; a group has a heading in the side panel and a
// scene in the drawing.
enum class Group { heights, position, chain, dampers, linkage, unit, spring, load, inside };
Group group_of(Point point);
Scene scene_of(Group group);
std::string group_name(Group group, End end);
// How its slack is read: "wheel hanging", "on the stand".
std::string read_how(const ChainNow& chain);
// That it is too short, by how much, and what to do; nothing where it has slack all over the travel.
void short_chain_row(const ChainNow& chain, const UnitChoice& units, std::vector<Row>& rows);
std::string field_id(const Field& field);     // "before:rear:eye_to_eye", "bike:rake", "person"

// The row that opens the field: neither marked nor with a unit.
row::ReadingRow form_row(const AppState& state, const Field& field, std::string label, std::string value,
                         bool optional = true);

// "±0.1" at 95 %, in the unit it was read in.
std::string plus_minus(const Reading& reading);
std::string name_of(const AppState& state, const Id& person);   // "" for nobody
std::string who_and_when(const AppState& state, const Id& by, std::int64_t at_ms);
// A button that asks for confirmation, because Undo cannot revert its action. Its 'yes' has the id + ":yes".
struct Question { std::string text, yes, no; };
void asking(const AppState& state, std::vector<Row>& rows, row::Button button, Question question);
Primary no_way(std::string label, std::string why_not);

}  // namespace restand
