#pragma once
// Internal to platform/terminal: the parts that the result of a case and that of a swap in a case of format 2
// share. An unknown number is null.

#include <nlohmann/json.hpp>

#include "core/casefile/case_json.h"

namespace restand::answer_fields {

using Json = nlohmann::ordered_json;

Json number(double value);
Json number(std::optional<double> value);
Json number(std::optional<Length> value);
Json setting_json(const CaseFile& file, const Setting& setting);
Json prediction_json(const Prediction& predicted);
Json residual_json(const Prediction& predicted);
Json limits_json(const CaseFile& file, const Answer& answer);
Json limits_json(const Error& no_solution);
// From "answer" to "uncertainty".
void put_answer(Json& out, const CaseFile& file, const UncertainAnswer& uncertain);
std::string printed(const Json& json);

}  // namespace restand::answer_fields
