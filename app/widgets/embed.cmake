# Turns a file's bytes into a C++ function that returns them: cmake -DIN=… -DOUT=… -DNAME=… -DHEADER=… -P embed.cmake
# Numbers in an array compile everywhere, and a typeface is small enough (under a second for both).
file(READ "${IN}" bytes HEX)
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
string(REGEX REPLACE "((0x..,){20})" "\\1\n" bytes "${bytes}")
file(WRITE "${OUT}" "#include \"${HEADER}\"

namespace restand {
namespace {
const unsigned char ${NAME}_bytes[] = {
${bytes}};
}  // namespace

std::span<const unsigned char> ${NAME}() { return ${NAME}_bytes; }

}  // namespace restand
")
