#pragma once
// The parsed command line (command, operands and options), and what every command shares: exit codes, how
// files are read and named in messages.

#include <cstdint>
#include <optional>
#include <ostream>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/result.h"

namespace restand {

inline constexpr int exit_done = 0;
inline constexpr int exit_bad_input = 2;
inline constexpr int exit_not_held = 3;

struct Request {
    std::string_view command;
    std::vector<std::string_view> operands;
    std::optional<std::string_view> workshop;  // --file
    std::optional<std::string_view> postgres, bike, words, part, output, milestone;
    bool json = false, text = false, replace = false, help = false, version = false;
    bool yes = false, month_first = false, schema = false, letter = false, csv = false, other = false;
};
// Errors: unknown_key (an unknown option; detail: the nearest), missing (an option without its value).
Result<Request> read_request(std::span<const std::string_view> args);

// Where the workshop file is: --file, else the person's own (platform/places.h). Error io: no such place.
// `shown` is what messages call it: as typed, or "the workshop file".
struct WorkshopPath {
    std::string path, shown;
};
Result<WorkshopPath> workshop_path(std::optional<std::string_view> given);

// All bytes of a file or of standard input ("-"), no more than `cap`. A larger file is refused by its size
// alone; one that does not begin with `start`, by its first bytes. Errors, subject = as typed: not_found,
// wrong_type (a folder, a device), not_ours (another start), too_large, io.
Result<std::string> read_bytes(std::string_view name, std::uint64_t cap, std::string_view start = {});
inline constexpr std::string_view bundle_start = "RSTD";

int complain(std::ostream& err, const Error& error);  // "restand: …" on err; returns exit_bad_input

}  // namespace restand
