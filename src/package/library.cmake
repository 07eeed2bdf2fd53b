# libbackcloth for other programs: all stages but the command line, as one shared and one static library, with their
# public headers, a pkg-config file and a CMake package. Only what is marked BC_API is seen of the shared one, under the
# version name of its interface (library.map). docs/stability.md says what may change.
set(library_objects)
foreach(stage base photo colour cutout reading match plan look aisle loads arrange drawing sheets web)
  list(APPEND library_objects $<TARGET_OBJECTS:bc_${stage}>)
endforeach()
set(library_needs libwebp libwebpdemux pangocairo cairo)
foreach(need PNG JPEG EXIF ZLIB HEIF TIFF LCMS JANSSON KISSFFT QRENCODE MICROHTTPD SQLITE SODIUM SECCOMP ARCHIVE)
  list(APPEND library_needs ${${need}_MODULE_NAME})
endforeach()

add_library(backcloth_shared SHARED ${library_objects})
target_link_libraries(backcloth_shared PRIVATE bc_web bc_arrange) # their archives give nothing more, but what they need
set_target_properties(backcloth_shared PROPERTIES OUTPUT_NAME backcloth EXPORT_NAME backcloth
  VERSION ${PROJECT_VERSION} SOVERSION ${PROJECT_VERSION_MAJOR}
  LIBRARY_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR}/lib LINK_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/library.map)
target_link_options(backcloth_shared PRIVATE -Wl,--version-script=${CMAKE_CURRENT_LIST_DIR}/library.map
                                             -Wl,--no-undefined -Wl,--as-needed)
target_include_directories(backcloth_shared INTERFACE $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}>)

add_library(backcloth_static STATIC ${library_objects})
set_target_properties(backcloth_static PROPERTIES OUTPUT_NAME backcloth
  ARCHIVE_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR}/lib)

# Where the files lie is told from where they are found, so that the whole can be moved.
file(RELATIVE_PATH to_prefix /${CMAKE_INSTALL_LIBDIR}/pkgconfig /)
string(REPLACE ";" " " library_requires "${library_needs}")
configure_file(${CMAKE_CURRENT_LIST_DIR}/backcloth.pc.in ${CMAKE_CURRENT_BINARY_DIR}/backcloth.pc @ONLY)

include(CMakePackageConfigHelpers)
set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/backcloth)
write_basic_package_version_file(${CMAKE_CURRENT_BINARY_DIR}/backclothConfigVersion.cmake COMPATIBILITY SameMajorVersion)
install(TARGETS backcloth_shared EXPORT backcloth LIBRARY COMPONENT library NAMELINK_COMPONENT development)
install(TARGETS backcloth_static ARCHIVE COMPONENT development)
install(EXPORT backcloth FILE backclothConfig.cmake NAMESPACE backcloth:: DESTINATION ${package_folder}
        COMPONENT development)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/backclothConfigVersion.cmake DESTINATION ${package_folder}
        COMPONENT development)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/backcloth.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig
        COMPONENT development)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/include/backcloth DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}
        COMPONENT development FILES_MATCHING PATTERN "*.h")
