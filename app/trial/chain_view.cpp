#include "app/trial/chain_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "app/season/baselines_view.h"
#include "app/trial/chassis_parts.h"
#include "app/views/point_wording.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/ledger/shelf.h"
#include "core/ledger/swap_solution.h"

namespace restand {

namespace {
// What this page sets.
constexpr std::pair<End, Point> chain_adjusters[] = {{End::rear, Point::axle_position},
                                                     {End::rear, Point::chain_links},
                                                     {End::rear, Point::sprocket_front},
                                                     {End::rear, Point::sprocket_rear}};

struct ChainSheet {
    const AppState& state;
    const Bike& bike;
    const SetUp& tried;
    const ChainNow& chain;
    const ChainNow* present;  // beside what is tried; nullptr: nothing is, or it is not known
    ArmEffect effect;
    Length usual;  // at the tight spot, at present
    std::vector<Row>& rows;

    std::string mm_text(Length l) const { return wording::length(l, state.ledger.units()); }
    // A tenth of a millimetre at the axle is several of slack.
    std::string moved(Length by) const {
        const Unit unit = state.ledger.units().length;
        return fmt::format("{:.2f} {}", from_canonical(by.value, unit), symbol(unit));
    }
    double value(Point point) const {
        const StoredReading* stored = tried.stored(End::rear, point);
        return stored ? measured(stored->reading).value : 0.0;
    }
    double wanted_slack() const {
        return state.trial.wanted_slack > 0 ? state.trial.wanted_slack : std::max(5.0, in_mm(usual));
    }

    double slot() const {
        return bike.body.mechanism.slot_length ? in_mm(*bike.body.mechanism.slot_length) : 40.0;
    }
    // What is tried leaves another slack than the one that is wanted.
    bool slack_is_off() const {
        return !state.trial.tried.empty() && abs(chain.tight.slack - mm(wanted_slack())) > slack_tolerance;
    }

    // As it is tried, after what it is: "31.0 → 12.6 mm". One line each, so that no row moves at the first trial.
    void number_rows() {
        rows.push_back(row::TableHead{"", ""});
        const auto line = [&](const char* label, auto text_of) {
            std::string text = text_of(chain);
            if (const std::string was = present ? text_of(*present) : text; was != text)
                text = was.substr(0, was.find(' ')) + " → " + text;
            rows.push_back(row::TableLine{label, "", std::move(text)});
        };
        line("slack",  // how it is read stands below the drawing
             [this](const ChainNow& c) { return mm_text(c.on_stand.slack); });
        line("tight spot", [this](const ChainNow& c) { return mm_text(c.tight.slack); });
        line("droop", [](const ChainNow& c) { return fmt::format("{:.1f}°", in_degrees(c.tight.droop)); });
        line("final drive", [](const ChainNow& c) { return fmt::format("{:.3f}", c.run.sprockets.ratio()); });
        short_chain_row(chain, state.ledger.units(), rows);
    }

    void slack_rows() {
        const Unit unit = state.ledger.units().length;
        const bool inches = unit == Unit::inch;
        const double step = inches ? 1.27 : 1;
        const double from = state.trial.wanted_slack > 0 ? 0 : wanted_slack();
        rows.push_back(row::Stepper{.id = "want:slack",
                                    .label = "wanted at the tight spot",
                                    .value = wording::value(wanted_slack(), unit),
                                    .unit = std::string(symbol(unit)),
                                    .less = inches ? "−0.05 in" : "−1 mm",
                                    .more = inches ? "+0.05 in" : "+1 mm",
                                    .tap_less = act::WantSlack{from - step},
                                    .tap_more = act::WantSlack{from + step},
                                    .tap_value = act::DismissNotice{},
                                    .saving = false});
        const auto arm = arm_for(chain.run, chain.tight.droop, mm(wanted_slack()));
        if (!arm) return rows.push_back(row::Note{wording::sentence(arm.error()), Ink::stop});
        if (state.trial.wanted_slack > 0) wanted_rows(*arm);
    }

    // Below what is tapped, so that no row moves under the finger: the pitch, and a slack that is off.
    void rows_below() {
        const Unit unit = state.ledger.units().length;
        const auto& pitch = bike.body.mechanism.chain_pitch;
        rows.push_back(row::TableHead{"", ""});
        rows.push_back(row::TableLine{
            pitch ? "pitch" : "pitch, assumed", "",
            fmt::format("{:.3f} {}", from_canonical(chain.run.pitch.value, unit), symbol(unit))});
        if (slack_is_off())
            rows.push_back(row::Note{fmt::format("Set so, the slack at the tight spot is {}, not {}.",
                                                 mm_text(chain.tight.slack), mm_text(mm(wanted_slack()))),
                                     Ink::stop, true});
    }

