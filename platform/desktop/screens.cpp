#include "platform/desktop/screens.h"

#include <random>

#include "demo/season.h"
#include "platform/desktop/picture.h"
#include "platform/desktop/scenes.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

// A separate folder for the demo workshop, deleted afterwards.
class Scratch {
public:
    Scratch()
        : path_(fs::temp_directory_path() / ("restand-screens-" + std::to_string(std::random_device{}()))) {
        fs::remove_all(path_);
        fs::create_directories(path_);
    }
    ~Scratch() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    fs::path file(const char* name) const { return path_ / name; }

private:
    fs::path path_;
};

// A way to show a page: as a 10-inch tablet is held, what it is worked with, and its look.
struct Showing {
    const char* suffix;  // of the file's name
    Viewport viewport;
    Pointer pointer;
    bool night;
    int fineness = 1;
};
constexpr Viewport landscape{1280, 800, 5.87f}, portrait{800, 1280, 5.87f};
constexpr Showing showings[] = {{"", landscape, Pointer::finger, false, 2},
                                {"-portrait", portrait, Pointer::finger, false, 2},
                                {"-mouse", landscape, Pointer::mouse, false},
                                {"-portrait-mouse", portrait, Pointer::mouse, false},
                                {"-night", landscape, Pointer::finger, true},
                                {"-portrait-night", portrait, Pointer::finger, true},
                                {"-mouse-night", landscape, Pointer::mouse, true},
                                {"-portrait-mouse-night", portrait, Pointer::mouse, true}};

void show(Session& session, const Showing& showing) {
    session.handle(ResizeEvent{showing.viewport});
    // In the title, where nothing is tapped.
    using Kind = PointerEvent::Kind;
    const bool finger = showing.pointer == Pointer::finger;
    for (const Kind kind : {Kind::down, Kind::up})
        if (finger) session.handle(PointerEvent{kind, 330, 40, true});
    for (const float x : {320.0f, 335.0f})
        if (!finger) session.handle(PointerEvent{Kind::move, x, 40, false});
    session.act(act::SetLook{showing.night, 100});
}

Outcome write(Session& session, const Showing& showing, const fs::path& file) {
    show(session, showing);
    const auto picture = picture_of(session, showing.viewport, showing.fineness);
    if (!picture) return picture.error();
    return write_png(file, *picture);
}

}  // namespace

Outcome write_screens(const fs::path& folder) {
    std::error_code failed;
    fs::create_directories(folder, failed);
    if (failed) return Error{ErrorCode::io, folder.string(), failed.message()};
    const Scratch scratch;
    if (auto made = make_demo(scratch.file("demo.restand")); !made) return made.error();
    auto session = Session::open(scratch.file("demo.restand"), showings[0].viewport, {});
    if (!session) return session.error();
    for (const auto& list : {scenes::workshop_scenes(), scenes::season_scenes(), scenes::chassis_scenes(),
                             scenes::number_scenes(), scenes::shelf_scenes(), scenes::shock_scenes(),
                             scenes::several_scenes(), scenes::known_scenes()})
        for (const scenes::Scene& scene : list) {
            show(**session, showings[0]);
            scene.play(**session);
            for (const Showing& showing : showings)
                if (auto done = write(**session, showing,
                                      folder / (std::string(scene.name) + showing.suffix + ".png"));
                    !done)
                    return done.error();
        }
    return Done{};
}

}  // namespace restand
