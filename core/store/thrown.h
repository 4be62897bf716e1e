#pragma once
// What a call throws – no memory, a broken invariant – as the error of a disk that refuses, for threads that go on.

#include <exception>
#include <optional>
#include <string>

#include "core/quantity/result.h"

namespace restand {

// nullopt: it came to its end. Error io: subject as given, detail what was thrown.
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
