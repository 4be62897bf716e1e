#pragma once
// The store as a task uses it that takes long: call by call. Readings are stored between two calls.

#include <functional>
#include <optional>
#include <type_traits>
#include <utility>

#include "core/store/store.h"

namespace restand {

class StoreCalls {
public:
    // Carries out one call; an error means that it was not.
    using CarryOut = std::function<Outcome(const std::function<void(Store&)>& call)>;
    explicit StoreCalls(CarryOut carry_out) : carry_out_(std::move(carry_out)) {}
    // `ask` is given the store and returns a Result, which is returned.
    template <class Ask>
    auto operator()(Ask ask) const -> std::invoke_result_t<Ask, Store&> {
        std::optional<std::invoke_result_t<Ask, Store&>> answer;
        const Outcome done = carry_out_([&](Store& store) { answer.emplace(ask(store)); });
        if (!done) return done.error();
        return std::move(*answer);
    }

private:
    CarryOut carry_out_;
};

}  // namespace restand
