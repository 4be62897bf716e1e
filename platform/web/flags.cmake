# How Restand is compiled for a browser: exceptions by WebAssembly's own, and what Emscripten's standard library
# lacks (standard/).
target_compile_options(restand_flags INTERFACE -fwasm-exceptions -Wno-shadow)
target_link_options(restand_flags INTERFACE -fwasm-exceptions)
target_include_directories(restand_flags BEFORE INTERFACE ${CMAKE_CURRENT_LIST_DIR}/standard)
