#pragma once
// Turns what a call throws (no memory, a broken invariant) into the error of a refusing disk, for threads
// that must continue.

#include <exception>
#include <optional>
#include <string>

#include "core/quantity/result.h"

namespace restand {

// nullopt: it finished. Error io: subject as given, detail what was thrown.
template <class Call>
std::optional<Error> thrown_by(const std::string& subject, Call&& call) {
    try {
        call();
        return std::nullopt;
    } catch (const BrokenInvariant& broken) {
        return Error{ErrorCode::io, subject, broken.why};
    } catch (const std::exception& thrown) {
        return Error{ErrorCode::io, subject, thrown.what()};
    }
}

}  // namespace restand
