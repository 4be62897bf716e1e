#pragma once
// What the sheets share: pens, the bike's picture with its tags, rows of values, cautions.

#include "app/print/sheet_of.h"
#include "app/views/bike_drawing.h"

namespace restand::paper {

PaperLine::Pen pen_of(Line line);
// Cells of one reading: label, value, unit, ±.
std::vector<std::string> value_line(std::string label, const Reading& reading);
// The whole bike, with tags for those of its main points that have a value.
void draw_bike(const BikeBody& bike, const std::map<Place, StoredReading>& values, SheetPage& page);

std::vector<std::string> cautions();
std::string person_name(const Ledger& ledger, const Id& id);
// The foot: "baseline 0197… · made 3 May 2026 14:32 · …"
std::string made(const std::string& what, const Id& id, std::int64_t now_ms, int utc_offset_min);

}  // namespace restand::paper
