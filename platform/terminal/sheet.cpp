#include "platform/terminal/sheet.h"

#include "app/print/sheet_of.h"
#include "core/files/file.h"
#include "core/store/wall.h"
#include "platform/modules/modules.h"
#include "platform/terminal/workshop.h"

namespace restand {

int sheet(const Request& request, std::ostream& out, std::ostream& err) {
    if (!request.output || request.output->empty())
        return complain(err, {ErrorCode::missing, "-o", "name the PDF to write behind it"});
    const std::string name(*request.output);
    if (const auto refused = may_write(request, name, err)) return *refused;
    const Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Result<const Baseline*> baseline = baseline_by(workshop->ledger, request.operands.front());
    if (!baseline) return complain(err, baseline.error());

    // Times in UTC, as everywhere on the command line.
    const SheetPage page = sheet_of_baseline(workshop->ledger, **baseline, wall_ms(), 0);
    const auto paper = paper_module();
    if (!paper) return complain(err, paper.error());
    const Result<std::string> pdf = (*paper)->print(page, request.letter ? Paper::letter : Paper::a4);
    if (!pdf && pdf.error().code == ErrorCode::too_large) {
        err << "restand: the baseline does not fit one page, at '" << plain_line(pdf.error().subject)
            << "'; nothing was written\n";
        return exit_bad_input;
    }
    if (!pdf) return complain(err, pdf.error());
    if (const Outcome written = write_file_durably(name, *pdf); !written)
        return complain(err, written.error());
    out << name << ": one page, " << (request.letter ? "Letter" : "A4") << "\n";
    return exit_done;
}

}  // namespace restand
