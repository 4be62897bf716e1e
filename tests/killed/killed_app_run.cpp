#include "tests/killed/killed_app_run.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <map>
#include <random>
#include <thread>

#include "demo/season.h"
#include "platform/desktop/picture.h"
#include "platform/session.h"
#include "tests/killed/real_app.h"
#include "tests/killed/virtual_display.h"
#include "tests/store/workshop.h"

namespace restand::test {

std::string KilledTally::text() const {
    return std::to_string(kills) + " kills, " + std::to_string(typed) + " readings typed, " +
           std::to_string(acknowledged) + " acknowledged, " + std::to_string(stored_unseen) +
           " stored and not yet shown, " + std::to_string(not_stored) + " not stored, " +
           std::to_string(violations.size()) + " violations";
}

namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using Time = std::chrono::steady_clock;

constexpr Viewport viewport{1280, 800, 5.87f};
constexpr Point points[] = {Point::ride_height_topped_out, Point::ride_height_static,
                            Point::ride_height_rider};

std::string row_of(Point point) {
    return "row:before:rear:" + std::string(facts(point).key);
}

// The app on a file, without a window.
class Twin {
public:
    explicit Twin(const fs::path& file) {
        auto opened = Session::open(file, viewport, {});
        REQUIRE_MESSAGE(opened.has_value(), (opened ? "" : opened.error().detail));
        session_ = std::move(*opened);
        look();
    }
    const AppState& state() { return session_->app().state(); }

    void act(const Action& action) {
        session_->act(action);
        look();
    }
    void handle(const Event& event) {
        session_->handle(event);
        look();
    }
    void click(Rect at) {
        handle(PointerEvent{PointerEvent::Kind::down, at.middle_x(), at.middle_y(), false});
        handle(PointerEvent{PointerEvent::Kind::up, at.middle_x(), at.middle_y(), false});
    }
    std::optional<Rect> find(const std::string& id) { return session_->app().screen().rect_of(id); }
    Rect rect(const std::string& id) {
        const auto at = find(id);
        const auto& page = session_->app().page();
        REQUIRE_MESSAGE(at.has_value(), "not on the screen: " << id << "; it shows " << page.title << ", "
                                                              << (page.notice ? page.notice->text : ""));
        return *at;
    }

