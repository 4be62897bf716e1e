// What restand_paper.so offers the program.

#include "platform/modules/modules.h"

extern "C" const restand::PaperModule restand_paper_module;
constexpr restand::PaperModule restand_paper_module{RESTAND_VERSION, restand::print};
