// The result of a swap in a case of format 2 as JSON.

#include "app/sentences.h"
#include "platform/terminal/answer_fields.h"
#include "platform/terminal/swap_result.h"

namespace restand {
namespace {

using namespace answer_fields;

Json verdict_json(std::optional<Verdict> verdict) {
    return verdict ? Json(verdict_key(*verdict)) : Json(nullptr);
}

Json mass_json(std::optional<Mass> mass) {
    return mass ? number(in_kilogram(*mass)) : Json(nullptr);
}

Json height_json(const HeightCheck& h) {
    return {{"state", key(h.state)},
            {"to_be_mm", number(in_mm(h.before))},
            {"is_mm", number(in_mm(h.after))},
            {"predicted_mm", number(in_mm(h.predicted))},
            {"expanded_95_mm", number(in_mm(h.expanded))},
            {"e_n", number(h.e_n)},
            {"inside", number(h.inside)},
            {"held", h.held},
            {"verdict", verdict_key(h.verdict)}};
}

Json load_json(const LoadChange& load) {
    const auto temperature = [&](double GasTemperatures::*c) {
        return load.damper ? number((*load.damper).*c) : Json(nullptr);
    };
    return {{"fuel_kg", mass_json(load.fuel)},
            {"rider_kg", mass_json(load.rider)},
            {"scales_kg", mass_json(load.scales)},
            {"damper_was_c", temperature(&GasTemperatures::sealed_c)},
            {"damper_c", temperature(&GasTemperatures::now_c)}};
}

Json check_json(const SwapResult& result, const EndResult& end) {
    const CheckResult* check = end.solution->judged();
    const std::string why = no_verdict(result, end);
    if (!check) return why.empty() ? Json(nullptr) : Json{{"verdict", nullptr}, {"message", why}};
    Json heights = Json::array();
    for (const HeightCheck& h : check->heights) heights.push_back(height_json(h));
    return {{"verdict", verdict_key(check->verdict)},
            {"heights", heights},
            {"turns_help", check->turns_help()},
            {"all_off_mm", check->all_off ? Json(in_mm(*check->all_off)) : Json(nullptr)},
            {"alone", check->alone ? Json(key(*check->alone)) : Json(nullptr)},
            {"load", load_json(end.solution->load)}};
}

Json correction_json(const EndResult& end) {
    if (!end.correction) return nullptr;
    const Answer& a = *end.correction;
    return {
        {"held", a.held},
        {"answer", setting_json(end.file, a.setting)},
        {"predicted", prediction_json(a.predicted)},
        {"limits", limits_json(end.file, a)},
        {"detent",
         {{"answer", setting_json(end.file, a.detent)}, {"predicted", prediction_json(a.predicted_detent)}}}};
}

Json end_json(const SwapResult& result, const EndResult& end) {
    const bool held = end.answer && end.answer->answer.held;
    Json out{{"end", key(end.solution->end)}, {"status", held ? "solved" : "no_solution"}, {"held", held}};
    if (end.answer)
        put_answer(out, end.file, *end.answer);
    else
        out["limits"] = limits_json(end.answer.error());
    out["as_set"] = end.as_set ? prediction_json(*end.as_set) : Json(nullptr);
    out["check"] = check_json(result, end);
    out["correction"] = correction_json(end);
    return out;
}

// The chain of a rear swap, as far as it is known.
Json chain_json(const SwapResult& result) {
    const auto& chain = result.solution.chain;
    const bool refits = refits_chain(result.of.swap);
    if (!chain && refits) return {{"message", sentence(chain.error())}};
    if (!chain || ends_of(result.of.swap).front() == End::front) return nullptr;
    const auto& moved = result.solution.rear_with_axle_moved;
    return {{"links", chain->will.run.links},
            {"by_count", chain->by_count},
            {"axle_moves_mm", number(in_mm(chain->axle_by))},
            {"axle_position_mm",
             chain->axle_from ? number(in_mm(*chain->axle_from + chain->axle_by)) : Json(nullptr)},
            {"in_slot", chain->in_slot},
            {"slack_was_mm", number(in_mm(chain->was.on_stand.slack))},
            {"slack_mm", number(in_mm(chain->will.on_stand.slack))},
            {"tight_slack_mm", number(in_mm(chain->will.tight.slack))},
            {"rear_residual_mm", moved ? residual_json(*moved) : Json(nullptr)}};
}

}  // namespace

std::string swap_json(const SwapResult& result) {
    Json out{{"restand_result", 1}, {"parts", Json::array()}};
    for (const SwapPart part : result.of.swap.parts) out["parts"].push_back(key(part));
    out["status"] = result.held() ? "solved" : "no_solution";
    out["held"] = result.held();
    out["verdict"] = verdict_json(result.solution.verdict());
    out["ends"] = Json::array();
    for (const EndResult& end : result.ends) out["ends"].push_back(end_json(result, end));
    out["chain"] = chain_json(result);
    return printed(out);
}

}  // namespace restand
