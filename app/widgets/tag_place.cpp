#include "app/widgets/tag_place.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>

#include "app/views/crossing.h"

namespace restand {
namespace {

using Places = std::vector<std::optional<Rect>>;

bool hits(const Rect& r, Spot a, Spot b) {
    if (r.contains(a.x, a.y) || r.contains(b.x, b.y)) return true;
    const Spot c1{r.x, r.y}, c2{r.right(), r.y}, c3{r.right(), r.bottom()}, c4{r.x, r.bottom()};
    return segments_cross(a, b, c1, c3) || segments_cross(a, b, c2, c4);
}

Spot nearest_on(Spot a, Spot b, Spot p) {
    const float dx = b.x - a.x, dy = b.y - a.y, squared = dx * dx + dy * dy;
    const float t =
        squared > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / squared, 0.0f, 1.0f) : 0.0f;
    return {a.x + t * dx, a.y + t * dy};
}

Spot nearest_in(const Rect& r, Spot p) {
    return {std::clamp(p.x, r.x, r.right()), std::clamp(p.y, r.y, r.bottom())};
}

float distance(Spot a, Spot b) {
    const float dx = a.x - b.x, dy = a.y - b.y;
    return std::sqrt(dx * dx + dy * dy);  // pixels: no overflow or underflow, so hypot is not needed
}

class Search {
public:
    Search(std::span<const TagRoom> tags, const TagGround& ground, Places& places)
        : tags_(tags), ground_(ground), places_(places), settled_(tags.size(), 0) {}

    // Finds the best place for one tag with the others fixed; true if it moved.
    bool place(std::size_t self) {
        if (settled_[self] == moves_) return false;
        best_cost_ = reach_ = 1e9f;
        best_.reset();
        // Keep the current place unless another is clearly better.
        if (places_[self]) try_at(self, *places_[self], -0.5f);
        const TagRoom& tag = tags_[self];
        if (tag.b) along(self, tag.a, *tag.b);
        // Coarse search of the whole zone, then a fine search round the best spot.
        look(self, ground_.zone, coarse * ground_.mm);
        if (best_) look(self, best_->inset(-coarse * ground_.mm).both(ground_.zone), fine * ground_.mm);
        const bool moved = places_[self] != best_;
        places_[self] = best_;
        if (moved) ++moves_;
        settled_[self] = moves_;
        return moved;
    }

    // If a tag occupies another's best place, place both again, the one with the higher cost first.
    void untangle(std::span<const std::size_t> order) {
        for (const std::size_t self : order) {
            for (const std::size_t other : order) {
                if (other == self || cost_at(self) < tangled) continue;
                const Places before = places_;
                const auto settled = settled_;
                const auto moves = moves_++;
                const float cost = total();
                places_[self].reset();
                places_[other].reset();
                place(self);
                place(other);
                if (total() <= cost - 1) continue;
                places_ = before;
                settled_ = settled;
                moves_ = moves;
            }
        }
    }

private:
    static constexpr float tangled = 18, no_room = 500;  // mm of leader
    static constexpr float coarse = 4, fine = 1;         // mm between two looks

    // Outward from what the tag names, for the best is near it; left out is what lies so far off that the
    // leader alone would cost more than the best so far.
    void look(std::size_t self, const Rect& zone, float step) {
        const TagRoom& tag = tags_[self];
        const Spot b = tag.b.value_or(tag.a);
        const auto in_reach = [&](float low, float high, float end, float other) {
            return std::max(low - std::max(end, other), std::min(end, other) - high) < reach_;
        };
        outward(zone.y, zone.bottom() - tag.h, step, (tag.a.y + b.y - tag.h) / 2, [&](float y) {
            if (!in_reach(y, y + tag.h, tag.a.y, b.y)) return;
            outward(zone.x, zone.right() - tag.w, step, (tag.a.x + b.x - tag.w) / 2, [&](float x) {
                if (in_reach(x, x + tag.w, tag.a.x, b.x)) try_at(self, {x, y, tag.w, tag.h}, 0);
            });
        });
    }

