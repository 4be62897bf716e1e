#pragma once
// What a function says when it cannot answer: bad input and missing solutions are values, not exceptions.
// The core words no sentences; `subject` names the field, `detail` holds what a sentence needs
// ("0 < x <= 2000"). The app and the terminal do the wording. Method names as in std::expected.

#include <string>
#include <string_view>
#include <utility>
#include <variant>

namespace restand {

enum class ErrorCode {
    not_a_number,    // text or value is no finite number; detail: what stood there
    out_of_range,    // detail: the allowed range
    unknown_unit,    // detail: the unit as typed
    wrong_unit,      // a known unit of another dimension
    wrong_type,      // JSON of another type; detail: what was expected
    unknown_key,     // detail: the nearest known key, if any
    missing,         // a required field is absent
    not_sorted,      // pairs not in rising unit length; detail: which
    not_monotone,    // ride height does not rise with unit length; detail: which
    contradiction,   // two fields exclude each other; detail: the other field and the rule
    too_large,       // file or field beyond its cap; detail: the cap
    truncated,       // ends before its stated length
    damaged,         // hash, integrity check or syntax fails; detail: where
    not_ours,        // not a file of Restand's
    newer_version,   // made by a later Restand; detail: its version
    read_only,       // may be read, not written
    in_use,          // another process writes to it
    not_found,
    io,              // the system refused; detail: its words
    no_solution,     // detail: the limit in the way
    cancelled,       // somebody asked for it; nothing was changed
};
std::string_view key(ErrorCode code);   // "out_of_range", for machines

struct Error {
    ErrorCode code;
    std::string subject;  // field path ("new_unit.spring.rate_n_per_mm"), file or id
    std::string detail;
    friend bool operator==(const Error&, const Error&) = default;
};

// A broken invariant of our own is a bug: it stops the program in release builds too. Only App (app/app.h) goes on
// from one, with the page before; nothing else catches this.
struct BrokenInvariant { const char* why; };
[[noreturn]] void broken_invariant(const char* why);   // prints why and throws
inline void check(bool holds, const char* why) {
    if (!holds) broken_invariant(why);
}

template <class T>
class [[nodiscard]] Result {
public:
    Result(T value) : v_(std::in_place_index<0>, std::move(value)) {}
    Result(Error error) : v_(std::in_place_index<1>, std::move(error)) {}

    bool has_value() const { return v_.index() == 0; }
    explicit operator bool() const { return has_value(); }
    const T& value() const& { return check(has_value(), "value() of an error"), std::get<0>(v_); }
    T& value() & { return check(has_value(), "value() of an error"), std::get<0>(v_); }
    T&& value() && { return check(has_value(), "value() of an error"), std::get<0>(std::move(v_)); }
    const Error& error() const { return check(!has_value(), "error() of a value"), std::get<1>(v_); }
    const T& operator*() const& { return value(); }
    T& operator*() & { return value(); }
    T&& operator*() && { return std::move(*this).value(); }
    const T* operator->() const { return &value(); }
    T* operator->() { return &value(); }
    T value_or(T other) const { return has_value() ? value() : std::move(other); }

private:
    std::variant<T, Error> v_;
};

struct Done {};  // the value of a change that has nothing else to say
using Outcome = Result<Done>;

}  // namespace restand
