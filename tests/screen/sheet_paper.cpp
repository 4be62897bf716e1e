// The printed sheet, checked with another program than the one that made it: poppler-utils report its size,
// extract its text and rasterise it. Sizes: ISO 216 (A4), ANSI/ASME Y14.1 (Letter, A size).

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <regex>
#include <sstream>

#include "app/print/sheet_of.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "demo/season.h"
#include "tests/store/workshop.h"

using namespace restand;
using restand::test::got;

namespace {

constexpr std::int64_t made_ms = 1'790'000'000'000;  // 21 Sep 2026 14:13:20 UTC

std::string output_of(const std::string& command) {
    std::string text;
    FILE* pipe = popen((command + " 2>/dev/null").c_str(), "r");
    REQUIRE(pipe);
    std::array<char, 4096> block{};
    for (std::size_t n; (n = fread(block.data(), 1, block.size(), pipe)) > 0;) text.append(block.data(), n);
    REQUIRE_MESSAGE(pclose(pipe) == 0, command);
    return text;
}

std::string one_spaced(const std::string& text) {
    return std::regex_replace(text, std::regex(R"([\s\f]+)"), " ");
}

struct Printed {
    test::Folder folder;
    std::string file = folder("sheet.pdf");
    explicit Printed(const std::string& pdf) { std::ofstream(file, std::ios::binary) << pdf; }

    std::string info() const { return output_of("pdfinfo '" + file + "'"); }
    // Text in the order in which it was written: cell by cell.
    std::string text() const { return one_spaced(output_of("pdftotext -raw -enc UTF-8 '" + file + "' -")); }

    struct Word {
        double x0, y0, x1, y1;
        std::string text;
    };
    std::vector<Word> words() const {
        const std::string html = output_of("pdftotext -bbox '" + file + "' -");
        const std::regex word(
            R"re(<word xMin="([^"]+)" yMin="([^"]+)" xMax="([^"]+)" yMax="([^"]+)">([^<]*)</word>)re");
        std::vector<Word> all;
        for (std::sregex_iterator it(html.begin(), html.end(), word), end; it != end; ++it)
            all.push_back({std::stod((*it)[1]), std::stod((*it)[2]), std::stod((*it)[3]), std::stod((*it)[4]),
                           (*it)[5]});
        return all;
    }

    // White margins in mm: left, top, right, bottom.
    std::array<double, 4> white() const {
        constexpr double dpi = 127, mm = 25.4 / dpi;  // five dots a millimetre
        const std::string pgm = output_of("pdftoppm -gray -r 127 -singlefile '" + file + "'");
        std::istringstream in(pgm);
        std::string magic;
        std::size_t width = 0, height = 0, most = 0;
        in >> magic >> width >> height >> most;
        REQUIRE(magic == "P5");
        const std::size_t start = pgm.size() - width * height;
        std::size_t x0 = width, x1 = 0, y0 = height, y1 = 0;
        for (std::size_t y = 0; y < height; ++y)
            for (std::size_t x = 0; x < width; ++x) {
                if (static_cast<unsigned char>(pgm[start + y * width + x]) > 230) continue;
                x0 = std::min(x0, x), x1 = std::max(x1, x), y0 = std::min(y0, y), y1 = std::max(y1, y);
            }
        const auto left = [&](std::size_t n) { return static_cast<double>(n) * mm; };
        return {left(x0), left(y0), left(width - 1 - x1), left(height - 1 - y1)};
    }
};

Ledger demo() {
    const test::Folder folder;
    const std::string path = folder("demo.restand");
    got(make_demo(path));
    return test::ledger_of(got(test::open(path, Store::Mode::read).all()));
}
const Ledger& season() {
    static const Ledger made = demo();
    return made;
}

std::vector<const Baseline*> baselines(const Ledger& ledger) {
    std::vector<const Baseline*> all;
    for (const Bike* bike : ledger.bikes(true))
        for (const Baseline* b : ledger.baselines(bike->id)) all.push_back(b);
    return all;
}

// A reading as it appears in a table's row: value, unit, ±.
std::string row_of(const Reading& r) {
    std::string text = wording::shown(r);
    if (is_text(r.point)) return text;
    for (const std::string& more : {std::string(symbol(r.repeats.back().unit)), plus_minus(r)})
        if (!more.empty()) text += " " + more;
    return text;
}

// Values of the baseline missing on the page, each as often as the baseline has it.
std::vector<std::string> not_found(const std::string& text, const Baseline& baseline) {
    std::map<std::string, int> wanted;
    for (const BaselineValue& v : baseline.body.values) ++wanted[row_of(v.stored.reading)];
    std::vector<std::string> missing;
    for (const auto& [row, times] : wanted) {
        int seen = 0;
        const std::string in = " " + text + " ", what = " " + row + " ";
        for (std::size_t at = 0; (at = in.find(what, at)) != std::string::npos; ++at) ++seen;
        if (seen < times) missing.push_back(row);
    }
    return missing;
}

void check_page(const Printed& printed, Paper paper) {
    const std::string info = printed.info();
    CHECK(std::regex_search(info, std::regex("Pages: +1\n")));
    const char* size = paper == Paper::a4 ? "595.276 x 841.89 pts" : "612 x 792 pts";
    CHECK_MESSAGE(info.find(size) != std::string::npos, info);
    // 12 mm, less the one dot that smoothing may grey.
    for (const double margin : printed.white()) CHECK(margin > 12 - 0.201);
}

// No two words overlap. A word's box reaches from the font's ascent to its descent; half of it is empty.
void check_apart(const Printed& printed) {
    const auto words = printed.words();
    CHECK(words.size() > 20);
    for (std::size_t i = 0; i < words.size(); ++i)
        for (std::size_t j = i + 1; j < words.size(); ++j) {
            const auto &a = words[i], &b = words[j];
            const double over_x = std::min(a.x1, b.x1) - std::max(a.x0, b.x0);
            const double over_y = std::min(a.y1, b.y1) - std::max(a.y0, b.y0);
            const double low = std::min(a.y1 - a.y0, b.y1 - b.y0);
            if (over_x > 0.3 && over_y > 0.3 * low) FAIL_CHECK(a.text << " lies on " << b.text);
        }
}

StoredReading stored_of(Point point, const std::string& text, Unit unit) {
    StoredReading stored;
    stored.reading = {point, {{text, unit}}, usual_instrument(point), ""};
    return stored;
}

PlanAction action(Doing doing, End end, Point point, std::optional<Typed> to,
                  std::optional<StoredReading> from) {
    PlanAction a{};
    a.key = std::string(key(doing)) + ":" + std::string(facts(point).key);
    a.doing = doing;
    a.end = end;
    a.point = point;
    a.from = std::move(from);
    a.to = std::move(to);
    return a;
}

}  // namespace

