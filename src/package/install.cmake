# What goes where: the program with its pages and completions, the data, and the library for other programs.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

# Manual pages and completions come from the program itself, so that they cannot differ from its --help.
set(pages ${CMAKE_BINARY_DIR}/package)
add_custom_command(OUTPUT ${pages}/scrapetrace.1
  COMMAND ${CMAKE_COMMAND} -E make_directory ${pages}
  COMMAND ${CMAKE_COMMAND} -DPROGRAM=$<TARGET_FILE:scrapetrace> -DOUT=${pages}
          -P ${CMAKE_CURRENT_SOURCE_DIR}/package/make_pages.cmake
  DEPENDS scrapetrace ${CMAKE_CURRENT_SOURCE_DIR}/package/make_pages.cmake VERBATIM)
add_custom_target(scrapetrace_pages ALL DEPENDS ${pages}/scrapetrace.1)

install(TARGETS scrapetrace RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
install(DIRECTORY ${pages}/ DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program FILES_MATCHING PATTERN "*.1")
install(FILES ${pages}/scrapetrace.bash RENAME scrapetrace COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
install(FILES ${pages}/_scrapetrace COMPONENT program DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions)
install(FILES ${pages}/scrapetrace.fish COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/geometry DESTINATION ${CMAKE_INSTALL_DATADIR}/scrapetrace COMPONENT program)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/fixtures/limits ${PROJECT_SOURCE_DIR}/fixtures/places
        DESTINATION ${CMAKE_INSTALL_DATADIR}/scrapetrace/fixtures COMPONENT program)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/docs/ DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
install(FILES ${PROJECT_SOURCE_DIR}/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE RENAME copyright DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)

# One archive of every layer that the public headers need (docs/library.md).
set(layers base hash geometry tags layout press document scan page sheet profile quality streak likelihood causes diagnose
           targets jets locate recheck visual accept fit report workflow)
add_library(scrapetrace_library STATIC)
foreach(layer ${layers})
  if(TARGET scrapetrace_${layer})
    target_sources(scrapetrace_library PRIVATE $<TARGET_OBJECTS:scrapetrace_${layer}>)
  endif()
endforeach()
set_target_properties(scrapetrace_library PROPERTIES OUTPUT_NAME scrapetrace EXPORT_NAME scrapetrace
                      LINKER_LANGUAGE CXX)
# For tests/consumers, which see the public headers alone: what the installed library's users get from library_packages.
target_include_directories(scrapetrace_library INTERFACE ${PROJECT_SOURCE_DIR}/include)
target_link_libraries(scrapetrace_library PRIVATE PkgConfig::CRYPTO PkgConfig::QPDF PkgConfig::JPEG PkgConfig::TIFF
                      PkgConfig::APRILTAG PkgConfig::TOMLPLUSPLUS fmt::fmt Threads::Threads ${CMAKE_DL_LIBS})
set(library_packages libcrypto libqpdf libjpeg libtiff-4 apriltag tomlplusplus fmt)
if(ISAL_FOUND)
  list(APPEND library_packages libisal)
  target_link_libraries(scrapetrace_library PRIVATE PkgConfig::ISAL)
  set(inflater_package ", libisal-dev")
endif()
install(TARGETS scrapetrace_library ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/include/scrapetrace DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT library)
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE RENAME copyright COMPONENT library
        DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/libscrapetrace-dev)

list(JOIN library_packages " " SCRAPETRACE_REQUIRES)
set(config_folder ${CMAKE_INSTALL_LIBDIR}/cmake/scrapetrace)
configure_file(package/scrapetrace.pc.in ${CMAKE_BINARY_DIR}/package-config/scrapetrace.pc @ONLY)
configure_package_config_file(package/scrapetrace-config.cmake.in
  ${CMAKE_BINARY_DIR}/package-config/scrapetrace-config.cmake INSTALL_DESTINATION ${config_folder}
  PATH_VARS CMAKE_INSTALL_INCLUDEDIR CMAKE_INSTALL_LIBDIR)
write_basic_package_version_file(${CMAKE_BINARY_DIR}/package-config/scrapetrace-config-version.cmake
                                 COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_BINARY_DIR}/package-config/scrapetrace-config.cmake
              ${CMAKE_BINARY_DIR}/package-config/scrapetrace-config-version.cmake
        DESTINATION ${config_folder} COMPONENT library)
install(FILES ${CMAKE_BINARY_DIR}/package-config/scrapetrace.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig
        COMPONENT library)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME scrapetrace)
# Not left to CPack: beneath .presets the top-level project is another, and a default of its own crept in.
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_VERSION_MAJOR ${PROJECT_VERSION_MAJOR})
set(CPACK_PACKAGE_VERSION_MINOR ${PROJECT_VERSION_MINOR})
set(CPACK_PACKAGE_VERSION_PATCH ${PROJECT_VERSION_PATCH})
set(CPACK_PACKAGE_CONTACT "scrapetrace maintainers <maintainers@users.noreply.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_COMPONENTS_ALL program library)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION
    "Reads scans of prints of a drum-transfer inkjet, finds streaks and says which\nprinthead side, or which other cause, \
most likely drew them; with manual pages,\ncompletions for bash, zsh and fish, layouts and documents.")
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION
    "Headers, archive, CMake and pkg-config files for programs of your own that find\nstreaks in scans and what drew them.")
set(CPACK_PRE_BUILD_SCRIPTS ${CMAKE_CURRENT_SOURCE_DIR}/package/debian_manners.cmake)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME scrapetrace)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
# Loaded when it is needed, which shlibdeps cannot see. The number is that of the library's name, libvips.so.42.
get_filename_component(vips_file "${SCRAPETRACE_VIPS_LIBRARY}" REALPATH)
string(REGEX MATCH "so\\.([0-9]+)" vips_number "${vips_file}")
set(vips_package "libvips${CMAKE_MATCH_1} (>= 8.14)")
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS "${vips_package}")
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION graphics)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME libscrapetrace-dev)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_DEPENDS
    "${vips_package}, libssl-dev, libqpdf-dev, libjpeg-dev, libtiff-dev, libapriltag-dev, libtomlplusplus-dev, libfmt-dev${inflater_package}")
include(CPack)
