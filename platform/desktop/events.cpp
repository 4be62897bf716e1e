#include "platform/desktop/events.h"

#include <SDL.h>

#include <algorithm>
#include <cmath>

namespace restand {
namespace {

using Kind = PointerEvent::Kind;

// Some systems report AltGr as Ctrl+Alt; it types a letter there.
bool with_control(const SDL_Keysym& pressed) {
    return (pressed.mod & (KMOD_CTRL | KMOD_GUI)) && !(pressed.mod & KMOD_ALT);
}

std::optional<Key> key_of(const SDL_Keysym& pressed) {
    switch (pressed.sym) {
        case SDLK_RETURN:
        case SDLK_KP_ENTER:
            return Key::enter;
        case SDLK_ESCAPE:
        case SDLK_AC_BACK:
            return Key::escape;
        case SDLK_TAB:
            return pressed.mod & KMOD_SHIFT ? Key::back_tab : Key::tab;
        case SDLK_BACKSPACE:
            return Key::backspace;
        case SDLK_DELETE:
            return Key::del;
        case SDLK_LEFT:
            return Key::left;
        case SDLK_RIGHT:
            return Key::right;
        case SDLK_UP:
            return Key::up;
        case SDLK_DOWN:
            return Key::down;
        case SDLK_SPACE:
            return Key::space;
        case SDLK_HOME:
            return Key::home;
        case SDLK_END:
            return Key::end;
        case SDLK_z:
            if (!with_control(pressed)) return std::nullopt;
            return pressed.mod & KMOD_SHIFT ? Key::redo : Key::undo;
        case SDLK_F1:
            return Key::help;
        case SDLK_p:
            if (!with_control(pressed)) return std::nullopt;
            return Key::print;
        case SDLK_y:
            if (!with_control(pressed)) return std::nullopt;
            return Key::redo;
        default:
            return std::nullopt;
    }
}

WheelEvent wheel_of(const SDL_MouseWheelEvent& wheel) {
    const float sign = wheel.direction == SDL_MOUSEWHEEL_FLIPPED ? -1.0f : 1.0f;
    return {sign * wheel.preciseX, sign * wheel.preciseY};
}

bool on_the_viewport(SDL_TouchID device) {
    const SDL_TouchDeviceType type = SDL_GetTouchDeviceType(device);
    return type != SDL_TOUCH_DEVICE_INDIRECT_ABSOLUTE && type != SDL_TOUCH_DEVICE_INDIRECT_RELATIVE;
}

}  // namespace

void EventReader::read(const SDL_Event& event, std::vector<Event>& out) {
    const auto finger = [&] {
        return Finger{event.tfinger.fingerId, event.tfinger.x * static_cast<float>(viewport_.width_px),
                      event.tfinger.y * static_cast<float>(viewport_.height_px)};
    };
    switch (event.type) {
        case SDL_MOUSEBUTTONDOWN:
        case SDL_MOUSEBUTTONUP:
            return read_button(event.button, out);
        case SDL_MOUSEMOTION:
            return read_motion(event.motion, out);
        case SDL_MOUSEWHEEL:
            out.emplace_back(wheel_of(event.wheel));
            return;
        case SDL_FINGERDOWN:
            if (on_the_viewport(event.tfinger.touchId)) finger_down(finger(), out);
            return;
        case SDL_FINGERMOTION:
            return finger_move(finger(), out);
        case SDL_FINGERUP:
            return finger_up(finger(), out);
        case SDL_TEXTINPUT:
            out.emplace_back(TextEvent{event.text.text});
            return;
        case SDL_KEYDOWN:
            if (const auto key = key_of(event.key.keysym)) out.emplace_back(KeyEvent{*key});
            return;
        case SDL_USEREVENT:
            out.emplace_back(WakeEvent{});
            return;
        default:
            return;
    }
}

void EventReader::cancel(std::vector<Event>& out) {
    if (pressed_) end_press(out);
    fingers_ = {};
    pinching_ = false;
}

void EventReader::leave(std::vector<Event>& out) {
    if (!pressed_ && !fingers_[0]) end_press(out);
}

void EventReader::end_press(std::vector<Event>& out) {
    out.emplace_back(PointerEvent{Kind::cancel, x_, y_, touch_});
    pressed_ = false;
}

void EventReader::read_button(const SDL_MouseButtonEvent& button, std::vector<Event>& out) {
    // While a finger is down the mouse is ignored; so is a release without its press.
    const bool down = button.type == SDL_MOUSEBUTTONDOWN;
    if (button.which == SDL_TOUCH_MOUSEID || button.button != SDL_BUTTON_LEFT || fingers_[0]) return;
    if (down == pressed_) return;
    pressed_ = down;
    x_ = static_cast<float>(button.x);
    y_ = static_cast<float>(button.y);
    touch_ = false;
    out.emplace_back(PointerEvent{down ? Kind::down : Kind::up, x_, y_, touch_});
}

void EventReader::read_motion(const SDL_MouseMotionEvent& motion, std::vector<Event>& out) {
    if (motion.which == SDL_TOUCH_MOUSEID || fingers_[0]) return;
    x_ = static_cast<float>(motion.x);
    y_ = static_cast<float>(motion.y);
    touch_ = false;
    out.emplace_back(PointerEvent{Kind::move, x_, y_, touch_});
}

void EventReader::finger_down(const Finger& finger, std::vector<Event>& out) {
    // The same finger again: its release was lost. Or a mouse button was held.
    const bool again = fingers_[0] && fingers_[0]->id == finger.id;
    if (again || !fingers_[0]) {
        if (pinching_ && !again) return;
        cancel(out);
        fingers_[0] = finger;
        x_ = finger.x;
        y_ = finger.y;
        touch_ = pressed_ = true;
        out.emplace_back(PointerEvent{Kind::down, x_, y_, touch_});
        return;
    }
    if (pinching_) return;
    fingers_[1] = finger;
    end_press(out);
    pinching_ = true;
    spread_ = 0;  // a gesture's first event has factor 1
    pinch(out);
}

void EventReader::finger_move(const Finger& finger, std::vector<Event>& out) {
    for (auto& known : fingers_) {
        if (!known || known->id != finger.id) continue;
        known = finger;
        if (pinching_) return pinch(out);
        x_ = finger.x;
        y_ = finger.y;
        out.emplace_back(PointerEvent{Kind::move, x_, y_, touch_});
    }
}

void EventReader::finger_up(const Finger& finger, std::vector<Event>& out) {
    const auto is_it = [&](const auto& known) { return known && known->id == finger.id; };
    const auto known = std::find_if(fingers_.begin(), fingers_.end(), is_it);
    if (known == fingers_.end()) return;
    known->reset();
    if (!pinching_ && pressed_) {
        x_ = finger.x;
        y_ = finger.y;
        pressed_ = false;
        out.emplace_back(PointerEvent{Kind::up, x_, y_, touch_});
    }
    if (!fingers_[0] && !fingers_[1]) pinching_ = false;
}

void EventReader::pinch(std::vector<Event>& out) {
    if (!fingers_[0] || !fingers_[1]) return;
    // Fingers that touch each other would make the factor grow without limit.
    const float least = viewport_.px_per_mm;
    const float spread =
        std::max(least, std::hypot(fingers_[0]->x - fingers_[1]->x, fingers_[0]->y - fingers_[1]->y));
    const float factor = spread_ > 0 ? spread / spread_ : 1.0f;
    spread_ = spread;
    out.emplace_back(
        PinchEvent{(fingers_[0]->x + fingers_[1]->x) / 2, (fingers_[0]->y + fingers_[1]->y) / 2, factor});
}

}  // namespace restand
