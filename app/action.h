#pragma once
// One request of the user, as a value: any struct from the areas' *_actions.h. The screen, a gauge, the tests
// and the random driver all send actions. Beside each struct an area declares the function that applies it:
//
//   namespace act { struct AddBike {}; }
//   void act_on(AppState&, const act::AddBike&);

#include <concepts>
#include <memory>
#include <utility>

namespace restand {

struct AppState;

class Action {
public:
    Action() = default;   // does nothing
    template <class Act>
        requires requires(AppState& state, const Act& act) { act_on(state, act); }
    Action(Act act) : held_(static_cast<const Held*>(new HeldAct<Act>(std::move(act)))) {}

    void apply(AppState& state) const {
        if (held_) held_->apply(state);
    }
    template <class Act>
    const Act* get_if() const {
        const auto* held = dynamic_cast<const HeldAct<Act>*>(held_.get());
        return held ? &held->act : nullptr;
    }
    template <class Act>
    bool is() const {
        return get_if<Act>() != nullptr;
    }

private:
    struct Held {
        virtual ~Held() = default;
        virtual void apply(AppState& state) const = 0;
    };
    template <class Act>
    struct HeldAct final : Held {
        explicit HeldAct(Act a) : act(std::move(a)) {}
        void apply(AppState& state) const override { act_on(state, act); }
        Act act;
    };
    std::shared_ptr<const Held> held_;
};

}  // namespace restand
