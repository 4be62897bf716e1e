#pragma once
// An app with its workshop file: carries the app's effects out and brings back what came of them.
// The one place where screen and disk meet; the window, the screenshots and the screen tests all drive this.

#include <filesystem>
#include <memory>

#include "app/app.h"
#include "core/store/writer.h"

namespace restand {

class Workbench : public Stage {
public:
    // Opens the workshop file, makes it where there is none. A file that may only be read opens for reading.
    // `wake` is called from the writer's thread when something has finished. Errors as Store::open().
    static Result<std::unique_ptr<Workbench>> open(const std::filesystem::path& workshop, Glass glass,
                                                   std::function<void()> wake);
    ~Workbench() override;

    void handle(const Event& event) override;
    bool wants_frame() const override { return app_.wants_frame(); }
    ImDrawData* frame(double seconds) override;
    bool wants_text() const override { return app_.wants_text(); }

    App& app() { return app_; }
    void act(const Action& action);  // as if tapped
    void settle();                   // waits until all that was asked is on disk and shown

private:
    Workbench(Store store, Desk desk, Glass glass, std::function<void()> wake);
    void carry_out();   // effects of the app, and its draft
    void bring_back();  // what the writer has finished

    App app_;
    Writer writer_;
    std::vector<std::pair<std::uint64_t, std::uint64_t>> jobs_;  // writer's ticket, desk's job
    Draft kept_draft_;
};

}  // namespace restand