    // Where the axle goes for the slack that is wanted, and that as a trial.
    void wanted_rows(Length arm) {
        const Unit unit = state.ledger.units().length;
        const SlackAt set = slack_at(chain.run, arm, chain.stand);
        rows.push_back(row::Big{.id = "slack",
                                .label = chain.stand == chain.top ? "set topped out" : "set on the stand",
                                .value = wording::value(set.slack.value, unit),
                                .unit = std::string(symbol(unit)),
                                .action = "",
                                .from = "",
                                .note = fmt::format("axle {} {}", moved(abs(arm - chain.arm)),
                                                    arm < chain.arm ? "forward" : "back")});
        if (!tried.stored(End::rear, Point::axle_position)) return;  // nobody knows where it is
        const double axle = std::round((value(Point::axle_position) + in_mm(arm - chain.arm)) * 10) / 10;
        if (axle < 0 || axle > slot())
            return rows.push_back(row::Note{"The slot does not reach so far.", Ink::stop, true});
        if (axle != value(Point::axle_position))
            rows.push_back(row::Button{"want:axle", "Try the axle at " + mm_text(mm(axle)), "from slot front",
                                       act::TryTo{End::rear, Point::axle_position, axle}});
    }

    // Sprockets on the shelf and on the bike. With none on the shelf: those on the bike and their neighbours.
    struct Stock {
        std::set<int> front, rear;
        bool counted = false;
    };
    Stock stock() const {
        const Sprockets now = chain.run.sprockets;
        Stock s{{now.front}, {now.rear}};
        for (const ShelfItem* item : state.ledger.shelf())
            for (const auto& [point, teeth] :
                 {std::pair{Point::sprocket_front, &s.front}, {Point::sprocket_rear, &s.rear}})
                if (const Reading* r = value_of(item->body, point)) {
                    teeth->insert(static_cast<int>(std::lround(measured(*r).value)));
                    s.counted = true;
                }
        if (s.counted) return s;
        for (int z = std::max(11, now.front - 2); z <= now.front + 2; ++z) s.front.insert(z);
        for (int z = std::max(30, now.rear - 4); z <= now.rear + 4; ++z) s.rear.insert(z);
        return s;
    }

    // "112 links · axle 17.7 mm · wheelbase −4.3, rear −0.8"
    std::string option_text(const GearOption& o) const {
        const Unit unit = state.ledger.units().length;
        std::string text = fmt::format("{} links · axle {}", o.links, mm_text(o.axle));
        if (!o.fits) return text + " · outside the slot";
        const auto add = [&](const char* what, Length by) {
            if (abs(by) >= mm(0.05))
                text += fmt::format(" · {} {}", what, wording::signed_value(by.value, unit));
        };
        add("wheelbase", o.wheelbase);
        add("rear height", o.ride_height);
        if (std::fabs(in_degrees(o.arm_to_ground)) >= 0.05)
            text += fmt::format(" · swingarm {:+.1f}°", in_degrees(o.arm_to_ground));
        return text;
    }

