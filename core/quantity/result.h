#pragma once
// The error type. Bad input and a missing solution are returned as values, not thrown.
// The core contains no sentences for people: `subject` names the field, `detail` holds the data a sentence
// needs ("0 < x <= 2000"). The app and the terminal write the sentences. Method names as in std::expected.

#include <string>
#include <string_view>
#include <utility>
#include <variant>

namespace restand {

enum class ErrorCode {
    not_a_number,    // text or value is not a finite number; detail: the text that was found
    out_of_range,    // detail: the allowed range
    unknown_unit,    // detail: the unit as typed
    wrong_unit,      // known unit, but of another dimension
    wrong_type,      // JSON value of the wrong type; detail: the expected type
    unknown_key,     // detail: the nearest known key, if any
    missing,         // a required field is absent
    not_sorted,      // pairs not in order of rising unit length; detail: which pair
    not_monotone,    // ride height does not rise with unit length; detail: which pair
    contradiction,   // two fields exclude each other; detail: the other field and the rule
    too_large,       // file or field larger than its limit; detail: the limit
    truncated,       // file ends before its stated length
    damaged,         // hash, integrity check or syntax is wrong; detail: where
    not_ours,        // not a Restand file
    newer_version,   // written by a later version of Restand; detail: that version
    read_only,       // can be read but not written
    in_use,          // another process is writing to it
    not_found,
    io,              // the operating system reported an error; detail: its message
    no_solution,     // detail: the limit that prevents a solution
    cancelled,       // cancelled on request; see core/quantity/progress.h
};
std::string_view key(ErrorCode code);   // "out_of_range"; machine-readable

struct Error {
    ErrorCode code;
    std::string subject;  // field path ("new_unit.spring.rate_n_per_mm"), file or id
    std::string detail;
    friend bool operator==(const Error&, const Error&) = default;
};

// Thrown when one of our own invariants is broken. That is a bug, so it is thrown in release builds too. Two
// places catch it: App (app/app.h) restores the page as it was before and goes on; thrown_by()
// (core/store/thrown.h) returns it as an io error.
struct BrokenInvariant { const char* why; };
[[noreturn]] void broken_invariant(const char* why);   // prints `why` and throws
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

struct Done {};  // success value of a function that returns no data
using Outcome = Result<Done>;

}  // namespace restand
