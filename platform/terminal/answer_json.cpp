#include "platform/terminal/answer_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "app/sentences.h"

namespace restand {
namespace {

using Json = nlohmann::ordered_json;

// Adding 0 removes the sign of a negative zero.
Json number(double value) {
    return std::isfinite(value) ? Json(value + 0.0) : Json(nullptr);
}
Json number(std::optional<double> value) {
    return value ? number(*value) : Json(nullptr);
}
Json number(std::optional<Length> value) {
    return value ? number(in_mm(*value)) : Json(nullptr);
}

Json setting_json(const CaseFile& file, const Setting& s) {
    Json out;
    out["eye_to_eye_mm"] = number(in_mm(s.length));
    if (file.fork_length) out["fork_position_mm"] = number(in_mm(fork_position(file, s)));
    out["eye_to_eye_turns"] = number(s.length_turns);
    out["preload_mm"] = number(in_mm(s.preload));
    out["installed_length_mm"] = number(in_mm(s.installed_length));
    out["collar_turns"] = number(s.collar_turns);
    return out;
}

Json prediction_json(const Prediction& p) {
    Json out;
    for (const State state : all_states) {
        const auto& standing = p.at(state);
        out["ride_height_mm"][key(state)] = standing ? number(in_mm(standing->height)) : Json(nullptr);
    }
    out["free_sag_mm"] = number(p.free_sag);
    out["rider_sag_mm"] = number(p.rider_sag);
    out["wheel_rate_n_per_mm"] = p.wheel_rate ? number(in_newton_per_mm(*p.wheel_rate)) : Json(nullptr);
    out["block_margin_mm"] = number(p.block_margin);
    out["travel_left_mm"] = number(p.travel_left);
    return out;
}

Json residual_json(const Prediction& p) {
    Json out;
    for (const State state : all_states) out[key(state)] = number(p.residual_at(state));
    return out;
}

Json step_json(const Step& step) {
    Json out;
    out["step_mm"] = number(in_mm(step.setting));
    out["topped_out_mm"] = number(step.topped_out);
    out["static_mm"] = number(step.static_);
    out["rider_mm"] = number(step.rider);
    return out;
}

Json limits_json(const CaseFile& file, const Answer& answer) {
    Json out = Json::array();
    for (const Limit& limit : answer.limits)
        out.push_back({{"code", key(limit.code)},
                       {"message", sentence(limit, file.swap.end)},
                       {"beyond_mm", number(in_mm(limit.beyond))},
                       {"bound_mm", number(in_mm(limit.bound))}});
    return out;
}

Json uncertain_json(const std::optional<Uncertain>& u, const std::vector<Input>& inputs) {
    if (!u) return nullptr;
    Json out;
    out["standard"] = number(u->u);
    out["expanded_95"] = number(u->expanded);
    out["from"] = Json::array();
    for (const Contribution& part : u->contributions)
        if (part.share > 0.0)
            out["from"].push_back({{"field", inputs[part.input].name}, {"share", number(part.share)}});
    return out;
}

Json head(const CaseFile& file, bool solved) {
    Json out;
    out["restand_result"] = 1;
    out["end"] = key(file.swap.end);
    out["status"] = solved ? "solved" : "no_solution";
    out["held"] = solved;
    return out;
}

std::string printed(const Json& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace

std::string answer_json(const CaseFile& file, const UncertainAnswer& uncertain) {
    const Answer& a = uncertain.answer;
    Json out = head(file, a.held);
    out["answer"] = setting_json(file, a.setting);
    out["predicted"] = prediction_json(a.predicted);
    out["residual_mm"] = residual_json(a.predicted);
    out["limits"] = limits_json(file, a);
    out["detent"] = {{"answer", setting_json(file, a.detent)},
                     {"predicted", prediction_json(a.predicted_detent)},
                     {"residual_mm", residual_json(a.predicted_detent)}};
    out["wanted"] = setting_json(file, a.wanted);
    out["before"] = prediction_json(a.before);
    out["steps"] = {{"length", step_json(a.length_step)}, {"collar", step_json(a.collar_step)}};
    out["assumed"] = Json::array();
    for (const CaseDefault& d : file.assumed)
        out["assumed"].push_back({{"what", d.what}, {"value", number(d.value)}, {"because", "not_given"}});
    if (!file.inputs.empty())
        out["uncertainty"] = {
            {"eye_to_eye_mm", uncertain_json(uncertain.length, file.inputs)},
            {"installed_length_mm", uncertain_json(uncertain.installed_length, file.inputs)},
            {"ride_height_mm",
             {{"topped_out", uncertain_json(uncertain.topped_out, file.inputs)},
              {"static", uncertain_json(uncertain.static_, file.inputs)},
              {"rider", uncertain_json(uncertain.rider, file.inputs)}}}};
    return printed(out);
}

std::string no_solution_json(const CaseFile& file, const Error& error) {
    Json out = head(file, false);
    const LimitCode in_the_way = error.detail.find("travel") != std::string::npos
                                     ? LimitCode::travel_exhausted
                                     : LimitCode::off_the_map;
    out["limits"] = Json::array({{{"code", key(in_the_way)}, {"message", sentence(error)}}});
    return printed(out);
}

}  // namespace restand