    void option_rows() {
        const Sprockets now = chain.run.sprockets;
        const Stock in_stock = stock();
        const std::vector<int> front(in_stock.front.begin(), in_stock.front.end()),
            rear(in_stock.rear.begin(), in_stock.rear.end());
        const double axle = value(Point::axle_position);
        const GearQuestion question{.run = chain.run,
                                    .arm = chain.arm,
                                    .slot = {mm(axle), mm(0), mm(slot())},
                                    .low = chain.full,
                                    .high = chain.top,
                                    .slack_at_tight_spot = mm(wanted_slack()),
                                    .ratio = state.trial.wanted_ratio.value_or(now.ratio()),
                                    .odd_links = false,
                                    .effect = effect};
        rows.push_back(row::Heading{in_stock.counted
                                        ? "In stock, nearest to the wanted ratio first"
                                        : "Sprockets near these, nearest to the wanted ratio first"});
        rows.push_back(row::Stepper{.id = "want:ratio",
                                    .label = "wanted ratio",
                                    .value = fmt::format("{:.3f}", question.ratio),
                                    .unit = "",
                                    .less = "−0.02",
                                    .more = "+0.02",
                                    .tap_less = act::WantRatio{-0.02},
                                    .tap_more = act::WantRatio{0.02},
                                    .tap_value = act::DismissNotice{},
                                    .saving = false});
        if (!bike.body.mechanism.slot_length)
            rows.push_back(
                row::Note{"The slot's length is not known; 40 mm are taken.", Ink::ink, false, true});
        std::size_t shown = 0;
        for (const GearOption& o : gear_options(question, front, rear)) {
            if (++shown > 8) break;
            const bool is = o.sprockets == now && o.links == chain.run.links;
            rows.push_back(row::Button{
                fmt::format("gear:{}:{}", o.sprockets.front, o.sprockets.rear),
                fmt::format("{}/{} · {:.3f}", o.sprockets.front, o.sprockets.rear, o.ratio), option_text(o),
                act::TryGear{o.sprockets.front, o.sprockets.rear, o.links,
                             std::round(in_mm(o.axle) * 10) / 10},
                true, is});
        }
    }
};

void draw_chain_run(const Bike& bike, const SetUp& tried, const ChainNow& chain, PageView& page,
                    const UnitChoice& units) {
    PictureInput in = picture_of(bike.body, End::rear, Scene::chain, numbers_of(tried, End::rear));
    in.known[Point::chain_slack] = in_mm(chain.on_stand.slack);
    const auto top = tried.length(End::rear, Point::ride_height_topped_out);
    if (top) {
        in.height = *top;
        in.ghost = *top - chain.arm * (sin(chain.top) - sin(chain.tight.droop));
    }
    const BikePicture pic = picture(in);
    page.drawing = drawing_of(pic);
    for (const Point point : {Point::chain_slack, Point::axle_position, Point::sprocket_front,
                              Point::sprocket_rear, Point::chain_links}) {
        const auto anchor = pic.anchors.find(point);
        const StoredReading* stored = tried.stored(End::rear, point);
        if (anchor == pic.anchors.end() || (!stored && point != Point::chain_slack)) continue;
        Tag tag = tag_at("tag:" + std::string(facts(point).key), wording::label(point), anchor->second);
        if (point == Point::chain_slack) {
            tag.value = wording::value(chain.on_stand.slack.value, units.length);
            tag.unit = std::string(symbol(units.length));
            tag.note =
                fmt::format("{} at the tight spot", wording::value(chain.tight.slack.value, units.length));
            tag.shape = TagShape::rounded;
            tag.limit = chain.too_short();
        } else {
            put_value(tag, stored->reading);
        }
        page.drawing.tags.push_back(std::move(tag));
    }
    page.drawing.caption = read_how(chain) + " · blue: arm at the tight spot";
}
}  // namespace

PageView chain_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · chain and gearing");
    const SetUp described = setup_described(state, bike->id), tried = setup_tried(state, bike->id),
                present = setup_now(state.ledger, bike->id);
    const auto chain = chain_of(bike->body, tried, described);
    auto& rows = page.panel.rows;
    bool slack_off = false;
    page.panel.title = state.trial.tried.empty() ? "As it is" : "Tried, not set yet";
    page.panel.list = state.trial.gears ? "gears" : "chain";
    also_tried_rows(state, chain_adjusters, page.panel.rows);
    if (state.trial.gears) {
        draw_gears(state, *bike, page);
    } else if (!chain) {
        PictureInput in = picture_of(bike->body, End::rear, Scene::chain, {});
        page.drawing = drawing_of(picture(in));
        missing_rows(*bike, chain.error(), rows);
    } else {
        draw_chain_run(*bike, tried, *chain, page, state.ledger.units());
        const auto now = chain_of(bike->body, present, described);
        const bool tries = !state.trial.tried.empty();
        ChainSheet part{state,
                        *bike,
                        tried,
                        *chain,
                        tries && now ? &*now : nullptr,
                        arm_effect(bike->body, tried, described),
                        now ? now->tight.slack : chain->tight.slack,
                        rows};
        part.number_rows();
        part.slack_rows();
        for (const Point point : {Point::axle_position, Point::chain_links})
            rows.push_back(adjuster_row(state, tried, End::rear, point));
        part.rows_below();
        part.option_rows();
        slack_off = part.slack_is_off();
    }
    rows.push_back(row::Button{"gears", state.trial.gears ? "The chain" : "Speed in each gear",
                               state.trial.gears ? "" : "road speed and engine speed, gear by gear",
                               act::ShowGears{!state.trial.gears}});
    if (!state.trial.tried.empty())
        rows.push_back(row::Button{"nothing", "As it is", "forget what was tried", act::TryNothing{}});
    page.panel.cautions.emplace_back(
        "Chain and axle to the maker's manual: slack checked at the tight spot, axle torqued, wheel turned "
        "by hand, never with the engine running.");
    if (state.pad)
        page.primary = {"Try it", act::PadNext{}, ""};
    else if (chain && chain->too_short() && !state.trial.tried.empty())
        page.primary = no_way("It is set so now", "The chain is too short for it.");
    else if (!state.trial.tried.empty())
        page.primary = {slack_off ? "It is set so all the same" : "It is set so now", act::KeepTried{}, ""};
    else
        page.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return page;
}

}  // namespace restand
