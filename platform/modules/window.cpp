// What restand_window.so offers the program.

#include "platform/desktop/open.h"
#include "platform/desktop/screens.h"
#include "platform/modules/modules.h"

extern "C" const restand::WindowModule restand_window_module;
constexpr restand::WindowModule restand_window_module{RESTAND_VERSION, restand::open_app,
                                                      restand::write_screens};
