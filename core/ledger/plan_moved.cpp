#include "core/ledger/plan_moved.h"

#include "core/ledger/moved_by.h"
#include "core/ledger/restore_plan.h"

namespace restand {
namespace {

bool is_chain_refit(Point point) {
    return point == Point::sprocket_front || point == Point::sprocket_rear || point == Point::chain_links;
}

}  // namespace

void Moved::note(const std::string& key, End end, Point point) {
    if ((end == End::rear && moves(point, Point::chain_slack, slack_stand)) || point == Point::chain_slack) {
        chain = true;
        since.erase(action_key(Doing::measure, End::rear, Point::chain_slack));
    }
    if (moved_by(point).any_height()) {
        heights.insert(end);
        for (const Point p : ride_heights) since.erase(action_key(Doing::measure, end, p));
    }
    if (is_chain_refit(point)) {
        refit = true;
        since.erase(action_key(Doing::set_axle, End::rear, Point::axle_position));
        since.erase(action_key(Doing::set_slack, End::rear, Point::chain_slack));
    }
    since.insert(key);
}

bool Moved::measured(End end, Point point) const {
    return since.contains(action_key(Doing::measure, end, point));
}

}  // namespace restand
