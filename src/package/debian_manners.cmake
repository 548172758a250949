# What Debian's policy asks of packages beside their files: manual pages and change logs compressed, the same bytes
# each time. CPack runs this over the folders that it is about to pack.
function(compress)
  execute_process(COMMAND gzip -9nf ${ARGN} COMMAND_ERROR_IS_FATAL ANY)
endfunction()

file(GLOB pages "${CPACK_TEMPORARY_DIRECTORY}/*/usr/share/man/man1/*.1")
if(pages)
  compress(${pages})
endif()

set(ENV{LC_ALL} C)
string(TIMESTAMP day "%a, %d %b %Y %H:%M:%S +0000" UTC)  # or SOURCE_DATE_EPOCH, where that is set
foreach(package program:${CPACK_DEBIAN_PROGRAM_PACKAGE_NAME} library:${CPACK_DEBIAN_LIBRARY_PACKAGE_NAME})
  string(REPLACE ":" ";" package ${package})
  list(GET package 0 folder)
  list(GET package 1 name)
  set(log ${CPACK_TEMPORARY_DIRECTORY}/${folder}/usr/share/doc/${name}/changelog)
  if(EXISTS ${CPACK_TEMPORARY_DIRECTORY}/${folder})
    file(WRITE ${log} "${CPACK_PACKAGE_NAME} (${CPACK_PACKAGE_VERSION}) unstable; urgency=medium\n\n  * CHANGELOG.md of the \
program's package tells what changed.\n\n -- ${CPACK_PACKAGE_CONTACT}  ${day}\n")
    compress(${log})
  endif()
endforeach()
