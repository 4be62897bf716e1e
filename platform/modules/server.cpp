// What restand_server.so offers the program.

#include "platform/modules/modules.h"

extern "C" const restand::ServerModule restand_server_module;
constexpr restand::ServerModule restand_server_module{RESTAND_VERSION, restand::look, restand::put,
                                                      restand::take};
