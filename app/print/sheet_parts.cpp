#include "app/print/sheet_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "app/views/point_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"

namespace restand::paper {
namespace {

// What one looks for on the bike. Further values are in the tables only: a page holds no more tags than can
// be told apart from an arm's length away.
constexpr std::array rear_points{Point::ride_height_static, Point::ride_height_rider,
                                 Point::eye_to_eye,         Point::spring_installed_length,
                                 Point::chain_slack,        Point::axle_position,
                                 Point::tyre_pressure_cold};
constexpr std::array front_points{Point::fork_position, Point::ride_height_static, Point::ride_height_rider,
                                  Point::spring_installed_length, Point::tyre_pressure_cold};

std::string tag_label(Point point) {
    return point == Point::tyre_pressure_cold ? "tyre, cold" : wording::label(point);
}

BikePicture whole(const BikeBody& bike, End end, const std::map<Place, StoredReading>& values) {
    std::map<Point, double> known;
    for (const auto& [place, stored] : values)
        if (place.first == end && !is_text(place.second) && !stored.reading.repeats.empty())
            known[place.second] = measured(stored.reading).value;
    return picture(picture_of(bike, end, Scene::whole, std::move(known)));
}

PaperSpot spot(Vec2 v) {
    return {v.x, v.y};
}

// Crop to the drawn lines, without the margin used on the screen.
void frame(SheetPage& page) {
    PaperSpot low{1e9, 1e9}, high{-1e9, -1e9};
    const auto cover = [&](PaperSpot p) {
        low = {std::min(low.x, p.x), std::min(low.y, p.y)};
        high = {std::max(high.x, p.x), std::max(high.y, p.y)};
    };
    for (const PaperLine& line : page.drawing)
        for (const PaperSpot& p : line.points) cover(p);
    for (const PaperTag& tag : page.tags) cover(tag.at), tag.other ? cover(*tag.other) : void();
    page.low = {low.x - 10, low.y - 10};
    page.high = {high.x + 10, high.y + 10};
}

}  // namespace

PaperLine::Pen pen_of(Line line) {
    switch (line) {
        case Line::wide:
            return PaperLine::Pen::wide;
        case Line::narrow:
            return PaperLine::Pen::narrow;
        case Line::hidden:
            return PaperLine::Pen::hidden;
        case Line::axis:
            return PaperLine::Pen::axis;
        case Line::ghost:
            return PaperLine::Pen::ghost;
    }
    return PaperLine::Pen::narrow;
}

std::vector<std::string> value_line(std::string label, const Reading& reading) {
    if (is_text(reading.point)) return {std::move(label), wording::shown(reading)};
    return {std::move(label), wording::shown(reading), std::string(symbol(reading.repeats.back().unit)),
            plus_minus(reading)};
}

void draw_bike(const BikeBody& bike, const std::map<Place, StoredReading>& values, SheetPage& page) {
    for (const End end : {End::rear, End::front}) {
        const BikePicture pic = whole(bike, end, values);
        if (end == End::rear)
            for (const Stroke& s : pic.strokes) {
                PaperLine line{{}, pen_of(s.line), s.closed, s.filled};
                for (const Vec2& p : s.points) line.points.push_back(spot(p));
                page.drawing.push_back(std::move(line));
            }
        const auto points = end == End::rear ? std::span<const Point>(rear_points) : front_points;
        for (const Point point : points) {
            const auto stored = values.find({end, point});
            const auto anchor = pic.anchors.find(point);
            if (stored == values.end() || stored->second.reading.repeats.empty() ||
                anchor == pic.anchors.end())
                continue;
            PaperTag tag{spot(anchor->second.a),
                         {},
                         anchor->second.offset,
                         tag_label(point),
                         wording::reading(stored->second.reading)};
            if (anchor->second.b) tag.other = spot(*anchor->second.b);
            page.tags.push_back(std::move(tag));
        }
    }
    frame(page);
}

std::vector<std::string> cautions() {
    return {"Secure the bike on its stands before anything is loosened.",
            "Springs are under load: back the collar off first.",
            "A gas damper is opened or charged only by its maker or a specialist.",
            "Fasteners to the maker's manual, and again after the first run.",
            "This is arithmetic on your readings, not approval to ride."};
}

std::string person_name(const Ledger& ledger, const Id& id) {
    const Person* person = ledger.person(id);
    return person ? person->name : "nobody named";
}

std::string made(const std::string& what, const Id& id, std::int64_t now_ms, int utc_offset_min) {
    return fmt::format("{} {} · made {} {} · drawing partly schematic", what, to_text(id),
                       wording::day(now_ms, utc_offset_min),
                       wording::clock(now_ms, utc_offset_min).substr(0, 5));
}

}  // namespace restand::paper