    // A part of the picture, with the display's pixels.
    Shot shot(Rect at) {
        const auto picture = render(session_->app().screen().draw_data(), viewport);
        REQUIRE(picture.has_value());
        Shot part;
        const int right = static_cast<int>(at.right()), bottom = static_cast<int>(at.bottom());
        for (int row = static_cast<int>(at.y); row < bottom; ++row)
            for (int column = static_cast<int>(at.x); column < right; ++column) {
                const unsigned char* p = picture->rgba.data() + 4 * (row * picture->width + column);
                part.push_back(static_cast<std::uint32_t>(p[0] << 16 | p[1] << 8 | p[2]));
            }
        return part;
    }

private:
    void look() {
        session_->settle();
        session_->frame(0);
        for (int i = 0; i < 8 && session_->wants_frame(); ++i) session_->frame(i / 60.0);
    }
    std::unique_ptr<Session> session_;
};

// A swap of the demo's shock, at 'Before', with its heights read.
void prepare(const fs::path& file) {
    REQUIRE(make_demo(file).has_value());
    Twin twin(file);
    twin.act(act::SetPerson{twin.state().ledger.people().front()->id});
    for (const Bike* bike : twin.state().ledger.bikes()) {
        const Swap* swap = twin.state().ledger.open_swap(bike->id);
        if (!swap || !swap->has(SwapPart::shock)) continue;
        twin.act(act::ResumeSwap{swap->id});
        break;
    }
    REQUIRE(open_swap(twin.state()) != nullptr);
    twin.act(act::GoToStep{Step6::before});
    twin.act(act::CloseTag{});
    for (const Point point : points) REQUIRE(twin.find(row_of(point)).has_value());
}

// The workshop as a kill left it, with its journal if there is one.
void copy_as_left(const fs::path& from, const fs::path& to) {
    for (const char* more : {"", "-journal"}) {
        std::error_code ignored;
        fs::remove(to.string() + more, ignored);
        fs::copy_file(from.string() + more, to.string() + more, ignored);
    }
}

constexpr int shifts[] = {0, 8, 16};  // bit offsets of a pixel's colours

// True if the two pictures differ by rounding only.
bool alike(const Shot& a, const Shot& b) {
    constexpr int rounding = 24, few = 2;
    const auto differ = [](std::uint32_t p, std::uint32_t q) {
        const auto channel = [](std::uint32_t pixel, int shift) {
            return static_cast<int>(pixel >> shift & 255);
        };
        return std::any_of(std::begin(shifts), std::end(shifts), [&](int shift) {
            return std::abs(channel(p, shift) - channel(q, shift)) > rounding;
        });
    };
    int other = 0;
    for (std::size_t i = 0; i < a.size(); ++i) other += differ(a[i], b[i]) ? 1 : 0;
    return a.size() == b.size() && other <= few;
}

// A quarter of the kills come at once after the last key, a quarter within 10 ms, while the reading is on its
// way to the disk; the others come after it is shown, however long that takes here.
std::chrono::microseconds longest(std::mt19937& random) {
    switch (random() % 4) {
        case 0:
            return 0us;
        case 1:
            return std::chrono::microseconds(random() % 10'000);
        default:
            return 10s;
    }
}

class Run {
public:
    explicit Run(const KilledApp& plan)
        : plan_(plan), random_(plan.seed), display_(viewport.width_px, viewport.height_px) {
        prepare(file_);
    }

    KilledTally run() {
        for (int i = 0; i < plan_.kills && tally_.violations.size() < 20; ++i) once();
        const Twin last = left();
        return tally_;
    }

private:
    struct Typed {
        std::string text;
        bool acknowledged = false;
    };

    void violated(const std::string& what) {
        tally_.violations.push_back("kill " + std::to_string(tally_.kills) + ": " + what);
    }

    // Compares what the last kill left with what had been acknowledged.
    Twin left() {
        copy_as_left(file_, copy_);
        Twin twin(copy_);
        const Swap* swap = open_swap(twin.state());
        REQUIRE_MESSAGE(swap != nullptr, "the swap is on the screen again");
        for (auto& [point, typed] : typed_) {
            const StoredReading* take = swap->stored({Phase::before, End::rear, point});
            const std::string is = take ? take->reading.repeats.front().text : "";
            // The stored value must be the one acknowledged last, or one typed after it. That includes
            // half-typed text from the draft that closing its pad stored.
            std::size_t first = 0;
            for (std::size_t i = 0; i < typed.size(); ++i)
                if (typed[i].acknowledged) first = i;
            typed.erase(typed.begin(), typed.begin() + static_cast<std::ptrdiff_t>(first));
            const auto found =
                std::find_if(typed.begin(), typed.end(), [&](const Typed& t) { return t.text == is; });
            if (found == typed.end()) {
                violated(std::string(facts(point).key) + " was acknowledged as " + typed[0].text +
                         ", stands at " + is);
                typed = {{is, true}};
                continue;
            }
            tally_.stored_unseen += found->acknowledged ? 0 : 1;
            tally_.not_stored += found->acknowledged && typed.size() > 1 ? 1 : 0;
            found->acknowledged = true;
        }
        return twin;
    }

    // Waits until both show the same readings, or the same pad over them. A click sent before the app shows
    // its target would hit something else.
    bool shows_the_same(RealApp& app, Twin& twin) {
        const Rect page{840, 100, 400, 440};
        const Shot expected = twin.shot(page);
        const auto until = Time::now() + 20s;
        while (Time::now() < until && !app.ended()) {
            if (alike(display_.shot(page), expected)) return true;
            std::this_thread::sleep_for(15ms);
        }
        return false;
    }

    void click(Rect at) { display_.click(static_cast<int>(at.middle_x()), static_cast<int>(at.middle_y())); }

    void once() {
        Twin twin = left();
        display_.wait_until_empty();
        RealApp app(file_, display_.name(), home_.path());
        // A pad that was open at the kill is open again; it is closed as a person would close it.
        if (!shows_the_same(app, twin)) return not_shown("the app does not start with what it showed");
        // From the first click on rows are as low as a mouse needs them.
        const Rect nothing{0, 0, 2, 2};
        twin.click(nothing), click(nothing);
        if (!shows_the_same(app, twin)) return not_shown("the rows do not close up for a mouse");
        if (const auto close = twin.find("key:close")) {
            twin.click(*close), click(*close);
            if (!shows_the_same(app, twin)) return not_shown("the pad does not close");
        }
        const Point point = points[random_() % std::size(points)];
        const Rect row = twin.rect(row_of(point));
        const std::string text = another(twin, point);
        twin.click(row), click(row);
        for (const char c : text) twin.handle(TextEvent{std::string(1, c)});
        display_.type(text);
        std::this_thread::sleep_for(50ms);
        // The twin goes first: nothing is computed between Enter and the kill.
        twin.handle(KeyEvent{Key::enter});
        const auto close = twin.find("key:close");
        if (close) twin.click(*close);
        const Shot stored = twin.shot(row);
        ++tally_.typed;
        typed_[point].push_back({text, plan_.acknowledged == KilledApp::Acknowledged::typed});
        display_.enter();
        if (close) click(*close);
        watch_until_killed(app, stored, row, typed_[point].back());
    }

    void not_shown(const std::string& what) {
        ++tally_.kills;
        violated(what);
    }

    void watch_until_killed(RealApp& app, const Shot& stored, Rect at, Typed& typed) {
        const auto until = Time::now() + longest(random_);
        while (Time::now() < until) {
            if (alike(display_.shot(at), stored)) {
                tally_.acknowledged += typed.acknowledged ? 0 : 1;
                typed.acknowledged = true;
                break;
            }
            std::this_thread::sleep_for(1ms);
        }
        app.kill();
        ++tally_.kills;
    }

    // A plausible height that differs from the stored one.
    std::string another(Twin& twin, Point point) {
        const StoredReading* take = open_swap(twin.state())->stored({Phase::before, End::rear, point});
        REQUIRE(take != nullptr);
        const std::string is = take->reading.repeats.front().text;
        if (typed_[point].empty()) typed_[point].push_back({is, true});
        const int base = point == Point::ride_height_topped_out ? 4860
                         : point == Point::ride_height_static   ? 4744
                                                                : 4521;
        std::string text;
        do {
            const int tenths = base + static_cast<int>(random_() % 9);
            text = std::to_string(tenths / 10) + "." + std::to_string(tenths % 10);
        } while (text == is);
        return text;
    }

    KilledApp plan_;
    std::mt19937 random_;
    VirtualDisplay display_;
    Folder folder_{Folder::On::disk}, twin_folder_{Folder::On::disk}, home_{Folder::On::disk};
    fs::path file_ = folder_("workshop.restand"), copy_ = twin_folder_("workshop.restand");
    std::map<Point, std::vector<Typed>> typed_;
    KilledTally tally_;
};

}  // namespace

KilledTally kill_app(const KilledApp& plan) {
    return Run(plan).run();
}

}  // namespace restand::test
