// The modules as the program finds them: beside itself, as built, or where it installs them.

#include <dlfcn.h>

#include <system_error>

#include "platform/modules/modules.h"

namespace restand {
namespace {
namespace fs = std::filesystem;

Result<fs::path> place_of(const std::string& file) {
    std::error_code failed;
    const fs::path program = fs::read_symlink("/proc/self/exe", failed);
    // No search from where the command is run: that folder may be anybody's.
    if (failed) return Error{ErrorCode::io, "/proc/self/exe", failed.message()};
    const fs::path here = program.parent_path();
    const fs::path installed = (here / RESTAND_MODULE_FOLDER).lexically_normal();
    for (const fs::path& folder : {here, installed})
        if (fs::exists(folder / file, failed)) return folder / file;
    return Error{ErrorCode::not_found, file,
                 "it belongs into " + here.string() + " or " + installed.string() +
                     "; install Restand again, with all its files"};
}

Error unusable(const fs::path& file, const std::string& why) {
    return {ErrorCode::damaged, file.string(), why + "; install Restand again, with all its files"};
}

// The system loads a file once, however often it is asked, and counts how often: it is never unloaded.
template <class Module>
Result<const Module*> loaded(const std::string& file, const char* symbol) {
    const auto place = place_of(file);
    if (!place) return place.error();
    void* library = dlopen(place->c_str(), RTLD_NOW | RTLD_LOCAL);
    const auto* module = library ? static_cast<const Module*>(dlsym(library, symbol)) : nullptr;
    if (!module) {
        const char* why = dlerror();
        return unusable(*place, why ? why : "it has no part of Restand in it");
    }
    if (module->version != RESTAND_VERSION)
        return unusable(*place, "it belongs to Restand " + std::string(module->version));
    return module;
}

}  // namespace

Result<const WindowModule*> window_module() {
    return loaded<WindowModule>("restand_window.so", "restand_window_module");
}

Result<const PaperModule*> paper_module() {
    return loaded<PaperModule>("restand_paper.so", "restand_paper_module");
}

Result<const ServerModule*> server_module() {
    return loaded<ServerModule>("restand_server.so", "restand_server_module");
}

}  // namespace restand
