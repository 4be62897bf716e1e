// A draft that a start could not show does not lock the workshop.

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "core/exchange/body_json.h"
#include "core/store/emergency.h"
#include "platform/first_frame.h"
#include "tests/screen/team.h"

using namespace restand;

namespace {

// Runs `work` in a child; the signal that ended it, 0: none.
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

}  // namespace

TEST_CASE("a crash before the first frame leaves a mark, a later one and a kill leave none") {
    const test::Folder folder;
    const std::string place = (folder.path / "state").string();
    CHECK(ended_by([&] { watch_first_frame(place), first_frame_drawn(), std::abort(); }) == SIGABRT);
    CHECK_FALSE(first_frame_failed(place));
    CHECK(ended_by([&] { watch_first_frame(place), ::raise(SIGKILL); }) == SIGKILL);
    CHECK_FALSE(first_frame_failed(place));
    CHECK(ended_by([&] { watch_first_frame(place), std::abort(); }) == SIGABRT);
    CHECK(first_frame_failed(place));
}

TEST_CASE("a draft that the last start could not show is kept aside and named, and the app starts") {
    const test::Folder folder;
    const auto file = folder.demo();
    const std::string place = errand_places(file.string()).aside;
    {
        Hand hand(test::tablet, file);
        test::begin(hand);
        test::go(hand, act::StartChange{hand.desk().bike});
        REQUIRE(hand.desk().screen == Screen::change);
    }
    CHECK(ended_by([&] { watch_first_frame(place), std::abort(); }) == SIGABRT);
    {
        Hand hand(test::tablet, file);
        CHECK(hand.desk().screen == Screen::bikes);
        REQUIRE(hand.desk().notice.has_value());
        const std::string said = hand.desk().notice->text;
        const auto at = said.find(place);
        REQUIRE(at != std::string::npos);
        const std::string kept = said.substr(at, said.find(".draft", at) + 6 - at);
        CHECK(std::filesystem::file_size(kept) > 0);
        CHECK_FALSE(first_frame_failed(place));
        test::begin(hand);
        test::go(hand, act::StartChange{hand.desk().bike});
    }
    // From then on drafts are opened again.
    Hand hand(test::tablet, file);
    CHECK(hand.desk().screen == Screen::change);
    std::error_code ignored;
    std::filesystem::remove_all(place, ignored);
}

TEST_CASE("a mark that was left where nothing was half done costs no later draft") {
    const test::Folder folder;
    const auto file = folder.demo();
    const std::string place = errand_places(file.string()).aside;
    CHECK(ended_by([&] { watch_first_frame(place), std::abort(); }) == SIGABRT);
    {
        Hand hand(test::tablet, file);  // the demo's workshop has no draft yet
        CHECK_FALSE(first_frame_failed(place));
        test::begin(hand);
        test::go(hand, act::StartChange{hand.desk().bike});
    }
    Hand hand(test::tablet, file);
    CHECK(hand.desk().screen == Screen::change);
    std::error_code ignored;
    std::filesystem::remove_all(place, ignored);
}

TEST_CASE("a draft put aside is told beside what else there is to tell") {
    const test::Folder folder;
    const auto file = folder.demo();
    const std::string place = errand_places(file.string()).aside;
    {
        Hand hand(test::tablet, file);
        test::begin(hand);
        test::go(hand, act::StartChange{hand.desk().bike});
    }
    CHECK(ended_by([&] { watch_first_frame(place), std::abort(); }) == SIGABRT);
    REQUIRE(keep_aside(place, encode(PersonBody{"Ines"}), 0).has_value());
    Hand hand(test::tablet, file);
    REQUIRE(hand.desk().notice.has_value());
    CHECK(hand.desk().notice->text.find("Devices and copies") != std::string::npos);
    CHECK(hand.desk().notice->text.find(".draft") != std::string::npos);
    std::error_code ignored;
    std::filesystem::remove_all(place, ignored);
}
