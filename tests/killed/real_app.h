#pragma once

#include <doctest/doctest.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <string>

#include "tests/own_places.h"

namespace restand::test {

// The real program on a workshop file, in a window of a virtual display; killed when this ends. Another
// system's program, RESTAND_KILLED_PROGRAM, runs under what RESTAND_KILLED_UNDER names.
class RealApp {
public:
    using Path = std::filesystem::path;
    RealApp(const Path& file, const std::string& display, const Path& home) {
        child_ = ::fork();
        REQUIRE(child_ >= 0);
        if (child_ != 0) return;
        ::setenv("DISPLAY", display.c_str(), 1);
        ::setenv("SDL_RENDER_DRIVER", "software", 1);
        ::setenv("RESTAND_PX_PER_MM", "5.87", 1);
        ::setenv("HOME", home.c_str(), 1);
        ::setenv("XDG_STATE_HOME", home.c_str(), 1);
        OwnPlaces::set(home / "places");
        const int nowhere = ::open("/dev/null", O_WRONLY);
        ::dup2(nowhere, 1);
        ::dup2(nowhere, 2);
        const char* under = std::getenv("RESTAND_KILLED_UNDER");
        const char* other = std::getenv("RESTAND_KILLED_PROGRAM");
        if (under && other) ::execl(under, under, other, file.c_str(), static_cast<char*>(nullptr));
        ::setenv("SDL_VIDEODRIVER", "x11", 1);
        ::execl(RESTAND_PROGRAM, RESTAND_PROGRAM, file.c_str(), static_cast<char*>(nullptr));
        ::_exit(127);
    }
    ~RealApp() { kill(); }
    RealApp(const RealApp&) = delete;
    RealApp& operator=(const RealApp&) = delete;
    void kill() {
        if (child_ < 0) return;
        ::kill(child_, SIGKILL);
        ::waitpid(child_, nullptr, 0);
        child_ = -1;
    }
    bool ended() { return ::waitpid(child_, nullptr, WNOHANG) == child_ ? (child_ = -1, true) : false; }

private:
    pid_t child_ = -1;
};

}  // namespace restand::test
