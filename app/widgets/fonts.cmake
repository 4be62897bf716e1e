# The typeface stands in the program itself, read from the system's font package when the program is built.
set(fonts)
foreach(face Regular Bold)
  string(TOLOWER "b612_${face}" name)
  find_file(RESTAND_FONT_${face} NAMES B612-${face}.otf B612-${face}.ttf
    PATHS /usr /usr/local ENV HOMEBREW_PREFIX ENV RESTAND_FONTS
    PATH_SUFFIXES share/fonts/opentype/b612 share/fonts/truetype/b612 share/fonts/b612 share/fonts/OTF .
    REQUIRED DOC "B612 ${face}: package fonts-b612, or a folder named in RESTAND_FONTS")
  set(source ${CMAKE_CURRENT_BINARY_DIR}/${name}.cpp)
  add_custom_command(OUTPUT ${source}
    COMMAND ${CMAKE_COMMAND} -DIN=${RESTAND_FONT_${face}} -DOUT=${source} -DNAME=${name}
            -DHEADER=app/widgets/font_data.h
            -P ${CMAKE_CURRENT_LIST_DIR}/embed.cmake
    DEPENDS ${RESTAND_FONT_${face}} ${CMAKE_CURRENT_LIST_DIR}/embed.cmake VERBATIM)
  list(APPEND fonts ${source})
endforeach()
add_library(restand_fonts OBJECT ${fonts})
target_link_libraries(restand_fonts PRIVATE restand_flags)
