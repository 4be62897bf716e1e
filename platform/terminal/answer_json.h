#pragma once
// The result of `restand solve` as JSON. Every key is in case.md. Numbers are printed so that reading them
// back gives the same double; an unknown number is null.
//
//   { "restand_result": 1, "status": "solved" | "no_solution", "held": …, "answer": …, "predicted": …,
//     "residual_mm": …, "limits": [{code, message, beyond_mm, bound_mm}], "detent": {answer, predicted,
//     residual_mm}, "wanted": …, "before": …, "steps": …, "uncertainty": … }

#include "core/casefile/case_json.h"

namespace restand {

std::string answer_json(const CaseFile& file, const UncertainAnswer& uncertain);
// A case that is sound but has no answer; `error.detail` names the limit that prevents it.
std::string no_solution_json(const CaseFile& file, const Error& error);

}  // namespace restand
