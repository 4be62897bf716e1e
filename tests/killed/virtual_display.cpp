#include "tests/killed/virtual_display.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <X11/Xlib.h>
#include <X11/Xutil.h>
#include <X11/extensions/XTest.h>
#include <X11/keysym.h>

// Xlib's macros clash with names of the test framework.
#undef None
#undef Bool
#undef Status

#include <doctest/doctest.h>

namespace restand::test {

struct VirtualDisplay::Connection {
    Display* display;
    explicit Connection(const std::string& name) : display(XOpenDisplay(name.c_str())) {}
    ~Connection() {
        if (display) XCloseDisplay(display);
    }
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;
};

namespace {

// The server writes its number when it listens.
std::string number_from(int pipe) {
    std::string number;
    pollfd ready{pipe, POLLIN, 0};
    while (::poll(&ready, 1, 10'000) > 0) {
        char c = 0;
        if (::read(pipe, &c, 1) != 1 || c == '\n') break;
        number += c;
    }
    return number;
}

}  // namespace

VirtualDisplay::VirtualDisplay(int width, int height) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const std::string screen = std::to_string(width) + "x" + std::to_string(height) + "x24";
    const std::string fd = std::to_string(ends[1]);
    server_ = ::fork();
    REQUIRE(server_ >= 0);
    if (server_ == 0) {
        ::close(ends[0]);
        const int nowhere = ::open("/dev/null", O_WRONLY);
        ::dup2(nowhere, 2);
        ::execlp("Xvfb", "Xvfb", "-displayfd", fd.c_str(), "-screen", "0", screen.c_str(), "-nolisten", "tcp",
                 "-noreset", static_cast<char*>(nullptr));
        ::_exit(127);
    }
    ::close(ends[1]);
    const std::string number = number_from(ends[0]);
    ::close(ends[0]);
    REQUIRE_MESSAGE(!number.empty(), "Xvfb does not start");
    name_ = ":" + number;
    connection_ = std::make_unique<Connection>(name_);
    REQUIRE(connection_->display != nullptr);
}

VirtualDisplay::~VirtualDisplay() {
    connection_.reset();
    ::kill(server_, SIGTERM);
    ::waitpid(server_, nullptr, 0);
}

Shot VirtualDisplay::shot(Rect at) const {
    Display* d = connection_->display;
    const int x = static_cast<int>(at.x), y = static_cast<int>(at.y);
    const int width = static_cast<int>(at.right()) - x, height = static_cast<int>(at.bottom()) - y;
    XImage* image = XGetImage(d, DefaultRootWindow(d), x, y, static_cast<unsigned>(width),
                              static_cast<unsigned>(height), AllPlanes, ZPixmap);
    REQUIRE(image != nullptr);
    Shot shot;
    shot.reserve(static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
    REQUIRE(image->bits_per_pixel == 32);
    for (int row = 0; row < height; ++row) {
        const auto* pixels =
            reinterpret_cast<const std::uint32_t*>(image->data + row * image->bytes_per_line);
        for (int column = 0; column < width; ++column) shot.push_back(pixels[column] & 0xffffffu);
    }
    XDestroyImage(image);
    return shot;
}

namespace {
bool is_shown(Display* display, Window window) {
    XWindowAttributes its{};
    // It may be gone by now: an error, which would end the test.
    const auto before = XSetErrorHandler([](Display*, XErrorEvent*) { return 0; });
    const bool known = XGetWindowAttributes(display, window, &its) != 0;
    XSetErrorHandler(before);
    return known && its.map_state == IsViewable;
}
}  // namespace

void VirtualDisplay::wait_until_empty() const {
    Display* d = connection_->display;
    unsigned left = 1;
    for (int tries = 0; left > 0; ++tries) {
        REQUIRE_MESSAGE(tries < 5000, "a window outlives its program");
        if (tries > 0) ::usleep(2000);
        Window root = 0, parent = 0, *children = nullptr;
        unsigned count = 0;
        REQUIRE(XQueryTree(d, DefaultRootWindow(d), &root, &parent, &children, &count) != 0);
        left = 0;
        for (unsigned i = 0; i < count; ++i) left += is_shown(d, children[i]);
        if (children) XFree(children);
    }
}

void VirtualDisplay::click(int x, int y) {
    Display* d = connection_->display;
    XTestFakeMotionEvent(d, -1, x, y, CurrentTime);
    XTestFakeButtonEvent(d, 1, True, CurrentTime);
    XTestFakeButtonEvent(d, 1, False, CurrentTime);
    XFlush(d);
}

void VirtualDisplay::key(unsigned long symbol) {
    Display* d = connection_->display;
    const unsigned code = XKeysymToKeycode(d, symbol);
    XTestFakeKeyEvent(d, code, True, CurrentTime);
    XTestFakeKeyEvent(d, code, False, CurrentTime);
    XFlush(d);
}

void VirtualDisplay::type(const std::string& digits) {
    // The key symbols of digits and the point equal their characters.
    for (const char c : digits) key(static_cast<unsigned char>(c));
}

void VirtualDisplay::enter() {
    key(XK_Return);
}

}  // namespace restand::test
