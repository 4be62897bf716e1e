#pragma once
// Drives the app: taps what a person taps, on the real app over a real workshop file, without a window.
// Checks the layout of the frame after every tap: nothing cut off, nothing overlapping, every target large
// enough.

#include <doctest/doctest.h>

#include <filesystem>
#include <random>
#include <string>

#include "platform/session.h"
#include "tests/screen/walk.h"

namespace restand {

class Driver {
public:
    explicit Driver(Viewport viewport, std::filesystem::path workshop = {})
        : viewport_(viewport), file_(std::move(workshop)) {
        if (file_.empty()) {
            own_ = std::filesystem::temp_directory_path() /
                   ("restand-hand-" + std::to_string(std::random_device{}()));
            std::filesystem::create_directories(own_);
            file_ = own_ / "workshop.restand";
        }
        start();
    }
    ~Driver() {
        session_.reset();
        std::error_code ignored;
        if (!own_.empty()) std::filesystem::remove_all(own_, ignored);
    }
    Driver(const Driver&) = delete;
    Driver& operator=(const Driver&) = delete;

    // Closes the app with its unfinished work and opens it again on the same file.
    void start() {
        session_.reset();
        auto opened = Session::open(file_, viewport_, {});
        REQUIRE_MESSAGE(opened.has_value(), (opened ? "" : opened.error().detail));
        session_ = std::move(*opened);
        look();
    }

    void tap(const std::string& id) {
        PageScreen& screen = session_->app().screen();
        if (!screen.rect_of(id)) screen.show(id), look(), ++scrolls_;
        ++taps_;
        const auto rect = screen.rect_of(id);
        REQUIRE_MESSAGE(rect.has_value(), "nothing to tap: " << id << " on '" << page().title << "'");
        const float x = rect->middle_x(), y = rect->middle_y();
        session_->handle(PointerEvent{PointerEvent::Kind::down, x, y, !mouse_});
        session_->handle(PointerEvent{PointerEvent::Kind::up, x, y, !mouse_});
        look();
    }
    // From here on taps are a mouse's: rows stand closer.
    void use_mouse() {
        mouse_ = true;
        for (const float x : {40.0f, 60.0f})
            session_->handle(PointerEvent{PointerEvent::Kind::move, x, 300, false});
        look();
    }
    // Puts a finger down on `id`, moves it right and up by these millimetres on the screen, and lifts it.
    // Checks the layout of every frame between.
    void drag(const std::string& id, double right_mm, double up_mm) {
        put_finger(id);
        move_finger(right_mm, up_mm);
        lift_finger();
    }
    void put_finger(const std::string& id) {
        const auto rect = session_->app().screen().rect_of(id);
        REQUIRE_MESSAGE(rect.has_value(), "nothing to drag: " << id << " on '" << page().title << "'");
        put_finger(rect->middle_x(), rect->middle_y());
    }
    void put_finger(float x, float y) {
        finger_x_ = x;
        finger_y_ = y;
        session_->handle(PointerEvent{PointerEvent::Kind::down, x, y, true});
        look();
    }
    void move_finger(double right_mm, double up_mm) {
        constexpr int steps = 8;
        for (int i = 0; i < steps; ++i) {
            finger_x_ += static_cast<float>(right_mm * viewport_.px_per_mm / steps);
            finger_y_ -= static_cast<float>(up_mm * viewport_.px_per_mm / steps);
            session_->handle(PointerEvent{PointerEvent::Kind::move, finger_x_, finger_y_, true});
            look();
        }
    }
    void lift_finger(PointerEvent::Kind how = PointerEvent::Kind::up) {
        session_->handle(PointerEvent{how, finger_x_, finger_y_, true});
        look();
    }
    void keys(const std::string& text) {
        for (char c : text) tap(c == ' ' ? "key:space" : std::string("key:") + c);
    }
    // A gauge that types: characters, then Enter.
    void gauge(const std::string& text) {
        for (char c : text) session_->handle(TextEvent{std::string(1, c)});
        press(Key::enter);
    }
    void press(Key key) {
        session_->handle(KeyEvent{key});
        look();
    }

    bool shows(const std::string& text) {
        for (const Drawn& d : session_->app().screen().drawn())
            if (d.kind == Drawn::Kind::text && d.text.find(text) != std::string::npos) return true;
        return false;
    }
    const PageView& page() { return session_->app().page(); }
    const AppState& state() { return session_->app().state(); }
    // Since the beginning; a tap on what is out of sight is a scroll and a tap.
    int taps() const { return taps_; }
    int scrolls() const { return scrolls_; }
    Session& session() { return *session_; }
    const std::filesystem::path& file() const { return file_; }

    // Waits for the disk, draws until nothing changes, checks the layout.
    void look() {
        session_->settle();
        session_->frame(0);
        for (int i = 0; i < 8 && session_->wants_frame(); ++i) session_->frame(i / 60.0);
        CHECK_FALSE(session_->wants_frame());
        for (const std::string& fault : faults(session_->app().screen(), viewport_))
            FAIL_CHECK("on '" << page().title << " / " << page().panel.title << "': " << fault);
    }

private:
    Viewport viewport_;
    float finger_x_ = 0, finger_y_ = 0;
    int taps_ = 0, scrolls_ = 0;
    bool mouse_ = false;
    std::filesystem::path file_, own_;
    std::unique_ptr<Session> session_;
};

}  // namespace restand
