# The software bill of materials, made with every build where Debian's package list and a Python are at hand. A key
# signs it: -DSCRAPETRACE_SIGNING_KEY=FILE, an SSH private key.
set(SCRAPETRACE_SIGNING_KEY "" CACHE FILEPATH "SSH private key that signs the software bill of materials; empty: not signed")
if(SCRAPETRACE_SANITIZE OR SCRAPETRACE_FUZZ)
  return()  # nobody is given those
endif()
find_package(Python3 3.11 QUIET COMPONENTS Interpreter)
find_program(DPKG_QUERY dpkg-query)
if(NOT Python3_FOUND OR NOT DPKG_QUERY)
  message(STATUS "No software bill of materials: it needs python3 3.11 and dpkg-query")
  return()
endif()
set(SCRAPETRACE_BILL ${CMAKE_BINARY_DIR}/bill/scrapetrace.spdx.json)
set(bill_key)
if(SCRAPETRACE_SIGNING_KEY)
  set(bill_key --key ${SCRAPETRACE_SIGNING_KEY})
endif()
file(GLOB bill_parts CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/package/bill/*)
add_custom_command(OUTPUT ${SCRAPETRACE_BILL}
  COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_BINARY_DIR}/bill
  COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/package/bill/make_bill.py --program $<TARGET_FILE:scrapetrace>
          --loads ${SCRAPETRACE_VIPS_LIBRARY} --library $<TARGET_FILE:scrapetrace_library> --source ${PROJECT_SOURCE_DIR}
          --version ${PROJECT_VERSION} ${bill_key} --out ${SCRAPETRACE_BILL}
  DEPENDS scrapetrace scrapetrace_library ${bill_parts} VERBATIM)
set(SCRAPETRACE_BILL ${SCRAPETRACE_BILL} PARENT_SCOPE)  # for the tests
add_custom_target(scrapetrace_bill ALL DEPENDS ${SCRAPETRACE_BILL})
install(FILES ${SCRAPETRACE_BILL} DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
if(SCRAPETRACE_SIGNING_KEY)
  install(FILES ${SCRAPETRACE_BILL}.sig DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
endif()
