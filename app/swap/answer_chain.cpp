// The answer's rows of chain and attitude.

#include <fmt/format.h>

#include "app/swap/answer_parts.h"
#include "app/swap/answer_view.h"
#include "app/views/point_wording.h"

namespace restand {

Tag length_tag(const AnswerWriter& w, const char* id, Point point, Length value, const BikePicture& pic) {
    const auto anchor = pic.anchors.find(point);
    Tag tag = tag_at(id, wording::label(point), anchor == pic.anchors.end() ? Anchor{} : anchor->second);
    tag.value = w.len(value);
    tag.unit = w.len_unit();
    tag.ink = Ink::now;
    tag.shape = TagShape::rounded;
    return tag;
}

namespace {
row::Big axle_row(const AnswerWriter& w, std::optional<Length> from, Length by, bool in_slot) {
    row::Big axle{.id = "big:axle",
                  .label = "axle, from the slot's front",
                  .value = from ? w.len(*from + by) : w.signed_len(by),
                  .unit = w.len_unit(),
                  .action = "leave it",
                  .from = from ? "from " + w.len(*from) : "",
                  .note = {}};
    if (abs(by) >= mm(0.05)) axle.action = w.len(abs(by)) + (by.value > 0 ? " back" : " forward");
    axle.limit = !in_slot;
    return axle;
}
void left_slot_row(const AnswerWriter& w) {
    w.rows.push_back(row::Note{"The axle would leave its slot. Another count of links, or other sprockets.",
                               Ink::stop, true});
}
}  // namespace

void axle_correction_rows(const AnswerWriter& w, const AxleCorrection& axle) {
    w.rows.push_back(row::Heading{"Correction of the axle, from where it is now"});
    const auto from = axle.to ? std::optional(*axle.to - axle.by) : std::nullopt;
    w.rows.push_back(axle_row(w, from, axle.by, axle.in_slot));
    if (!axle.in_slot) left_slot_row(w);
}

void chain_rows(const AnswerWriter& w, const ChainAnswer& c) {
    w.rows.push_back(row::Heading{"Chain"});
    row::Big axle = axle_row(w, c.axle_from, c.axle_by, c.in_slot);
    if (c.by_count) axle.note = "a first guess by the links; the slack decides";
    w.rows.push_back(std::move(axle));
    w.rows.push_back(row::Big{.id = "big:slack",
                              .label = "chain slack, " + read_how(c.will),
                              .value = w.len(c.will.on_stand.slack),
                              .unit = w.len_unit(),
                              .action = {},
                              .from = "was " + w.len(c.was.on_stand.slack),
                              .note = "as before at the tight spot: " + w.with_unit(c.was.tight.slack)});
    if (!c.in_slot) left_slot_row(w);
}

void chain_table(const AnswerWriter& w, const ChainAnswer& c) {
    w.rows.push_back(row::Heading{"Chain"});
    w.rows.push_back(row::TableHead{"was", "will be"});
    const auto line_of = [&](const char* label, const std::string& was, const std::string& will) {
        w.rows.push_back(row::TableLine{label, was, will, was == will});
    };
    const auto teeth = [](const Sprockets& s) { return fmt::format("{}/{}", s.front, s.rear); };
    line_of("sprockets", teeth(c.was.run.sprockets), teeth(c.will.run.sprockets));
    line_of("final drive", fmt::format("{:.3f}", c.was.run.sprockets.ratio()),
            fmt::format("{:.3f}", c.will.run.sprockets.ratio()));
    line_of("links", std::to_string(c.was.run.links), std::to_string(c.will.run.links));
}

void slack_line(const AnswerWriter& w, const ChainAnswer& c) {
    w.rows.push_back(row::TableLine{"chain slack, " + read_how(c.will), w.len(c.was.on_stand.slack),
                                    w.len(c.will.on_stand.slack)});
    w.rows.push_back(
        row::TableLine{"chain slack, tight spot", w.len(c.was.tight.slack), w.len(c.will.tight.slack)});
}

// A refitted chain gets the slack of before, so it is the reading that is wrong.
void answered_chain_rows(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows) {
    const SwapSolution& solution = solved.solution();
    if (!solution.chain || ends_of(solved.site().swap).front() != End::rear) return;
    if (!solution.refits_chain)
        short_chain_row(solution.chain->will, state.ledger.units(), rows);
    else if (solution.chain->was.too_short())
        rows.push_back(row::Note{
            "As read before, the chain was tight in the travel. Measure its slack again.", Ink::stop, true});
}

void attitude_rows(const AnswerWriter& w, const Attitudes& a) {
    w.rows.push_back(row::Heading{a.state == State::rider ? "Attitude, rider on" : "Attitude, static"});
    w.rows.push_back(row::TableHead{"was", "will be"});
    const auto degrees_line = [&](const char* label, Angle was, Angle will) {
        w.rows.push_back(row::TableLine{label, fmt::format("{:.2f}", in_degrees(was)),
                                        fmt::format("{:.2f}", in_degrees(will))});
    };
    const auto length_line = [&](const char* label, Length was, Length will) {
        w.rows.push_back(row::TableLine{label, w.len(was), w.len(will)});
    };
    degrees_line("rake, °", a.was.rake, a.will.rake);
    length_line("trail", a.was.trail, a.will.trail);
    length_line("wheelbase", a.was.wheelbase, a.will.wheelbase);
    degrees_line("swingarm to ground, °", a.was.arm_to_ground, a.will.arm_to_ground);
}

void moved_axle(const AnswerWriter& w, const Prediction& rear) {
    const auto off = rear.residual_at(State::rider);
    if (!off || abs(*off) < mm(0.05)) return;
    const std::string text = fmt::format("The moved axle changes the rear ride height by {} {}, rider on.",
                                         w.signed_len(*off), w.len_unit());
    w.rows.push_back(row::Note{text});
}

void draw_chain(const AppState& state, const Bike& bike, const Swap& swap, const ChainAnswer& c,
                PageView& page) {
    auto known = known_before(state, swap, End::rear);
    known[Point::sprocket_front] = c.will.run.sprockets.front;
    known[Point::sprocket_rear] = c.will.run.sprockets.rear;
    known[Point::chain_slack] = in_mm(c.will.on_stand.slack);
    if (c.axle_from) known[Point::axle_position] = in_mm(*c.axle_from + c.axle_by);
    const BikePicture pic = picture(picture_of(bike.body, End::rear, Scene::chain, known));
    page.drawing = drawing_of(pic);
    page.drawing.caption = read_how(c.will) + ", as answered";
    const AnswerWriter w{state.ledger.units(), page.panel.rows};
    page.drawing.tags.push_back(
        length_tag(w, "tag:answer:slack", Point::chain_slack, c.will.on_stand.slack, pic));
    if (c.axle_from)
        page.drawing.tags.push_back(
            length_tag(w, "tag:answer:axle", Point::axle_position, *c.axle_from + c.axle_by, pic));
}

}  // namespace restand