    // Visits the grid from `low` to `high`, nearest to `middle` first.
    template <class Visit>
    static void outward(float low, float high, float step, float middle, const Visit& visit) {
        if (high < low) return;
        const int last = static_cast<int>((high - low) / step);
        const int start = std::clamp(static_cast<int>((middle - low) / step + 0.5f), 0, last);
        const auto at = [&](int i) { return low + static_cast<float>(i) * step; };
        visit(at(start));
        for (int off = 1; start - off >= 0 || start + off <= last; ++off) {
            if (start - off >= 0) visit(at(start - off));
            if (start + off <= last) visit(at(start + off));
        }
    }

    float cost_at(std::size_t self) const {
        if (!places_[self]) return tags_[self].first ? 20 * no_room : no_room;
        const Rect& area = *places_[self];
        return own_cost(self, area) + ink_cost(area) + cost_of_others(self, area);
    }

    float total() const {
        float sum = 0;
        for (std::size_t i = 0; i < places_.size(); ++i) sum += cost_at(i);
        return sum;
    }

    float ink_cost(const Rect& area) const { return 0.2f * ground_.ink->cover(area); }

    void along(std::size_t self, Spot a, Spot b) {
        for (const float t : {0.5f, 0.42f, 0.58f, 0.34f, 0.66f, 0.26f, 0.74f}) {
            const float x = a.x + t * (b.x - a.x), y = a.y + t * (b.y - a.y);
            try_at(self, {x - tags_[self].w / 2, y - tags_[self].h / 2, tags_[self].w, tags_[self].h}, 0);
        }
    }

    void try_at(std::size_t self, const Rect& area, float bonus) {
        float cost = bonus + own_cost(self, area);
        if (cost >= best_cost_) return;
        if (!is_free(area, ground_, places_, self)) return;
        cost += ink_cost(area);
        if (cost >= best_cost_) return;
        cost += cost_of_others(self, area);
        if (cost >= best_cost_) return;
        best_cost_ = cost;
        best_ = area;
        // own_cost is at least length + length²/30.
        reach_ = 15 * (std::sqrt(1 + cost / 7.5f) - 1) * ground_.mm;
    }

    // Distance from what it names, and not on top of it.
    float own_cost(std::size_t self, const Rect& area) const {
        const TagRoom& tag = tags_[self];
        const float mm = ground_.mm;
        const Rect wide = area.inset(-1.5f * mm);
        if (!tag.b) {
            const float length = leader_of(area, tag).length() / mm;
            return (wide.contains(tag.a.x, tag.a.y) ? 40.0f : 0.0f) + length + length * length / 30 +
                   (length < 4 ? 2 * (4 - length) : 0);
        }
        float cost = 0;
        const Rect heads = area.inset(-3.0f * mm);
        for (const Spot end : {tag.a, *tag.b}) cost += heads.contains(end.x, end.y) ? 15.0f : 0.0f;
        const Spot middle{(tag.a.x + tag.b->x) / 2, (tag.a.y + tag.b->y) / 2};
        const float away = distance({area.middle_x(), area.middle_y()}, middle) / mm;
        const float length = leader_of(area, tag).length() / mm;
        return cost + 0.2f * away + 1.2f * length + length * length / 30 +
               (length > 0 && length < 3 ? 3.0f : 0.0f);
    }

