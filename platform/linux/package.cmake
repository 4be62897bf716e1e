# What a desktop needs to know of the program, and its Debian package: cpack -G DEB in the build folder.
set(manual ${CMAKE_CURRENT_BINARY_DIR}/restand.1)
find_program(RESTAND_GZIP gzip REQUIRED)
set(commands ${CMAKE_SOURCE_DIR}/platform/terminal/commands.md)
add_custom_command(OUTPUT ${manual}.gz
  COMMAND ${CMAKE_COMMAND} -DIN=${commands} -DOUT=${manual} -DVERSION=${PROJECT_VERSION}
          -P ${CMAKE_CURRENT_LIST_DIR}/man.cmake
  COMMAND ${RESTAND_GZIP} -9nf ${manual}
  DEPENDS ${commands} ${CMAKE_CURRENT_LIST_DIR}/man.cmake VERBATIM)
add_custom_target(restand_manual ALL DEPENDS ${manual}.gz)

set(assets ${CMAKE_SOURCE_DIR}/assets)
install(FILES ${manual}.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${assets}/restand.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps)
install(FILES ${assets}/restand.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
install(FILES ${assets}/restand-workshop.xml DESTINATION ${CMAKE_INSTALL_DATADIR}/mime/packages)
install(FILES ${assets}/licences.md ${CMAKE_SOURCE_DIR}/README.md ${CMAKE_SOURCE_DIR}/CHANGELOG.md
        DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME restand)
set(CPACK_PACKAGE_CONTACT "the Restand project")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "set up a race motorcycle again after a part was swapped")
set(CPACK_PACKAGE_DESCRIPTION "Restand takes the readings made of a race motorcycle, computes what to set on a new part so
that the bike stands and steers as it did, says how sure that is, checks the
result, and keeps each bike's baseline through the season. It needs no network.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS OFF)
include(CPack)
