#pragma once
// Inside the case files only: what a fork has beyond a shock, two legs that differ and oil. A bike case and a
// front case read it alike.

#include "core/casefile/case_fields.h"

namespace restand::case_file {

// "other_leg" and "oil" of a fork at `path` whose common keys, spring and installed length are read already.
// `installed`: the key of the installed length, of both legs' springs; with another leg it must be given for both.
void read_legs_and_oil(Fields& fork, const std::string& path, std::string_view installed, SuspensionUnit& out,
                       FirstError& error);

}  // namespace restand::case_file
