#include "platform/web/storage.h"

#include <emscripten.h>

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace {

using Waiting = std::vector<std::function<void(restand::Outcome)>>;
Waiting under_way, next;  // next: they came while files were being stored, so those do for none of them

}  // namespace

// clang-format off
EM_JS(void, begin_to_store_files, (), {
    Module.storeFiles((why) => {
        const size = lengthBytesUTF8(why) + 1;
        const text = _malloc(size);
        stringToUTF8(why, text, size);
        _restand_files_stored(text);
        _free(text);
    });
});

EM_JS(void, tell_page_of_trouble, (const char* why), {
    if (Module.storageTrouble) Module.storageTrouble(UTF8ToString(why));
});
// clang-format on

extern "C" EMSCRIPTEN_KEEPALIVE void restand_files_stored(const char* why) {
    const restand::Error refused{restand::ErrorCode::io, restand::browser_folder, why};
    const restand::Outcome outcome = why[0] == '\0' ? restand::Outcome(restand::Done{}) : refused;
    const Waiting ended = std::exchange(under_way, std::exchange(next, {}));
    if (!under_way.empty()) begin_to_store_files();
    for (const auto& stored : ended) stored(outcome);
}

namespace restand {

void store_files(std::function<void(Outcome)> stored) {
    const bool busy = !under_way.empty();
    (busy ? next : under_way).push_back(std::move(stored));
    if (!busy) begin_to_store_files();
}

void when_stored(std::function<void()> then) {
    store_files([then = std::move(then)](const Outcome& outcome) {
        if (outcome) return then();
        constexpr int again_ms = 2'000;
        const auto again = [](void* of) {
            const std::unique_ptr<std::function<void()>> call(static_cast<std::function<void()>*>(of));
            when_stored(std::move(*call));
        };
        emscripten_async_call(again, new std::function<void()>(then), again_ms);
    });
}

void show_storage_trouble(const std::string& why) {
    tell_page_of_trouble(why.c_str());
}

}  // namespace restand
