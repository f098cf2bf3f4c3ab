# etchcast_at_level(TARGET LEVEL): the target runs as if the processor knew nothing above x86-64-v<LEVEL>.
# ETCHCAST_HAS_LEVELS tells whether that can be had: g++ on x86-64, whose clones ask libgcc; under a sanitizer there are none.
include(CheckCXXSourceCompiles)
if(NOT ETCHCAST_SANITIZE AND CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_SYSTEM_NAME STREQUAL "Linux" AND CMAKE_SYSTEM_PROCESSOR STREQUAL "x86_64")
  check_cxx_source_compiles("int main() { return __builtin_cpu_supports(\"x86-64-v4\"); }" ETCHCAST_HAS_LEVELS)
endif()
set(ETCHCAST_LEVELS_DIR ${CMAKE_CURRENT_LIST_DIR})

function(etchcast_at_level target level)
  target_sources(${target} PRIVATE ${ETCHCAST_LEVELS_DIR}/hide.cpp)
  target_compile_definitions(${target} PRIVATE ETCHCAST_LEVEL=${level})
  target_link_options(${target} PRIVATE -Wl,--wrap=__cpu_indicator_init)
endfunction()
