#pragma once
// The parts of the program that only some commands need, each with a large library: the window (SDL, Dear
// ImGui), paper (Cairo), the server (libpq). The program itself links none of them. A part is a shared module
// beside the program; it is loaded where it is first used and stays loaded.
//
//   restand ── window_module() ──► restand_window.so   uses the functions of the program that loaded it,
//           ── paper_module()  ──► restand_paper.so    so that nothing is there twice
//           ── server_module() ──► restand_server.so
//
// loaded.cpp is the program's; linked.cpp is for test programs, which link the parts.

#include <filesystem>
#include <iosfwd>
#include <string>
#include <string_view>
#include <vector>

#include "app/print/sheet_pdf.h"
#include "core/quantity/result.h"
#include "core/sync/postgres.h"

namespace restand {

/// `version` of each: that of the program it was built with.
struct WindowModule {
    std::string_view version;
    int (*open_app)(const std::filesystem::path& workshop, std::ostream& err);   ///< desktop/open.h
    Outcome (*write_screens)(const std::filesystem::path& folder);               ///< desktop/screens.h
};
struct PaperModule {
    std::string_view version;
    Result<std::string> (*print)(const SheetPage& page, Paper paper);            ///< app/print/sheet_pdf.h
};
/// core/sync/postgres.h
struct ServerModule {
    std::string_view version;
    Result<std::vector<Seen>> (*look)(const PostgresPlace&, const Sender&);
    Result<std::uint64_t> (*put)(const PostgresPlace&, const Sender&, const Those&, Progress*);
    Result<Taken> (*take)(const PostgresPlace&, const Sender&, Progress*);
};

/// From any thread. Errors, subject = the module's file: not_found (it is not where it belongs; `detail` says
/// where that is), damaged (the system cannot load it, or it is another version's).
Result<const WindowModule*> window_module();
Result<const PaperModule*> paper_module();
Result<const ServerModule*> server_module();

}  // namespace restand
