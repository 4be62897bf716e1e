// A page shows the whole of its thing: how much of each list is seen at once, on a tablet and elsewhere.

#include <algorithm>
#include <set>
#include <sstream>
#include <string>

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr Viewport tablet_upright{800, 1280, 5.87f}, small{1024, 600, 6.69f}, desktop{1920, 1080, 3.78f},
    fine{2000, 1200, 9.1f};
constexpr Viewport all_viewports[] = {tablet, tablet_upright, small, desktop, fine};

struct DemoOn : private WalkFolder, public Driver {
    explicit DemoOn(Viewport viewport) : Driver(viewport, demo()) { begin(*this); }
    const PageScreen& screen() { return session().app().screen(); }
    // How many targets of this kind are seen whole.
    std::size_t seen(const std::string& kind) {
        std::set<std::string> ids;
        for (const Drawn& d : screen().drawn()) {
            if (d.kind != Drawn::Kind::touch || !d.id.starts_with(kind)) continue;
            const Rect seen = d.area().both(d.clip());
            if (seen.h >= d.h - 1) ids.insert(d.id);
        }
        return ids.size();
    }
    // Texts that are seen, each as often as it is there.
    std::multiset<std::string> texts() {
        std::multiset<std::string> out;
        for (const Drawn& d : screen().drawn())
            if (d.kind == Drawn::Kind::text && d.area().both(d.clip()).h >= d.h - 1) out.insert(d.text);
        return out;
    }
    // One flick: by nearly the whole of what is seen of the list.
    void flick(float mm) {
        session().handle(PointerEvent{PointerEvent::Kind::cancel, 0, 0, false});
        session().handle(WheelEvent{0, -mm / 14});
        look();
    }
};

// Of the first cells of the table, how many are never seen in so many flicks.
std::size_t unseen_after(DemoOn& driver, int flicks, float mm) {
    REQUIRE(driver.page().table.has_value());
    std::multiset<std::string> left;
    for (const PageTable::Line& line : driver.page().table->lines)
        if (line.cells.size() > 1) left.insert(line.cells[0]);
    std::multiset<std::string> before;
    for (int i = 0;; ++i) {
        const auto now = driver.texts();
        // Only what was not on the screen before counts anew.
        for (const std::string& text : std::set<std::string>(now.begin(), now.end())) {
            const std::size_t fresh = std::max(now.count(text), before.count(text)) - before.count(text);
            // A name may be broken into lines: the first one is what counts.
            const auto is = [&text](const std::string& name) {
                return text.size() > 2 && name.starts_with(text);
            };
            for (std::size_t k = 0; k < fresh; ++k)
                if (const auto at = std::find_if(left.begin(), left.end(), is); at != left.end())
                    left.erase(at);
        }
        before = now;
        if (i == flicks) {
            for (const std::string& name : left) MESSAGE("not seen: " << name);
            return left.size();
        }
        driver.flick(mm);
    }
}

}  // namespace

TEST_CASE("whole page: the time line shows at least nine entries on a tablet, and as many as fit elsewhere") {
    // 7 inches, 90 mm high: half of them.
    for (const auto& [viewport, least] :
         {std::pair{tablet, 9u}, {tablet_upright, 14u}, {small, 4u}, {desktop, 20u}, {fine, 9u}}) {
        DemoOn driver(viewport);
        driver.tap("history");
        const int width = viewport.width_px;
        CAPTURE(width);
        CHECK(driver.seen("moment:") >= std::min<std::size_t>(least, driver.page().table->lines.size()));
    }
}

TEST_CASE("whole page: the bike's page shows every key, and every value that is set") {
    for (const Viewport& viewport : {tablet, tablet_upright, desktop, fine}) {
        DemoOn driver(viewport);
        CAPTURE(viewport.width_px);
        for (const Row& row : driver.page().panel.rows)
            if (const auto* button = std::get_if<row::Button>(&row)) {
                CAPTURE(button->id);
                const auto seen = driver.screen().rect_of(button->id);
                CHECK(seen.has_value());
            }
        REQUIRE(driver.page().table.has_value());
        const auto texts = driver.texts();
        for (const PageTable::Line& line : driver.page().table->lines) {
            CAPTURE(line.cells[0]);
            CHECK(texts.contains(line.cells[0]));
        }
    }
}

TEST_CASE("whole page: on seven inches under a finger, a bike's values are all seen within two flicks") {
    DemoOn driver(small);
    REQUIRE(driver.page().table.has_value());
    std::multiset<std::string> seen = driver.texts();
    for (int i = 0; i < 2; ++i) {
        using K = PointerEvent::Kind;
        driver.session().handle(PointerEvent{K::down, 200, 430, true});
        driver.session().handle(PointerEvent{K::move, 200, 150, true});
        driver.session().handle(PointerEvent{K::up, 200, 150, true});
        driver.look();
        seen.merge(driver.texts());
    }
    for (const PageTable::Line& line : driver.page().table->lines) {
        CAPTURE(line.cells[0]);
        CHECK(seen.contains(line.cells[0]));
    }
}

