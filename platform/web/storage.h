#pragma once
// What the browser keeps. The program's files stand in memory under `browser_folder`; store_files() copies
// what changed into the browser's database (storage.js), in one transaction: a page that is killed leaves the
// files as they were after the last one that ended.
//
// A file written is not a file kept: only when `stored` is called is it on the device.

#include <functional>

#include "core/quantity/result.h"

namespace restand {

inline constexpr const char* browser_folder = "/restand";

/// `stored` is called later, from the browser's event loop. Error: io, with the browser's words
/// (no room, or it refuses to keep anything).
void store_files(std::function<void(Outcome)> stored);

/// Calls `then` once what stands in the files now is on the device; while the browser refuses it tries again.
void when_stored(std::function<void()> then);

/// Tells the page that storing failed, so that it says so and offers the file; empty: it works again.
void show_storage_trouble(const std::string& why);

}  // namespace restand
