#include "platform/terminal/swap_page.h"

#include "app/sentences.h"
#include "platform/terminal/bike_case.h"
#include "platform/terminal/page.h"
#include "platform/terminal/solve.h"
#include "platform/terminal/swap_result.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

std::string title_of(const Swap& swap, End end) {
    std::string text = end == End::rear ? "REAR END" : "FRONT END";
    const char* before = ", NEW ";
    for (const SwapPart part : swap.parts) {
        if (end_of(part) != end) continue;
        std::string name(key(part));
        for (char& c : name) c = c == '_' ? ' ' : static_cast<char>(c - 'a' + 'A');
        text += before + name;
        before = ", ";
    }
    return text;
}

std::string_view verdict_words(Verdict verdict) {
    return verdict == Verdict::restored       ? "RESTORED, as far as these readings can tell"
           : verdict == Verdict::not_restored ? "NOT RESTORED"
                                              : "CANNOT TELL: too near the tolerance for these readings";
}

std::string alone_words(State alone) {
    return alone == State::rider
               ? "  Static is back, the rider's height is not: no setting does that. Read it again.\n"
               : "  The rider's height is back, static is not: no setting does that. Read it again.\n";
}

std::string check_section(const SwapResult& result, const EndResult& end) {
    const CheckResult* check = end.solution->judged();
    const std::string why = no_verdict(result, end);
    if (!check) return why.empty() ? "" : "\nCheck: no verdict; " + why + "\n";
    std::string text = "\nCheck: " + std::string(verdict_words(check->verdict)) + "\n";
    for (const HeightCheck& h : check->heights)
        text += "  " + padded(height_name(h.state), 26) + "to be " + tenths(h.before) + ", is " +
                tenths(h.after) + " ± " + tenths(h.expanded) + " mm\n";
    if (check->alone) text += alone_words(*check->alone);
    if (end.correction) text += "\nCorrection, from what is set now\n" + to_set(end.file, *end.correction);
    return text;
}

std::string chain_section(const SwapResult& result) {
    const auto& chain = result.solution.chain;
    if (!refits_chain(result.of.swap)) return "";
    if (!chain) return "\nChain\n  DO NOT FIT IT SO: " + sentence(chain.error()) + "\n";
    const std::string by = tenths(abs(chain->axle_by));
    std::string text = "\nChain, " + std::to_string(chain->will.run.links) + " links\n";
    text += by == "0.0" ? "  Leave the axle\n"
                        : "  Axle " + by + (chain->axle_by.value > 0 ? " mm back\n" : " mm forward\n");
    if (!chain->in_slot) text += "  DO NOT FIT IT SO: the axle would leave its slot.\n";
    return text + "  Slack " + tenths(chain->will.on_stand.slack) + " mm, on the stand\n";
}

}  // namespace

std::string swap_page(const SwapResult& result) {
    std::string text;
    for (const EndResult& end : result.ends) {
        const std::string title = title_of(result.of.swap, end.solution->end);
        text += text.empty() ? "" : "\n";
        text += end.answer ? end_page(end.file, *end.answer, title)
                           : title + "\nDO NOT FIT IT SO: " + sentence(end.answer.error()) + "\n";
        text += check_section(result, end);
    }
    return text + chain_section(result) + "\n" + cautions();
}

int solve_ledger_swap(const Request& request, std::string_view text, std::ostream& out, std::ostream& err) {
    if (no_table(request, err)) return exit_bad_input;
    const std::string_view name = request.operands.front();
    const auto c = read_ledger_swap(text);
    if (!c) return complain(err, in_case(name, c.error()));
    const auto result = solved(*c);
    if (!result) return complain(err, in_case(name, result.error()));
    out << (request.text ? swap_page(**result) : swap_json(**result));
    const bool back = (*result)->solution.verdict() != Verdict::not_restored;
    return (*result)->held() && back ? exit_done : exit_not_held;
}

}  // namespace restand