TEST_CASE(
    "whole page: compare and a baseline show everything with at most one flick, on seven inches with three") {
    for (const auto& [viewport, flicks] :
         {std::pair{tablet, 1}, {tablet_upright, 1}, {small, 3}, {desktop, 1}, {fine, 1}}) {
        const int width = viewport.width_px;
        CAPTURE(width);
        DemoOn driver(viewport);
        driver.tap("history");
        driver.tap("kind:1");
        driver.tap("moment:" + to_text(driver.state().season.moments.back().id));
        driver.tap("compare-now");
        CHECK(driver.page().table->lines.size() > 15);
        CHECK(unseen_after(driver, flicks, width == 1024 ? 48 : 74) == 0);
        go(driver, act::Go{Screen::baselines, driver.state().bike});
        CHECK(driver.seen("baseline:") >= (width == 1024 ? 2 : 5));
        driver.tap("primary");
        CHECK(driver.page().table->lines.size() > 25);
        CHECK(unseen_after(driver, flicks, width == 1024 ? 48 : 88) == 0);
    }
}

TEST_CASE(
    "whole page: lists fill the page on every screen, at every size of letters, and nothing is cut off") {
    for (const Viewport& viewport : all_viewports)
        for (const int percent : {80, 100, 150, 200}) {
            DemoOn driver(viewport);
            CAPTURE(viewport.width_px);
            CAPTURE(percent);
            go(driver, act::SetLook{percent == 150, percent});
            for (const Screen screen : {Screen::bike, Screen::history, Screen::baselines, Screen::trend,
                                        Screen::parts, Screen::settings, Screen::people, Screen::shelf,
                                        Screen::devices, Screen::jobs, Screen::ready, Screen::change}) {
                go(driver, act::Go{screen, driver.state().bike});
                driver.flick(40);
            }
            go(driver, act::Go{Screen::history, driver.state().bike});
            go(driver, act::FindKind{"baseline"});
            const Id first = driver.state().season.moments.front().id;
            go(driver, act::OpenMoment{first});
            go(driver, act::OpenBoth{first, {}});
            go(driver, act::EditBike{driver.state().bike});
        }
}

// A screen of 153 x 90 mm has no room for every size that is asserted elsewhere; what must be read has.
TEST_CASE(
    "small screen: with a pad open its guide is legible, and the words of a notice stand over its keys") {
    const WalkFolder folder;
    auto opened = Session::open(folder.demo(), small, {});
    REQUIRE(opened.has_value());
    Session& session = **opened;
    const auto draw = [&session] {
        session.settle();
        for (int i = 0; i < 8; ++i) session.frame(i / 60.0);
    };
    const auto act = [&](const Action& action) { session.act(action), draw(); };
    const AppState& state = session.app().state();
    // The words there, and the smallest capitals among them, mm.
    const auto drawn = [&session](const std::string& id) {
        std::pair<std::string, float> found{"", 99.0f};
        for (const Drawn& d : session.app().screen().drawn())
            if (d.kind == Drawn::Kind::text && d.id == id)
                found = {found.first + d.text + " ", std::min(found.second, d.cap / small.px_per_mm)};
        return found;
    };
    act(act::SetPerson{state.ledger.people().front()->id});
    act(act::Go{Screen::bike, state.ledger.bikes().front()->id});
    act(act::StartSwap{state.bike, {SwapPart::shock}});
    act(act::GoToStep{Step6::before});
    act(act::OpenTag{field_of({Phase::before, End::rear, Point::ride_height_rider})});
    REQUIRE(state.pad);
    const auto guide = drawn("guide");
    CHECK(guide.first.find("bike upright") != std::string::npos);
    CHECK(guide.second > 1.6f);
    act(act::PadText{"453.8"});
    act(act::PadNext{});
    if (state.pad && !state.pad->question.empty()) act(act::ConfirmSame{true});
    REQUIRE(state.notice);
    REQUIRE(state.notice->key);
    for (const bool beside_pad : {true, false}) {
        while (!beside_pad && state.pad) act(act::CloseTag{});
        if (!state.notice) break;
        const auto notice = drawn("notice");
        std::istringstream words(state.notice->text);
        for (std::string word; words >> word;) CHECK(notice.first.find(word) != std::string::npos);
        CHECK(notice.second > 1.6f);
    }
}
