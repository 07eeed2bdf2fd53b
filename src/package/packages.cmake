# What is installed besides programs and library, and the Debian packages: `cmake --build build --target packages` writes
# backcloth (program), libbackcloth1 (library) and libbackcloth-dev into build/packages.
set(package_sources ${CMAKE_CURRENT_LIST_DIR})

# The date that stands in packages and bills: that of the source, never that of the build (SOURCE_DATE_EPOCH, as
# reproducible-builds.org specifies it).
if(DEFINED ENV{SOURCE_DATE_EPOCH})
  set(source_date $ENV{SOURCE_DATE_EPOCH})
else()
  execute_process(COMMAND git -C ${PROJECT_SOURCE_DIR} log -1 --format=%ct OUTPUT_VARIABLE source_date
                  OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
endif()
if(NOT source_date)
  set(source_date 1767225600) # an archive without history: 2026-01-01
endif()

# --- bills of materials, made from the link line -----------------------------------------------------------
function(bc_bill target name package)
  set(bill ${CMAKE_BINARY_DIR}/bill/${name}.spdx.json)
  add_custom_command(OUTPUT ${bill}
    COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_BINARY_DIR}/bill
    COMMAND sh ${package_sources}/bill.sh ${name} ${PROJECT_VERSION} MIT $<TARGET_FILE:${target}>
            ${PROJECT_SOURCE_DIR}/docs/licence.md ${source_date} ${bill}
    DEPENDS ${target} ${package_sources}/bill.sh ${PROJECT_SOURCE_DIR}/docs/licence.md VERBATIM)
  add_custom_target(bill-${name} ALL DEPENDS ${bill})
  install(FILES ${bill} DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package} COMPONENT ${ARGN})
endfunction()
if(TARGET backcloth_shared) # a build with sanitizers is handed to nobody
  bc_bill(backcloth backcloth backcloth program)
  bc_bill(backcloth_shared libbackcloth libbackcloth1 library)
endif()

# --- what Debian asks of a package's folder ----------------------------------------------------------------
set(history ${CMAKE_BINARY_DIR}/bill/changelog.gz)
add_custom_command(OUTPUT ${history} COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_BINARY_DIR}/bill
  COMMAND sh -c "gzip -9nc \"$1\" >\"$2\"" sh ${PROJECT_SOURCE_DIR}/docs/changelog.md ${history} DEPENDS ${PROJECT_SOURCE_DIR}/docs/changelog.md VERBATIM)
add_custom_target(history ALL DEPENDS ${history})
foreach(pair program=backcloth library=libbackcloth1 development=libbackcloth-dev)
  string(REPLACE "=" ";" pair ${pair})
  list(GET pair 0 component)
  list(GET pair 1 package)
  install(FILES ${package_sources}/copyright ${history} DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package} COMPONENT ${component})
endforeach()
install(DIRECTORY ${PROJECT_SOURCE_DIR}/docs/ DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/backcloth COMPONENT program
        FILES_MATCHING PATTERN "*.md" PATTERN "*.schema.json" PATTERN "pictures/*.png" PATTERN "licence.md" EXCLUDE)
install(FILES ${PROJECT_SOURCE_DIR}/docs/example/clearest.c DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/libbackcloth-dev/examples
        COMPONENT development)

# --- packages ------------------------------------------------------------------------------------------------
# The development packages of what a static link needs: whose pkg-config files are those that backcloth.pc names.
set(development_needs "libbackcloth1 (= ${PROJECT_VERSION})")
find_program(DPKG dpkg)
if(DPKG AND library_needs)
  foreach(module ${library_needs})
    pkg_get_variable(where ${module} pcfiledir)
    execute_process(COMMAND ${DPKG} -S ${where}/${module}.pc OUTPUT_VARIABLE owner ERROR_QUIET)
    string(REGEX REPLACE "[:,].*" "" owner "${owner}")
    string(STRIP "${owner}" owner)
    if(owner)
      list(APPEND development_needs ${owner})
    endif()
  endforeach()
endif()
list(REMOVE_DUPLICATES development_needs)
list(JOIN development_needs ", " development_needs)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME backcloth)
set(CPACK_PACKAGE_VENDOR "the backcloth developers")
set(CPACK_PACKAGE_CONTACT "the backcloth developers <backcloth@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "choose the cloth behind handmade work and plan the wall of a market stand")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_PACKAGE_DIRECTORY ${CMAKE_BINARY_DIR}/packages)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program library development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS_PRIVATE_DIRS ${CMAKE_BINARY_DIR}/lib)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS_POLICY ">=")
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME backcloth)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION graphics)
# What the program brings late (late.cmake) stands on no link line: its packages are those that dpkg's own records name.
set(late_needs fontconfig fonts-sil-andika)
foreach(path ${late_paths})
  execute_process(COMMAND sh -c "readelf -dW $1 | sed -n 's/.*Library soname: \\[\\(.*\\)[.]so[.]\\(.*\\)\\].*/\\1 \\2/p'" sh ${path}
                  OUTPUT_VARIABLE soname OUTPUT_STRIP_TRAILING_WHITESPACE)
  string(REPLACE "." "[.]" soname "${soname}")
  execute_process(COMMAND sh -c "sed -n \"s/^$1 //p\" /var/lib/dpkg/info/lib*.shlibs" sh ${soname} OUTPUT_VARIABLE needs
                  OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
  string(REPLACE "\n" ";" needs "${needs}")
  list(APPEND late_needs ${needs})
endforeach()
list(REMOVE_DUPLICATES late_needs)
list(JOIN late_needs ", " late_needs)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS "${late_needs}")
set(CPACK_DEBIAN_PROGRAM_PACKAGE_RECOMMENDS "fonts-noto-core")
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "Reads photos of handmade work, says how clearly each piece stands out on each cloth,\
 and plans and draws the back wall of a market stand to scale: loads, packing, set-up sheets, feedback sheets, and a page in the browser.")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME libbackcloth1)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION "The same for other programs, as a shared library.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libbackcloth-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "${development_needs}")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SHLIBDEPS OFF)
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "Headers, static library, pkg-config file and CMake package of libbackcloth.")
include(CPack)

if(TARGET backcloth_shared)
  add_custom_target(packages
    COMMAND ${CMAKE_COMMAND} -E rm -rf ${CMAKE_BINARY_DIR}/packages
    COMMAND ${CMAKE_COMMAND} -E env SOURCE_DATE_EPOCH=${source_date} ${CMAKE_CPACK_COMMAND} --config ${CMAKE_BINARY_DIR}/CPackConfig.cmake
    DEPENDS backcloth backcloth_shared backcloth_static man catalogues bill-backcloth bill-libbackcloth history
    WORKING_DIRECTORY ${CMAKE_BINARY_DIR} VERBATIM)
endif()
