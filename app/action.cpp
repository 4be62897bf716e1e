#include "app/action.h"

namespace restand {

Action::Action() = default;
Action::Action(const Action&) = default;
Action::Action(Action&&) noexcept = default;
Action& Action::operator=(const Action&) = default;
Action& Action::operator=(Action&&) noexcept = default;
Action::~Action() = default;

}  // namespace restand
