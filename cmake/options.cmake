# One interface target that every target of ours links: warnings, sanitizers, coverage.
# -Wnull-dereference is left out: with -O2 gcc 12 sees null pointers inside its own std::string.
# -Wno-restrict: gcc 12 sees overlapping copies in "text" + std::string (GCC bug 105651).
add_library(skedlark_options INTERFACE)
target_compile_options(skedlark_options INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wno-sign-conversion -Wnon-virtual-dtor
  -Wold-style-cast -Woverloaded-virtual -Wdouble-promotion -Wformat=2
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>)
if(SKEDLARK_WERROR)
  target_compile_options(skedlark_options INTERFACE -Werror)
endif()
if(SKEDLARK_SANITIZE)
  target_compile_options(skedlark_options INTERFACE
    -fsanitize=${SKEDLARK_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
  target_link_options(skedlark_options INTERFACE -fsanitize=${SKEDLARK_SANITIZE})
endif()
if(SKEDLARK_COVERAGE)
  target_compile_options(skedlark_options INTERFACE --coverage)
  target_link_options(skedlark_options INTERFACE --coverage)
endif()

# skedlark_stage(NAME SOURCES ... USES ...): one library a stage, alias dsp::NAME.
function(skedlark_stage name)
  cmake_parse_arguments(ARG "" "" "SOURCES;USES;PRIVATE_USES" ${ARGN})
  add_library(skedlark_${name} STATIC ${ARG_SOURCES})
  add_library(dsp::${name} ALIAS skedlark_${name})
  target_include_directories(skedlark_${name} PUBLIC ${PROJECT_SOURCE_DIR})
  # The stages are loops over samples: worth the dearer optimisation in every build that is optimised at all.
  target_compile_options(skedlark_${name} PRIVATE $<$<CONFIG:RelWithDebInfo>:-O3>)
  target_link_libraries(skedlark_${name} PUBLIC ${ARG_USES}
                        PRIVATE skedlark_options ${ARG_PRIVATE_USES})
endfunction()