    float cost_of_others(std::size_t self, const Rect& area) const {
        const float mm = ground_.mm;
        const Rect wide = area.inset(-1.2f * mm);
        const Leader mine = leader_of(area, tags_[self]);
        const bool leads = mine.length() > mm;
        float cost = 0;
        for (std::size_t k = 0; k < tags_.size(); ++k) {
            if (k == self) continue;
            const TagRoom& other = tags_[k];
            if (other.b) {
                cost += hits(wide, other.a, *other.b) ? 22.0f : 0.0f;
                cost += leads && segments_cross(mine.from, mine.to, other.a, *other.b) ? 14.0f : 0.0f;
            }
            if (wide.contains(other.a.x, other.a.y)) cost += 30;
            if (tags_[self].b && places_[k] && hits(*places_[k], tags_[self].a, *tags_[self].b)) cost += 4;
            if (!places_[k]) continue;
            const Leader theirs = leader_of(*places_[k], other);
            if (theirs.length() > mm && hits(wide, theirs.from, theirs.to)) cost += 60;
            if (leads && hits(places_[k]->inset(-mm), mine.from, mine.to)) cost += 60;
            if (leads && theirs.length() > mm && segments_cross(mine.from, mine.to, theirs.from, theirs.to))
                cost += 60;
        }
        for (const Rect& joint : ground_.joints) {
            if (leads && hits(joint, mine.from, mine.to) && !joint.contains(mine.to.x, mine.to.y)) cost += 6;
        }
        return cost;
    }

    std::span<const TagRoom> tags_;
    const TagGround& ground_;
    Places& places_;
    std::uint64_t moves_ = 1;
    std::vector<std::uint64_t>
        settled_;  // `moves_` when it was last placed: nothing moved since, nothing to do
    std::optional<Rect> best_;
    float best_cost_ = 0, reach_ = 0;  // reach: px from what it names, beyond which nothing is better
};

}  // namespace

std::optional<std::pair<float, float>> part_inside(const Rect& r, Spot a, Spot b) {
    float from = 0, to = 1;
    const auto cut = [&](float start, float delta, float low, float high) {
        if (std::abs(delta) < 1e-6f) return start >= low && start <= high;
        const float t1 = (low - start) / delta, t2 = (high - start) / delta;
        from = std::max(from, std::min(t1, t2));
        to = std::min(to, std::max(t1, t2));
        return from <= to;
    };
    if (!cut(a.x, b.x - a.x, r.x, r.right()) || !cut(a.y, b.y - a.y, r.y, r.bottom())) return std::nullopt;
    return std::pair{from, to};
}

void InkMap::reset(const Rect& zone, float cell_px) {
    zone_ = zone;
    cell_ = std::max(1.0f, cell_px);
    columns_ = std::max(1, static_cast<int>(std::ceil(zone.w / cell_)));
    rows_ = std::max(1, static_cast<int>(std::ceil(zone.h / cell_)));
    sums_.assign(static_cast<std::size_t>(columns_ + 1) * static_cast<std::size_t>(rows_ + 1), 0.0f);
}

void InkMap::line(Spot a, Spot b, float weight) {
    // Cut to the zone first: a zoomed drawing reaches far outside.
    const auto seen = part_inside(zone_, a, b);
    if (!seen) return;
    const auto [from, to] = *seen;
    const float dx = b.x - a.x, dy = b.y - a.y;
    // In cells from here on.
    const float length = (to - from) * std::sqrt(dx * dx + dy * dy) / cell_;
    const int steps = static_cast<int>(length + 0.5f);  // 0: the next line of the outline has its other end
    const float share = (to - from) / static_cast<float>(std::max(1, steps));
    const float x0 = (a.x + from * dx - zone_.x) / cell_, y0 = (a.y + from * dy - zone_.y) / cell_;
    const float step_x = share * dx / cell_, step_y = share * dy / cell_;
    for (int i = 0; i <= steps; ++i) {
        const auto n = static_cast<float>(i);
        const int x = std::clamp(static_cast<int>(x0 + n * step_x), 0, columns_ - 1);
        const int y = std::clamp(static_cast<int>(y0 + n * step_y), 0, rows_ - 1);
        auto& cell = sums_[static_cast<std::size_t>((y + 1) * (columns_ + 1) + x + 1)];
        cell = std::max(cell, weight);
    }
}

