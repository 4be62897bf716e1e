// Entry point: no argument, or the name of a workshop file, opens the app; other arguments go to the
// terminal.
//   restand --demo FILE         makes the demo team's workshop if FILE does not exist
//   restand --screenshot DIR    draws every screen of it
#include <filesystem>
#include <iostream>
#include <string_view>
#include <vector>

#include "app/sentences.h"
#include "demo/season.h"
#include "platform/desktop/open.h"
#include "platform/modules/modules.h"
#include "platform/places.h"
#include "platform/terminal/plain_out.h"
#include "platform/terminal/terminal.h"

namespace {

// No command contains a dot or a slash; every workshop file named by a desktop or a shell does.
bool names_a_file(std::string_view word) {
    return !word.starts_with('-') && word.find_first_of("./\\") != std::string_view::npos;
}

int refuse(const restand::Error& error) {
    std::cerr << "restand: " << restand::plain_line(restand::sentence(error)) << "\n";
    return 2;
}

int open(const std::filesystem::path& workshop) {
    const auto window = restand::window_module();
    if (window) return (*window)->open_app(workshop, std::cerr);
    refuse(window.error());
    return restand::no_window;
}

int open_own_workshop() {
    const auto file = restand::own_workshop();
    return file ? open(*file) : refuse(file.error());
}

int screenshot(std::string_view folder) {
    const auto window = restand::window_module();
    if (!window) return refuse(window.error());
    const auto written = (*window)->write_screens(folder);
    return written ? 0 : refuse(written.error());
}

// An existing file is left unchanged, with a message.
int demo(std::string_view file) {
    std::error_code failed;
    if (std::filesystem::exists(file, failed))
        std::cout << restand::plain_line(file) << " is there already; nothing was changed\n";
    const auto made = restand::make_demo(file);
    return made ? 0 : refuse(made.error());
}

}  // namespace

int main(int argc, char** argv) {
    const std::vector<std::string_view> words(argv + 1, argv + argc);
    if (words.empty()) return open_own_workshop();
    if (words.size() == 1 && names_a_file(words[0])) return open(words[0]);
    if (words.size() == 2 && words[0] == "--demo") return demo(words[1]);
    if (words.size() == 2 && words[0] == "--screenshot") return screenshot(words[1]);
    return restand::terminal(words, std::cout, std::cerr);
}
