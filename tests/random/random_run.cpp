#include "tests/random/random_run.h"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <random>
#include <set>
#include <vector>

#include "app/season/part_actions.h"
#include "demo/season.h"
#include "platform/session.h"
#include "tests/own_places.h"
#include "tests/store/workshop.h"

namespace restand::test {

std::string RandomTally::text() const {
    return std::to_string(events) + " events, " + std::to_string(starts) + " starts, " +
           std::to_string(pages) + " pages" + (ended.empty() ? "" : "; ended: " + ended);
}

namespace {

constexpr Viewport viewport{1280, 800, 5.87f};
constexpr int told_events = 40;
constexpr int between_starts = 1'500;

// Results of the child process, in memory shared with the parent.
struct Shared {
    int events, starts, pages;
    bool through;
    char last[told_events][96];
    void tell(const std::string& what) {
        std::snprintf(last[events % told_events], sizeof last[0], "%s", what.c_str());
        ++events;
    }
};

class Person {
public:
    Person(std::string file, std::uint32_t seed, Shared& shared)
        : file_(std::move(file)), random_(seed), shared_(shared) {
        start();
    }

    void act() {
        const auto chance = random_() % 100;
        if (any(150) == 0) return go();
        if (chance < 60) return tap();
        if (chance < 80) return type();
        if (chance < 95) return press();
        if (chance < 99) return drag();
        shared_.tell("wheel");
        handle(WheelEvent{0.0f, random_() % 2 ? 3.0f : -3.0f});
    }

    void start() {
        session_.reset();
        auto opened = Session::open(file_, viewport, {});
        check(opened.has_value(), "the workshop opens again");
        session_ = std::move(*opened);
        ++shared_.starts;
        const auto& notice = session_->app().state().notice;
        check(!notice || notice->text.find("could not be shown") == std::string::npos,
              "the draft is shown again");
        look();
    }

private:
    std::size_t any(std::size_t count) { return random_() % count; }

    void handle(const Event& event) {
        session_->handle(event);
        look();
    }
    // Usually the disk has answered before the next tap; sometimes a person is faster.
    void look() {
        if (any(4) != 0) session_->settle();
        if (any(3) != 0 && session_->wants_frame()) session_->frame(0);
        // The app recovers from an internal fault; this test counts it as a failure.
        check(session_->app().broken() == 0, "no page breaks an invariant");
        seen_.insert(static_cast<int>(session_->app().state().screen));
        shared_.pages = static_cast<int>(seen_.size());
    }

    // Opens a random page, as its rows would: taps alone reach the remote pages too seldom.
    void go() {
        const Ledger& ledger = session_->app().state().ledger;
        const auto bikes = ledger.bikes();
        const auto people = ledger.people();
        if (bikes.empty() || people.empty()) return shared_.tell("nowhere to go");
        const Id bike = bikes[any(bikes.size())]->id;
        const Swap* open = ledger.open_swap(bike);
        const auto part = static_cast<SwapPart>(any(swap_part_count));
        const auto point = static_cast<Point>(any(point_count));
        const End end = any(2) == 0 ? End::rear : End::front;
        const std::vector<Action> destinations = {
            act::Go{Screen::bike, bike},
            act::Go{Screen::history, bike},
            act::Go{Screen::baselines, bike},
            act::Go{Screen::shelf, {}},
            act::Go{Screen::settings, {}},
            act::Go{Screen::people, {}},
            act::Go{Screen::devices, {}},
            act::StartChange{bike},
            act::StartEvent{bike},
            act::ShowAttitude{bike},
            act::ShowChain{bike},
            act::ShowSprings{bike, end},
            act::EditBike{bike},
            act::ChooseParts{bike},
            act::Go{Screen::jobs, bike},
            act::Go{Screen::ready, bike},
            act::StartPart{bike, {}},
            act::ShowTrend{bike, Watched::point, end, point},
            act::SetPerson{people[any(people.size())]->id},
            open ? Action(act::ResumeSwap{open->id}) : Action(act::StartSwap{bike, {part}}),
            open ? Action(act::GoToStep{static_cast<Step6>(any(step_count))})
                 : Action(act::Go{Screen::parts, bike}),
        };
        const auto destination = any(destinations.size());
        shared_.tell("go " + std::to_string(destination));
        session_->act(destinations[destination]);
        look();
    }

