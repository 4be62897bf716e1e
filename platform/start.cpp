#include "platform/start.h"

#include <filesystem>
#include <ostream>

#include "app/sentences.h"
#include "demo/season.h"
#include "platform/desktop/open.h"
#include "platform/modules/modules.h"
#include "platform/places.h"
#include "platform/terminal/plain_out.h"
#include "platform/terminal/terminal.h"

namespace restand {
namespace {

// No command contains a dot or a slash; every workshop file named by a desktop or a shell does.
bool names_a_file(std::string_view word) {
    return !word.starts_with('-') && word.find_first_of("./\\") != std::string_view::npos;
}

int refuse(const Error& error, std::ostream& err) {
    err << "restand: " << plain_line(sentence(error)) << "\n";
    return 2;
}

int open(const std::filesystem::path& workshop, std::ostream& err) {
    const auto window = window_module();
    if (window) return (*window)->open_app(workshop, err);
    refuse(window.error(), err);
    return no_window;
}

int open_own_workshop(std::ostream& err) {
    const auto file = own_workshop();
    return file ? open(*file, err) : refuse(file.error(), err);
}

int screenshot(std::string_view folder, std::ostream& err) {
    const auto window = window_module();
    if (!window) return refuse(window.error(), err);
    const auto written = (*window)->write_screens(folder);
    return written ? 0 : refuse(written.error(), err);
}

// An existing file is left unchanged, with a message.
int demo(std::string_view file, std::ostream& out, std::ostream& err) {
    std::error_code failed;
    if (std::filesystem::exists(file, failed))
        out << plain_line(file) << " is there already; nothing was changed\n";
    const auto made = make_demo(file);
    return made ? 0 : refuse(made.error(), err);
}

}  // namespace

int start(std::span<const std::string_view> words, std::ostream& out, std::ostream& err) {
    if (words.empty()) return open_own_workshop(err);
    if (words.size() == 1 && names_a_file(words[0])) return open(words[0], err);
    if (words.size() == 2 && words[0] == "--demo") return demo(words[1], out, err);
    if (words.size() == 2 && words[0] == "--screenshot") return screenshot(words[1], err);
    return terminal(words, out, err);
}

}  // namespace restand
