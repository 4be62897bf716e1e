#pragma once
// A hand on the glass: taps what a person taps, on the real app over a real workshop file, without a window.
// After every tap the frame is walked: nothing cut off, nothing over anything, every target large enough.

#include <doctest/doctest.h>

#include <filesystem>
#include <random>
#include <string>

#include "platform/workbench.h"
#include "tests/screen/walk.h"

namespace restand {

class Hand {
public:
    explicit Hand(Glass glass, std::filesystem::path workshop = {})
        : glass_(glass), file_(std::move(workshop)) {
        if (file_.empty()) {
            own_ = std::filesystem::temp_directory_path() /
                   ("restand-hand-" + std::to_string(std::random_device{}()));
            std::filesystem::create_directories(own_);
            file_ = own_ / "workshop.restand";
        }
        start();
    }
    ~Hand() {
        bench_.reset();
        std::error_code ignored;
        if (!own_.empty()) std::filesystem::remove_all(own_, ignored);
    }
    Hand(const Hand&) = delete;
    Hand& operator=(const Hand&) = delete;

    // Closes the app as it is and opens it again on the same file.
    void start() {
        bench_.reset();
        auto opened = Workbench::open(file_, glass_, {});
        REQUIRE_MESSAGE(opened.has_value(), (opened ? "" : opened.error().detail));
        bench_ = std::move(*opened);
        look();
    }

    void tap(const std::string& id) {
        SheetScreen& screen = bench_->app().screen();
        if (!screen.rect_of(id)) screen.show(id), look();
        const auto rect = screen.rect_of(id);
        REQUIRE_MESSAGE(rect.has_value(), "nothing to tap: " << id << " on '" << sheet().title << "'");
        const float x = rect->middle_x(), y = rect->middle_y();
        bench_->handle(PointerEvent{PointerEvent::Kind::down, x, y, true});
        bench_->handle(PointerEvent{PointerEvent::Kind::up, x, y, true});
        look();
    }
    void keys(const std::string& text) {
        for (char c : text) tap(c == ' ' ? "key:space" : std::string("key:") + c);
    }
    // A gauge that types: characters, then Enter.
    void gauge(const std::string& text) {
        for (char c : text) bench_->handle(TextEvent{std::string(1, c)});
        press(Key::enter);
    }
    void press(Key key) {
        bench_->handle(KeyEvent{key});
        look();
    }

    bool shows(const std::string& text) {
        for (const Drawn& d : bench_->app().screen().drawn())
            if (d.kind == Drawn::Kind::text && d.text.find(text) != std::string::npos) return true;
        return false;
    }
    const SheetView& sheet() { return bench_->app().sheet(); }
    const Desk& desk() { return bench_->app().desk(); }
    Workbench& bench() { return *bench_; }
    const std::filesystem::path& file() const { return file_; }

    // Waits for the disk, draws until nothing changes, walks the frame.
    void look() {
        bench_->settle();
        bench_->frame(0);
        for (int i = 0; i < 8 && bench_->wants_frame(); ++i) bench_->frame(i / 60.0);
        CHECK_FALSE(bench_->wants_frame());
        for (const std::string& fault : faults(bench_->app().screen(), glass_))
            FAIL_CHECK("on '" << sheet().title << " / " << sheet().slip.title << "': " << fault);
    }

private:
    Glass glass_;
    std::filesystem::path file_, own_;
    std::unique_ptr<Workbench> bench_;
};

}  // namespace restand