    void tap() {
        std::vector<const Drawn*> targets;
        for (const Drawn& d : session_->app().screen().drawn())
            if (d.kind == Drawn::Kind::touch) targets.push_back(&d);
        if (targets.empty()) return shared_.tell("nothing to tap");
        const std::string id = targets[any(targets.size())]->id;
        if (!session_->app().screen().rect_of(id)) {
            session_->app().screen().show(id);
            session_->frame(0);
        }
        // Long disk tasks are rare, so that the events go to the pages.
        if (session_->app().state().screen == Screen::devices && any(10) != 0)
            return shared_.tell("back"), handle(KeyEvent{Key::escape});
        const auto at = session_->app().screen().rect_of(id);
        shared_.tell("tap " + id + " on " + session_->app().page().title);
        if (!at) return;
        session_->handle(PointerEvent{PointerEvent::Kind::down, at->middle_x(), at->middle_y(), true});
        handle(PointerEvent{PointerEvent::Kind::up, at->middle_x(), at->middle_y(), true});
    }

    // Types numbers, and words in place of a number. A gauge ends its line with Enter.
    void type() {
        static constexpr const char* typed[] = {"0",       "1",        "9",  ".",     "5",     "310", "-",
                                                "12 5/16", "soft",     "x",  "470.5", "99999", "1e9", " ",
                                                ",",       "\xc3\xa9", "mm", "27",    "3",     "0.0"};
        // As fast as a gauge types: it does not wait for a frame.
        for (std::size_t more = 1 + any(5); more > 0; --more) {
            const std::string text = typed[any(std::size(typed))];
            shared_.tell("type '" + text + "'");
            session_->handle(TextEvent{text});
        }
        if (any(3) != 0) return look();
        shared_.tell("Enter");
        handle(KeyEvent{Key::enter});
    }

    void press() {
        static constexpr Key keys[] = {Key::enter,    Key::enter,     Key::escape, Key::tab,
                                       Key::back_tab, Key::backspace, Key::del,    Key::left,
                                       Key::right,    Key::up,        Key::down,   Key::space,
                                       Key::undo,     Key::redo,      Key::home,   Key::end};
        const Key key = keys[any(std::size(keys))];
        shared_.tell("key " + std::to_string(static_cast<int>(key)));
        handle(KeyEvent{key});
    }

    void drag() {
        const auto somewhere = [this](int size) {
            return static_cast<float>(any(static_cast<std::size_t>(size)));
        };
        const float x = somewhere(viewport.width_px), y = somewhere(viewport.height_px);
        shared_.tell("drag");
        session_->handle(PointerEvent{PointerEvent::Kind::down, x, y, true});
        session_->frame(0);
        session_->handle(
            PointerEvent{PointerEvent::Kind::move, x + somewhere(200) - 100, y + somewhere(200) - 100, true});
        handle(PointerEvent{PointerEvent::Kind::up, x, y, true});
    }

    std::string file_;
    std::mt19937 random_;
    Shared& shared_;
    std::unique_ptr<Session> session_;
    std::set<int> seen_;
};

// A separate home and a stick, so that the app's files do not mix with those of the user.
void live_in(const std::string& folder) {
    for (const char* name : {"HOME", "XDG_STATE_HOME"}) ::setenv(name, folder.c_str(), 1);
    OwnPlaces::set(folder + "/places");
    std::filesystem::create_directories(folder + "/places/stick");
}

void play(const RandomRun& plan, const std::string& folder, Shared& shared) {
    live_in(folder);
    Person person(folder + "/demo.restand", plan.seed, shared);
    while (shared.events < plan.events) {
        const int until = std::min(plan.events, shared.events + between_starts);
        while (shared.events < until) person.act();
        person.start();
    }
    shared.through = true;
}

std::string how_it_ended(int status, const Shared& shared) {
    std::string text = WIFSIGNALED(status) ? "signal " + std::to_string(WTERMSIG(status))
                                           : "exit " + std::to_string(WEXITSTATUS(status));
    for (int i = std::max(0, shared.events - told_events); i < shared.events; ++i)
        text += std::string("\n  ") + shared.last[i % told_events];
    return text;
}

}  // namespace

RandomTally tap_at_random(const RandomRun& plan) {
    const Folder folder;
    REQUIRE(make_demo(folder("demo.restand")).has_value());
    void* memory = ::mmap(nullptr, sizeof(Shared), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    REQUIRE(memory != MAP_FAILED);
    auto* shared = new (memory) Shared{};
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        try {
            play(plan, folder.path(), *shared);
        } catch (const BrokenInvariant&) {
            ::_exit(3);  // nothing else in this process may catch it
        }
        ::_exit(0);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    RandomTally tally{shared->events, shared->starts, shared->pages, ""};
    if (!shared->through) tally.ended = how_it_ended(status, *shared);
    ::munmap(memory, sizeof(Shared));
    return tally;
}

}  // namespace restand::test