void InkMap::finish() {
    const int wide = columns_ + 1;
    for (int y = 1; y <= rows_; ++y) {
        for (int x = 1; x <= columns_; ++x) {
            const auto at = static_cast<std::size_t>(y * wide + x);
            sums_[at] += sums_[at - 1] + sums_[at - static_cast<std::size_t>(wide)] -
                         sums_[at - static_cast<std::size_t>(wide) - 1];
        }
    }
}

float InkMap::cover(const Rect& area) const {
    const auto column = [&](float x) {
        return std::clamp(static_cast<int>((x - zone_.x) / cell_), 0, columns_);
    };
    const auto line = [&](float y) { return std::clamp(static_cast<int>((y - zone_.y) / cell_), 0, rows_); };
    const int x1 = column(area.x), x2 = column(area.right() + cell_), y1 = line(area.y),
              y2 = line(area.bottom() + cell_);
    const auto sum = [&](int x, int y) { return sums_[static_cast<std::size_t>(y * (columns_ + 1) + x)]; };
    return sum(x2, y2) - sum(x1, y2) - sum(x2, y1) + sum(x1, y1);
}

float Leader::length() const {
    return distance(from, to);
}

Leader leader_of(const Rect& area, const TagRoom& tag) {
    if (!tag.b) return {nearest_in(area, tag.a), tag.a};
    if (hits(area, tag.a, *tag.b)) return {tag.a, tag.a};
    // The shortest way from the rectangle to the line, between the arrowheads where it can be.
    const auto at = [&](float t) {
        return Spot{tag.a.x + t * (tag.b->x - tag.a.x), tag.a.y + t * (tag.b->y - tag.a.y)};
    };
    const Spot low = at(0.3f), high = at(0.7f);
    Leader best;
    float length = 1e9f;
    const auto consider = [&](Spot from, Spot to) {
        const float far = distance(from, to);
        if (far >= length) return;
        length = far;
        best = {from, to};
    };
    for (const Spot corner :
         {Spot{area.x, area.y}, Spot{area.right(), area.y}, Spot{area.right(), area.bottom()},
          Spot{area.x, area.bottom()}, Spot{area.middle_x(), area.y}, Spot{area.middle_x(), area.bottom()},
          Spot{area.x, area.middle_y()}, Spot{area.right(), area.middle_y()}}) {
        consider(corner, nearest_on(low, high, corner));
    }
    for (const Spot end : {low, high}) consider(nearest_in(area, end), end);
    return best;
}

bool is_free(const Rect& area, const TagGround& ground, std::span<const std::optional<Rect>> others,
             std::size_t self) {
    const Rect& zone = ground.zone;
    if (area.x < zone.x || area.y < zone.y || area.right() > zone.right() || area.bottom() > zone.bottom())
        return false;
    const auto covered = [&](const Rect& other) { return other.overlaps(area); };
    if (std::any_of(ground.joints.begin(), ground.joints.end(), covered)) return false;
    if (std::any_of(ground.blocked.begin(), ground.blocked.end(), covered)) return false;
    const Rect wide = area.inset(-2.0f * ground.mm);
    for (std::size_t k = 0; k < others.size(); ++k) {
        if (k != self && others[k] && wide.overlaps(*others[k])) return false;
    }
    return true;
}

std::vector<std::optional<Rect>> place_tags(std::span<const TagRoom> tags, const TagGround& ground) {
    Places places(tags.size());
    std::vector<std::size_t> order(tags.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    // The open one first, then dimensions: they have fewer good places.
    std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
        const auto rank = [&](const TagRoom& tag) { return tag.first ? 0 : tag.b ? 1 : 2; };
        return rank(tags[x]) < rank(tags[y]);
    });
    Search search(tags, ground, places);
    const auto settle = [&] {
        for (int sweep = 0; sweep < 5; ++sweep) {
            bool moved = false;
            for (const std::size_t self : order) moved |= search.place(self);
            if (!moved) return;
        }
    };
    settle();
    search.untangle(order);
    settle();
    return places;
}

}  // namespace restand