TEST_CASE("sheet: every baseline of the demo prints on one page with every number of the ledger on it") {
    const auto all = baselines(season());
    CHECK(all.size() >= 12);
    for (const Baseline* baseline : all)
        for (const Paper paper : {Paper::a4, Paper::letter}) {
            CAPTURE(to_text(baseline->id));
            const SheetPage page = sheet_of_baseline(season(), *baseline, made_ms, 120);
            const Printed printed(got(print(page, paper)));
            check_page(printed, paper);
            check_apart(printed);
            const std::string text = printed.text();
            for (const std::string& row : not_found(text, *baseline)) FAIL_CHECK("not on the page: " << row);
            CHECK(page.cautions.size() >= 4);
            for (const std::string& caution : page.cautions) CHECK(text.find(caution) != std::string::npos);
            CHECK(text.find(season().bike(baseline->bike)->body.name) != std::string::npos);
            CHECK(text.find(one_spaced(baseline->body.reason)) != std::string::npos);
            CHECK(text.find(season().person(baseline->by)->name) != std::string::npos);
            CHECK(text.find(to_text(baseline->id)) != std::string::npos);
            CHECK(text.find("21 Sep 2026 16:13") != std::string::npos);  // at the workshop's own UTC offset
        }
}

TEST_CASE("sheet: a number that the page does not hold is noticed") {
    Baseline other = *baselines(season()).front();
    const std::string text =
        Printed(got(print(sheet_of_baseline(season(), other, made_ms, 0), Paper::a4))).text();
    CHECK(not_found(text, other).empty());
    for (BaselineValue& v : other.body.values)
        if (v.stored.reading.point == Point::eye_to_eye) v.stored.reading.repeats = {{"308.1", Unit::mm}};
    CHECK(not_found(text, other).size() == 1);
}

TEST_CASE("sheet: the drawing shows the settings at their places, tags in columns beside the bike") {
    const Baseline& baseline = *baselines(season()).front();
    const SheetPage page = sheet_of_baseline(season(), baseline, made_ms, 0);
    CHECK(page.tags.size() >= 10);
    CHECK(page.drawing.size() > 30);
    for (const PaperTag& tag : page.tags) {
        CHECK(!tag.value.empty());
        for (const PaperSpot& p : {tag.at, tag.other.value_or(tag.at)}) {
            CHECK(p.x >= page.low.x);
            CHECK(p.x <= page.high.x);
            CHECK(p.y >= page.low.y);
            CHECK(p.y <= page.high.y);
        }
    }
    // Each tag's number appears once beside the drawing and once in its table.
    const Printed printed(got(print(page, Paper::a4)));
    const auto words = printed.words();
    for (const PaperTag& tag : page.tags) {
        const std::string number = tag.value.substr(0, tag.value.find(' '));
        CAPTURE(number);
        CHECK(std::count_if(words.begin(), words.end(), [&](const auto& w) { return w.text == number; }) >=
              2);
    }
}

