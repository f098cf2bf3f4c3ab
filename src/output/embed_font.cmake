# src/output/embed_font.cmake — finds the typefaces and makes them part of a target.
#   include(src/output/embed_font.cmake)
#   etchcast_embed_typeface(<target>)          the project must have the languages CXX and ASM
# An assembler's .incbin copies a file in milliseconds, where a C array of 700 kB of numbers takes the compiler seconds.

set(ETCHCAST_TYPEFACE_FOLDERS truetype/lato lato lato-fonts truetype/dejavu dejavu dejavu-sans-fonts truetype/liberation
  liberation)
function(etchcast_find_typeface name doc)
  find_file(ETCHCAST_TYPEFACE_${name} NAMES ${ARGN} PATHS /usr/share/fonts /usr/local/share/fonts
    PATH_SUFFIXES ${ETCHCAST_TYPEFACE_FOLDERS} DOC "${doc}")
  if(NOT ETCHCAST_TYPEFACE_${name})
    message(FATAL_ERROR "No typeface found: install fonts-lato and fonts-dejavu-core (Debian) or set "
      "ETCHCAST_TYPEFACE_${name} to a TrueType file.")
  endif()
endfunction()

etchcast_find_typeface(REGULAR "TrueType file for words in pictures" Lato-Regular.ttf DejaVuSans.ttf
  LiberationSans-Regular.ttf)
etchcast_find_typeface(BOLD "TrueType file for headings in pictures" Lato-Bold.ttf DejaVuSans-Bold.ttf
  LiberationSans-Bold.ttf)
# What Lato lacks: Greek and Cyrillic of all kinds, Georgian, Armenian, arrows, mathematics. East Asian faces would be
# five times the whole program.
etchcast_find_typeface(WIDE_REGULAR "TrueType file for letters that the first one lacks" DejaVuSans.ttf)
etchcast_find_typeface(WIDE_BOLD "TrueType file for letters that the first one lacks, in headings" DejaVuSans-Bold.ttf)

function(etchcast_embed_typeface target)
  set(assembly "# Written by embed_font.cmake.\n.section .rodata\n")
  foreach(face Regular:REGULAR Bold:BOLD WideRegular:WIDE_REGULAR WideBold:WIDE_BOLD)
    string(REPLACE ":" ";" parts ${face})
    list(GET parts 0 label)
    list(GET parts 1 name)
    set(file ${ETCHCAST_TYPEFACE_${name}})
    list(APPEND files ${file})
    string(APPEND assembly ".global kTypeface${label}\n.balign 16\nkTypeface${label}:\n.incbin \"${file}\"\n")
  endforeach()
  string(APPEND assembly ".section .note.GNU-stack,\"\",%progbits\n")
  set(source ${CMAKE_CURRENT_BINARY_DIR}/typeface.S)
  file(CONFIGURE OUTPUT ${source} CONTENT "${assembly}" @ONLY)
  set_source_files_properties(${source} PROPERTIES OBJECT_DEPENDS "${files}")
  target_sources(${target} PRIVATE ${source})
endfunction()
