#pragma once
// Internal to core/casefile: the properties that only a fork has, namely two different legs and oil. Bike
// cases and front swap cases share this reader.

#include "core/casefile/case_fields.h"

namespace restand::case_file {

// Reads "other_leg" and "oil" of a fork at `path`. Its common keys, spring and installed length must already
// be read. `installed`: the key of the installed length; with "other_leg" it must be given for both springs.
void read_legs_and_oil(Fields& fork, const std::string& path, std::string_view installed, SuspensionUnit& out,
                       FirstError& error);

}  // namespace restand::case_file