TEST_CASE("sheet: the same page gives the same bytes, at another time only another date") {
    const Baseline& baseline = *baselines(season()).front();
    const SheetPage page = sheet_of_baseline(season(), baseline, made_ms, 0);
    const std::string pdf = got(print(page, Paper::a4));
    CHECK(pdf == got(print(page, Paper::a4)));
    CHECK(pdf.starts_with("%PDF-1."));
    CHECK(pdf != got(print(sheet_of_baseline(season(), baseline, made_ms + 60'000, 0), Paper::a4)));
    CHECK(output_of("pdfinfo -isodates '" + Printed(pdf).file + "'").find("2026-09-21T14:13:20Z") !=
          std::string::npos);
}

TEST_CASE("sheet: its fonts are in it") {
    const Printed printed(
        got(print(sheet_of_baseline(season(), *baselines(season()).front(), 0, 0), Paper::a4)));
    const std::string fonts = output_of("pdffonts '" + printed.file + "'");
    int embedded = 0;
    std::istringstream lines(fonts);
    for (std::string line; std::getline(lines, line);)
        if (line.find("B612") != std::string::npos) {
            // name type encoding emb sub uni: embedded, a subset, with a map to Unicode
            CHECK(std::regex_search(line, std::regex("yes +yes +yes")));
            ++embedded;
        }
    CHECK(embedded >= 2);
}

TEST_CASE("sheet: the way back lists what to do with direction and turns in words, then what to measure") {
    const Bike& bike = *season().bike(baselines(season()).front()->bike);
    const SetUp target = setup_of(*baselines(season()).front());
    PlanActions plan;
    const auto from = [](Point p, const char* text, Unit unit) { return stored_of(p, text, unit); };
    plan.actions.push_back(action(Doing::fit, End::rear, Point::chain_links, Typed{"110", Unit::one},
                                  from(Point::chain_links, "112", Unit::one)));
    plan.actions.back().links = -2;
    plan.actions.push_back(action(Doing::set_preload, End::rear, Point::spring_installed_length,
                                  Typed{"147.1", Unit::mm},
                                  from(Point::spring_installed_length, "149.3", Unit::mm)));
    plan.actions.back().turns = 1.5;
    plan.actions.push_back(action(Doing::set_position, End::front, Point::fork_position,
                                  Typed{"8.0", Unit::mm}, from(Point::fork_position, "9.5", Unit::mm)));
    plan.actions.push_back(action(Doing::set_clicks, End::front, Point::clicks_rebound_low,
                                  Typed{"14", Unit::click},
                                  from(Point::clicks_rebound_low, "12", Unit::click)));
    plan.actions.back().clicks = 2;
    plan.actions.push_back(action(Doing::measure, End::rear, Point::ride_height_rider, {}, {}));
    plan.actions.back().expect = 453.4;

    const SheetPage page = sheet_of_plan(season(), bike, plan, target, target, made_ms, 0);
    const Printed printed(got(print(page, Paper::a4)));
    check_page(printed, Paper::a4);
    check_apart(printed);
    const std::string text = printed.text();
    for (const char* row :
         {"1 Chain links 2 links out 110 112", "2 Rear: spring collar 1½ turns in 147.1 mm 149.3 mm",
          "3 Front: fork position tubes down 1.5 mm 8.0 mm 9.5 mm",
          "4 Front: rebound, low speed 2 clicks out 14 clicks 12 clicks",
          "Rear: ride height, rider 453.4 mm"})
        CHECK_MESSAGE(text.find(row) != std::string::npos, row << " in " << text);
    for (const std::string& caution : page.cautions) CHECK(text.find(caution) != std::string::npos);
}

TEST_CASE("sheet: a slack that a setting has moved stands on the way back's sheet as it is expected") {
    const auto bikes = season().bikes();
    const auto bike =
        std::find_if(bikes.begin(), bikes.end(), [](const Bike* b) { return b->body.name == "No. 27"; });
    REQUIRE(bike != bikes.end());
    SetUp target = setup_of(*season().newest_baseline((*bike)->id)), now = target;
    now.before_change();
    const double axle = *now.number(End::rear, Point::axle_position);
    now.values[{End::rear, Point::axle_position}].reading.repeats = {typed_as_shown(axle + 0.4, Unit::mm)};
    target.values[{End::rear, Point::chain_slack}].reading.repeats = {{"40", Unit::mm}};
    const SheetPage page =
        sheet_of_plan(season(), **bike, restore_plan((*bike)->body, now, target), now, target, made_ms, 0);
    const std::string text = Printed(got(print(page, Paper::a4))).text();
    CHECK_MESSAGE(text.find("Chain slack set 40 mm ≈ ") != std::string::npos, text);
}

TEST_CASE("sheet: a way back that does not hold says what is in the way") {
    const Bike& bike = *season().bike(baselines(season()).front()->bike);
    const SetUp target = setup_of(*baselines(season()).front());
    PlanActions plan;
    plan.held = false;
    plan.limits.push_back({{LimitCode::length_adjuster_bound, mm(1.4), mm(314)}, End::rear});
    const std::string text =
        Printed(got(print(sheet_of_plan(season(), bike, plan, target, target, made_ms, 0), Paper::letter)))
            .text();
    CHECK(text.find("cannot stand quite as then") != std::string::npos);
    CHECK(text.find("Rear: The length adjuster ends at 314.0 mm") != std::string::npos);
    CHECK(text.find("1.4 mm") != std::string::npos);
}

TEST_CASE("sheet: the fullest entry there can be prints, or says which table does not fit") {
    Baseline full = *baselines(season()).front();
    std::string name = "a name that somebody typed on a cold morning with gloves on and wanted complete";
    name.resize(80, '.');
    full.body.reason = name;
    full.body.values.clear();
    for (const End end : {End::rear, End::front})
        for (const PointFacts& point : all_points()) {
            StoredReading stored = point.dimension == Dimension::text
                                       ? stored_of(point.point, name, Unit::one)
                                       : stored_of(point.point, "1234.567", chosen({}, point.dimension));
            stored.reading.where = name.substr(0, 60) + std::to_string(full.body.values.size() / 7);
            full.body.values.push_back({end, stored});
        }
    CHECK(full.body.values.size() >= 60);
    for (const Paper paper : {Paper::a4, Paper::letter}) {
        const auto pdf = print(sheet_of_baseline(season(), full, made_ms, 0), paper);
        if (pdf) {
            const Printed printed(*pdf);
            check_page(printed, paper);
            check_apart(printed);
            CHECK(not_found(printed.text(), full).empty());
        } else {
            CHECK(pdf.error().code == ErrorCode::too_large);
            CHECK(!pdf.error().subject.empty());
        }
    }
}

TEST_CASE("sheet: sixty values with names of eighty bytes") {
    SheetPage page;
    page.title = std::string(80, 'W');
    page.tables.push_back({"Values", {"", "value", "", "±"}, {}, true, false});
    for (int i = 0; i < 60; ++i)
        page.tables.back().lines.push_back(
            {"reading " + std::to_string(i), std::to_string(100 + i), "mm", "±0.1"});
    page.tables.push_back({"Parts", {"", ""}, {{"part", std::string(80, 'M')}}, true, false});
    const Printed printed(got(print(page, Paper::letter)));
    check_page(printed, Paper::letter);
    check_apart(printed);
    const std::string text = printed.text();
    for (int i = 0; i < 60; ++i)
        CHECK(text.find("reading " + std::to_string(i) + " " + std::to_string(100 + i) + " mm ±0.1") !=
              std::string::npos);
}

TEST_CASE("sheet: what does not fit one page is refused, the table named") {
    SheetPage page;
    page.title = "Too much";
    page.tables.push_back({"Short", {}, {{"one", "1"}}, false, false});
    page.tables.push_back({"Endless", {}, {}, true, false});
    for (int i = 0; i < 300; ++i) page.tables.back().lines.push_back({"line", std::to_string(i)});
    const auto pdf = print(page, Paper::a4);
    REQUIRE(!pdf);
    CHECK(pdf.error() == Error{ErrorCode::too_large, "Endless", "one page"});

    // The same for a page of text alone.
    SheetPage words;
    for (int i = 0; i < 90; ++i) words.cautions.push_back("mind this");
    CHECK(!print(words, Paper::a4));
}

TEST_CASE("sheet: any bytes may stand in a name, and an empty page is a page") {
    SheetPage page;
    page.title = "bad \xff\xc0\xaf \xed\xa0\x80 end\n\t\x01 <&> %s \\(";
    page.subtitle = "Zoë · № 1½ ✓ Привет 東京";
    page.tables.push_back({"\x80", {"\xf5"}, {{"a\0b", "\xe2\x82"}, {}, {""}}, true, true});
    page.tags.push_back({{0, 0}, PaperSpot{0, 0}, 10, "\xff", ""});
    page.drawing.push_back({{{0, 0}}, PaperLine::Pen::axis, true, true});
    const Printed printed(got(print(page, Paper::a4)));
    check_page(printed, Paper::a4);
    const std::string text = printed.text();
    CHECK(text.find("<&> %s \\(") != std::string::npos);
    CHECK(text.find("Zoë · № 1½ ✓") != std::string::npos);
    CHECK(std::regex_search(Printed(got(print({}, Paper::letter))).info(), std::regex("Pages: +1\n")));
}
