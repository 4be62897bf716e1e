#pragma once
// The app as a device drives it: events → view → draw → apply(desk, action) → effects, left in a tray.
// The view is rebuilt only when something happened; a frame that would look the same is not drawn.

#include <functional>

#include "app/desk.h"
#include "app/screens/sheet_screen.h"
#include "app/stage.h"
#include "app/views/view.h"

namespace restand {

using Page = SheetView (*)(const Desk&);   // view(); a test may give one that fails

// Takes the draft if the page it leads to can be shown. False: an invariant of ours is broken, the desk is as before.
bool take_draft_that_shows(Desk& desk, const Draft& draft, Page page = view);

// A broken invariant of ours, in a page or in what a tap does, leaves the ledger and what is on its way to disk as they
// are; the page before is shown, with a sentence.
class App : public Stage {
public:
    // `wall_ms`: Unix time in UTC, for what is shown as 'saved'; the ledger's own clock is the store's.
    App(Desk desk, Glass glass, std::function<std::int64_t()> wall_ms, Page page = view);

    void handle(const Event& event) override;
    bool wants_frame() const override;
    ImDrawData* frame(double seconds) override;
    bool wants_text() const override { return false; }  // the pad has its own letters

    void act(const Action& action);
    void written(std::uint64_t job, const Result<std::vector<Entry>>& entries);
    void came_back(std::uint64_t job, const Result<News>& news);
    void progress(std::uint64_t done, std::uint64_t total);   // of the long work under way
    void begin_anew(Desk desk);          // another workshop on the same glass
    std::vector<Effect> take_effects();

    const Desk& desk() const { return desk_; }
    const SheetView& sheet();            // of the desk as it is now
    SheetScreen& screen() { return screen_; }
    int broken() const { return broken_; }   // how often an invariant of ours was

private:
    void changed();
    void show_page_before();

    Desk desk_;
    Page page_;
    DeskState shown_;                    // as sheet_ shows it
    int broken_ = 0;
    SheetScreen screen_;
    std::function<std::int64_t()> wall_ms_;
    SheetView sheet_;
    bool stale_ = true;                  // sheet_ is older than desk_
    bool undrawn_ = true;                // the glass shows an older sheet
};

}  // namespace restand
