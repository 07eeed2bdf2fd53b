# The program brings some libraries only when it calls them (base/late/late.h): its own objects define what it calls of
# them, so that the linker has no need of them (--as-needed). Where the processor is another one, or a sanitizer wants to
# see all calls, the loader brings all at the start.
if(CMAKE_SYSTEM_PROCESSOR MATCHES "^(x86_64|AMD64)$" AND NOT BC_SANITIZE AND NOT BC_THREAD_SANITIZE AND NOT BC_FUZZ)
  foreach(package HEIF TIFF PANGO MICROHTTPD SQLITE ARCHIVE)
    list(APPEND late_paths ${${package}_LINK_LIBRARIES})
  endforeach()
  list(FILTER late_paths INCLUDE REGEX "[.]so$")
  list(REMOVE_DUPLICATES late_paths)
  list(JOIN late_paths ":" late_list)
  foreach(stage base photo colour cutout reading match plan look aisle loads arrange drawing sheets web cli)
    list(APPEND late_stages bc_${stage})
    list(APPEND late_archives $<TARGET_FILE:bc_${stage}>)
  endforeach()
  set(late_calls ${CMAKE_CURRENT_BINARY_DIR}/late_calls.c)
  add_custom_command(OUTPUT ${late_calls}
    COMMAND sh ${CMAKE_CURRENT_LIST_DIR}/late_calls.sh ${late_calls} ${late_list} ${late_archives}
    DEPENDS ${late_stages} ${CMAKE_CURRENT_LIST_DIR}/late_calls.sh VERBATIM)
  set_source_files_properties(${late_calls} PROPERTIES COMPILE_OPTIONS -fno-toplevel-reorder)
  target_sources(backcloth PRIVATE ${late_calls})
  # What comes late asks the program's malloc too, so that it is noted when there was nothing to give (cli/main.c).
  foreach(symbol malloc calloc realloc memalign aligned_alloc posix_memalign)
    target_link_options(backcloth PRIVATE -Wl,--export-dynamic-symbol=${symbol})
  endforeach()
endif()
