// A draft that a start could not show does not lock the workshop.

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

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
