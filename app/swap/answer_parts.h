#pragma once
// What the answer's files share: how its numbers are written, the rows of chain and attitude
// (answer_chain.cpp), and those of how its inputs are known (answer_known.cpp).

#include "app/views/view_parts.h"
#include "app/views/wording.h"

namespace restand {

struct AnswerWriter {
    const UnitChoice units;
    std::vector<Row>& rows;

    std::string len(Length v) const { return wording::value(v, units); }
    std::string len_unit() const { return std::string(symbol(units.length)); }
    std::string with_unit(Length v) const { return wording::length(v, units); }
    std::string rate(Rate v) const { return wording::value(v.value, units.rate); }
    std::string signed_len(Length v) const { return wording::signed_value(v.value, units.length); }
};

// Rounded, in the warm pen: a length that is to be set or will be.
Tag length_tag(const AnswerWriter& w, const char* id, Point point, Length value, const BikePicture& pic);

// What was not read and what it is taken as; a tap reads it. Then what the bike as it stood gives.
void known_rows(const AnswerWriter& w, const AppState& state, const CaseInput& input);
// What the settable steps cost, what the ± means, and which input makes most of it.
void worth_rows(const AnswerWriter& w, const UncertainAnswer& answer, const CaseInput& input);

// A rider sag that was wished for this end: the swap brings the heights back, 'Which spring?' says what to
// set for it.
void wished_row(const AnswerWriter& w, const AppState& state, const Swap& swap, End end);

// Where the axle goes and the slack to set with the wheel hanging; then what is fitted.
void chain_rows(const AnswerWriter& w, const ChainAnswer& chain);
// Where the axle goes from where it is now, so that the slack is as wanted.
void axle_correction_rows(const AnswerWriter& w, const AxleCorrection& axle);
void chain_table(const AnswerWriter& w, const ChainAnswer& chain);
void slack_line(const AnswerWriter& w, const ChainAnswer& chain);  // of a chain that nobody touched
void attitude_rows(const AnswerWriter& w, const Attitudes& attitudes);
// Only chain and sprockets: what the moved axle does to an end that nobody set.
void moved_axle(const AnswerWriter& w, const Prediction& rear);
void draw_chain(const AppState& state, const Bike& bike, const Swap& swap, const ChainAnswer& chain,
                PageView& page);

}  // namespace restand
