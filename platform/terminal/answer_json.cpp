#include "platform/terminal/answer_json.h"

#include <cmath>

#include "app/sentences.h"
#include "platform/terminal/answer_fields.h"

namespace restand {
namespace answer_fields {

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
    out["eye_to_eye_mm"] = file.length_known ? number(in_mm(s.length)) : Json(nullptr);
    if (file.fork_length) out["fork_position_mm"] = number(in_mm(fork_position(file, s)));
    out["eye_to_eye_turns"] = number(s.length_turns);
    out["preload_mm"] = number(in_mm(s.preload));
    out["installed_length_mm"] = file.free_length_known ? number(in_mm(s.installed_length)) : Json(nullptr);
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

Json limits_json(const CaseFile& file, const Answer& answer) {
    Json out = Json::array();
    for (const Limit& limit : answer.limits) {
        const bool of_length =
            limit.code == LimitCode::length_adjuster_bound || limit.code == LimitCode::off_the_map;
        out.push_back(
            {{"code", key(limit.code)},
             {"message", sentence(limit, file.swap.end)},
             {"beyond_mm", number(in_mm(limit.beyond))},
             {"bound_mm", of_length && !file.length_known ? Json(nullptr) : number(in_mm(limit.bound))}});
    }
    return out;
}

Json limits_json(const Error& no_solution) {
    const LimitCode in_the_way = no_solution.detail.find("travel") != std::string::npos
                                     ? LimitCode::travel_exhausted
                                     : LimitCode::off_the_map;
    return Json::array({{{"code", key(in_the_way)}, {"message", sentence(no_solution)}}});
}

std::string printed(const Json& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

namespace {

Json step_json(const Step& step) {
    Json out;
    out["step_mm"] = number(in_mm(step.setting));
    out["topped_out_mm"] = number(step.topped_out);
    out["static_mm"] = number(step.static_);
    out["rider_mm"] = number(step.rider);
    return out;
}

Json uncertain_json(const std::optional<Uncertain>& u, const CaseFile& file) {
    if (!u) return nullptr;
    Json out;
    out["standard"] = number(u->u);
    out["expanded_95"] = number(u->expanded);
    out["from"] = Json::array();
    for (const Contribution& part : u->contributions) {
        if (!(part.share > 0.0)) continue;
        Json from{{"field", file.inputs[part.input].name}, {"share", number(part.share)}};
        if (!file.origins.empty()) from["origin"] = key(file.origins[part.input]);
        out["from"].push_back(std::move(from));
    }
    return out;
}

Json uncertainty_json(const CaseFile& file, const UncertainAnswer& u) {
    Json out{{"eye_to_eye_mm", uncertain_json(u.length, file)},
             {"installed_length_mm", uncertain_json(u.installed_length, file)},
             {"preload_mm", uncertain_json(u.preload, file)}};
    for (const auto& [state, height] : {std::pair{State::topped_out, &u.topped_out},
                                        {State::static_, &u.static_},
                                        {State::rider, &u.rider}}) {
        out["ride_height_mm"][key(state)] = uncertain_json(*height, file);
        out["residual_mm"][key(state)] = uncertain_json(u.change[static_cast<std::size_t>(state)], file);
    }
    return out;
}

Json assumed_json(const CaseFile& file) {
    Json out = Json::array();
    for (const CaseDefault& d : file.assumed) {
        Json one{{"what", d.what}, {"value", number(d.value)}, {"because", "not_given"}};
        if (d.half > 0) one["plus_minus"] = number(d.half);
        if (!d.beside.empty()) one["beside"] = d.beside;
        out.push_back(std::move(one));
    }
    return out;
}

Json head(const CaseFile& file, bool solved) {
    return {{"restand_result", 1},
            {"end", key(file.swap.end)},
            {"status", solved ? "solved" : "no_solution"},
            {"held", solved}};
}

}  // namespace

void put_answer(Json& out, const CaseFile& file, const UncertainAnswer& uncertain) {
    const Answer& a = uncertain.answer;
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
    out["assumed"] = assumed_json(file);
    if (!file.inputs.empty()) out["uncertainty"] = uncertainty_json(file, uncertain);
}

}  // namespace answer_fields

using namespace answer_fields;

std::string answer_json(const CaseFile& file, const UncertainAnswer& uncertain) {
    Json out = head(file, uncertain.answer.held);
    put_answer(out, file, uncertain);
    return printed(out);
}

std::string no_solution_json(const CaseFile& file, const Error& error) {
    Json out = head(file, false);
    out["limits"] = limits_json(error);
    return printed(out);
}

}  // namespace restand
