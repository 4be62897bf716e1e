# What 'restand help commands', 'case', 'tables', 'exchange' and 'licences' print stands in the program itself.
set(reference)
foreach(page platform/terminal/commands core/casefile/case core/tables/tables core/sync/exchange assets/licences)
  get_filename_component(name ${page} NAME)
  set(source ${CMAKE_CURRENT_BINARY_DIR}/${name}_page.cpp)
  add_custom_command(OUTPUT ${source}
    COMMAND ${CMAKE_COMMAND} -DIN=${CMAKE_SOURCE_DIR}/${page}.md -DOUT=${source} -DNAME=${name}_page
            -DHEADER=platform/terminal/reference.h -P ${CMAKE_SOURCE_DIR}/app/widgets/embed.cmake
    DEPENDS ${CMAKE_SOURCE_DIR}/${page}.md ${CMAKE_SOURCE_DIR}/app/widgets/embed.cmake VERBATIM)
  list(APPEND reference ${source})
endforeach()
