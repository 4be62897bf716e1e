#pragma once
// A separate X display (Xvfb) for tests that run the real program. It captures the screen and sends user
// input. One display, one window at its top left corner.

#include <sys/types.h>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "app/widgets/rect.h"

namespace restand::test {

// Pixels as 0xRRGGBB, rows from the top.
using Shot = std::vector<std::uint32_t>;

class VirtualDisplay {
public:
    // Fails the test if Xvfb cannot be started within ten seconds.
    VirtualDisplay(int width, int height);
    ~VirtualDisplay();
    VirtualDisplay(const VirtualDisplay&) = delete;
    VirtualDisplay& operator=(const VirtualDisplay&) = delete;

    const std::string& name() const { return name_; }  // ":7", for DISPLAY
    Shot shot(Rect at) const;
    // After a program ends, the server removes its windows with a delay; until then they still show their
    // last picture. Fails the test if one is left after ten seconds.
    void wait_until_empty() const;
    void click(int x, int y);
    void type(const std::string& digits);  // digits and the decimal point
    void enter();

private:
    void key(unsigned long symbol);

    pid_t server_ = -1;
    std::string name_;
    struct Connection;
    std::unique_ptr<Connection> connection_;
};

}  // namespace restand::test
