#pragma once
// The app as a device drives it: events → view → draw → apply(state, action) → effects, collected for the
// platform. The view is rebuilt only after something happened; a frame that would look the same is not drawn.

#include <functional>

#include "app/draft.h"
#include "app/screens/page_screen.h"
#include "app/host.h"
#include "app/task_result.h"
#include "app/views/view.h"

namespace restand {

using ViewOf = PageView (*)(const AppState&);   // view(); a test may pass one that fails

// Takes the draft if the page it leads to can be shown. False: an internal invariant broke; the state is
// unchanged.
bool take_draft_that_shows(AppState& state, const Draft& draft, ViewOf view_of = view);

// When an internal invariant breaks in a page or in an action, the ledger and the pending writes stay as they
// are. The previous page is shown, with a sentence.
class App : public Host {
public:
    // `wall_ms`: Unix time in UTC, for the time of the last save on the screen. The ledger's own clock is the
    // store's.
    App(AppState state, Viewport viewport, std::function<std::int64_t()> wall_ms, ViewOf view_of = view);

    void handle(const Event& event) override;
    bool wants_frame() const override;
    ImDrawData* frame(double seconds) override;
    bool wants_text() const override { return false; }  // the pad has its own letter keys

    void act(const Action& action);
    void written(std::uint64_t job, const Result<std::vector<Entry>>& entries);
    void came_back(std::uint64_t job, const Result<TaskResult>& task_result);
    void progress(std::uint64_t done, std::uint64_t total);   // of the long task in progress
    void begin_anew(AppState state);          // another workshop in the same viewport
    std::vector<Effect> take_effects();

    const AppState& state() const { return state_; }
    const PageView& page();            // of the current state
    PageScreen& screen() { return screen_; }
    int broken() const { return broken_; }   // number of broken internal invariants so far

private:
    void changed();
    void show_page_before();

    AppState state_;
    ViewOf view_of_;
    UiState shown_;                    // as page_ shows it
    int broken_ = 0;
    PageScreen screen_;
    std::function<std::int64_t()> wall_ms_;
    PageView page_;
    bool stale_ = true;                  // page_ is older than state_
    bool undrawn_ = true;                // the screen shows an older page
};

}  // namespace restand
