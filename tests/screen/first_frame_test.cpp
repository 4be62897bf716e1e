// A draft that crashes a start must not lock the workshop.

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "core/codec/body_json.h"
#include "core/store/emergency.h"
#include "platform/first_frame.h"
#include "tests/screen/team.h"

using namespace restand;

namespace {

// Runs `work` in a child process. Returns the signal that ended it; 0: none.
template <class Work>
int ended_by(Work work) {
    const pid_t child = ::fork();
    if (child == 0) {
        work();
        ::_exit(0);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFSIGNALED(status) ? WTERMSIG(status) : 0;
}

// A demo's workshop, and the folder where bad drafts are moved.
struct DemoWorkshop {
    test::WalkFolder folder;
    std::filesystem::path file = folder.demo();
    std::string place = task_folders(file.string()).rejected;
    ~DemoWorkshop() {
        std::error_code ignored;
        std::filesystem::remove_all(place, ignored);
    }
    // The first frame ends the program.
    void crash() const {
        CHECK(ended_by([&] { watch_first_frame(place), std::abort(); }) == SIGABRT);
    }
};

// The app is closed with an unfinished change of a setting.
void begin_a_change(Driver& driver) {
    test::begin(driver);
    test::go(driver, act::StartChange{driver.state().bike});
    REQUIRE(driver.state().screen == Screen::change);
}

}  // namespace

TEST_CASE("a crash before the first frame leaves a mark, a later one and a kill leave none") {
    const test::WalkFolder folder;
    const std::string place = (folder.path / "state").string();
    CHECK(ended_by([&] { watch_first_frame(place), first_frame_drawn(), std::abort(); }) == SIGABRT);
    CHECK_FALSE(first_frame_failed(place));
    CHECK(ended_by([&] { watch_first_frame(place), ::raise(SIGKILL); }) == SIGKILL);
    CHECK_FALSE(first_frame_failed(place));
    CHECK(ended_by([&] { watch_first_frame(place), std::abort(); }) == SIGABRT);
    CHECK(first_frame_failed(place));
}

TEST_CASE("a draft that the last start could not show is kept aside and named, and the app starts") {
    const DemoWorkshop w;
    {
        Driver driver(test::tablet, w.file);
        begin_a_change(driver);
    }
    w.crash();
    {
        Driver driver(test::tablet, w.file);
        CHECK(driver.state().screen == Screen::bikes);
        REQUIRE(driver.state().notice.has_value());
        const std::string said = driver.state().notice->text;
        const auto at = said.find(w.place);
        REQUIRE(at != std::string::npos);
        const std::string kept = said.substr(at, said.find(".draft", at) + 6 - at);
        CHECK(std::filesystem::file_size(kept) > 0);
        CHECK_FALSE(first_frame_failed(w.place));
        begin_a_change(driver);
    }
    // After that, drafts are opened again.
    Driver driver(test::tablet, w.file);
    CHECK(driver.state().screen == Screen::change);
}

TEST_CASE("a mark that was left where nothing was half done costs no later draft") {
    const DemoWorkshop w;
    w.crash();
    {
        Driver driver(test::tablet, w.file);  // the demo's workshop has no draft yet
        CHECK_FALSE(first_frame_failed(w.place));
        begin_a_change(driver);
    }
    Driver driver(test::tablet, w.file);
    CHECK(driver.state().screen == Screen::change);
}

TEST_CASE("a draft put aside is told beside what else there is to tell") {
    const DemoWorkshop w;
    {
        Driver driver(test::tablet, w.file);
        begin_a_change(driver);
    }
    w.crash();
    REQUIRE(keep_rejected(w.place, encode(PersonBody{"Ines"}), 0).has_value());
    Driver driver(test::tablet, w.file);
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.find("Devices and copies") != std::string::npos);
    CHECK(driver.state().notice->text.find(".draft") != std::string::npos);
}
