#pragma once
// An app with its workshop file: carries out the app's effects and returns their results. The only place
// where screen and disk meet; the window, the screenshots and the screen tests all use it.

#include <filesystem>
#include <memory>

#include "app/app.h"
#include "app/task.h"
#include "app/task_result.h"
#include "core/store/writer.h"
#include "platform/tasks.h"
#include "platform/session_copies.h"
#include "platform/session_work.h"

namespace restand {

class Session : public Host {
public:
    // Opens the workshop file, or makes it if missing. A file that may only be read opens for reading.
    // `wake` is called from other threads (the writer's, that of copies, that of long work) when something
    // has finished. Errors as Store::open().
    static Result<std::unique_ptr<Session>> open(const std::filesystem::path& workshop, Viewport viewport,
                                                   std::function<void()> wake);
    ~Session() override;

    void handle(const Event& event) override;
    bool wants_frame() const override;
    ImDrawData* frame(double seconds) override;
    bool wants_text() const override { return app_.wants_text(); }

    App& app() { return app_; }
    void act(const Action& action);  // as if tapped
    void settle();                   // waits until all that was asked is on disk and shown
    void settle_copies();            // also waits for background copies

private:
    struct Sent { std::uint64_t ticket, job; std::shared_ptr<Result<TaskResult>> task_result; };

    Session(Store store, AppState state, Viewport viewport, std::function<void()> wake, TaskFolders places);
    void carry_out();   // effects of the app, and its draft
    void bring_back();  // what the writer, copies and long work have finished
    void give_up_work();   // copies, and work that takes long; does not wait
    void send(effect::Send&& sent);
    void go_back_to(const task::Restore& copy);
    void begin_new();
    void close_workshop();
    void open_workshop(bool anew, std::optional<AppNotice> notice);
    void settle_readings();
    void copy_when_due(bool at_start);
    void begin_beside();   // copies, and work that takes long

    App app_;
    std::function<void()> wake_;
    TaskFolders places_;
    // None of the three is empty between two calls. Copies and long work use the writer.
    std::unique_ptr<Writer> writer_;
    std::unique_ptr<WorkshopCopies> copies_;
    std::unique_ptr<LongWork> long_work_;
    std::vector<std::pair<std::uint64_t, std::uint64_t>> jobs_;  // writer's ticket, app state's job
    std::vector<Sent> tasks_;
    std::shared_ptr<Progress> progress_;                         // of the long work in progress
    std::uint64_t shown_progress_ = 0, entries_since_copy_ = 0;
    Draft kept_draft_;
};

}  // namespace restand
