#pragma once
// The pages of the reference, embedded in the program (reference.cmake). Each file is stored beside the code
// it describes.

#include <span>

namespace restand {

// UTF-8, Markdown.
std::span<const unsigned char> commands_page();   // platform/terminal/commands.md
std::span<const unsigned char> case_page();       // core/casefile/case.md
std::span<const unsigned char> tables_page();     // core/tables/tables.md
std::span<const unsigned char> exchange_page();   // core/sync/exchange.md
std::span<const unsigned char> licences_page();   // assets/licences.md

}  // namespace restand
