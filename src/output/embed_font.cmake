# src/output/embed_font.cmake — finds the typeface and makes it part of a target.
#   include(src/output/embed_font.cmake)
#   etchcast_embed_typeface(<target>)          the project must have the languages CXX and ASM
# An assembler's .incbin copies a file in milliseconds, where a C array of 700 kB of numbers takes the compiler seconds.

find_file(ETCHCAST_TYPEFACE_REGULAR NAMES Lato-Regular.ttf DejaVuSans.ttf LiberationSans-Regular.ttf
  PATHS /usr/share/fonts /usr/local/share/fonts
  PATH_SUFFIXES truetype/lato lato lato-fonts truetype/dejavu dejavu truetype/liberation liberation
  DOC "TrueType file for words in pictures")
find_file(ETCHCAST_TYPEFACE_BOLD NAMES Lato-Bold.ttf DejaVuSans-Bold.ttf LiberationSans-Bold.ttf
  PATHS /usr/share/fonts /usr/local/share/fonts
  PATH_SUFFIXES truetype/lato lato lato-fonts truetype/dejavu dejavu truetype/liberation liberation
  DOC "TrueType file for headings in pictures")

function(etchcast_embed_typeface target)
  if(NOT ETCHCAST_TYPEFACE_REGULAR OR NOT ETCHCAST_TYPEFACE_BOLD)
    message(FATAL_ERROR "No typeface found: install fonts-lato (Debian) or set ETCHCAST_TYPEFACE_REGULAR and _BOLD "
      "to TrueType files.")
  endif()
  set(assembly "# Written by embed_font.cmake.\n.section .rodata\n")
  foreach(face Regular Bold)
    string(TOUPPER ${face} upper)
    set(file ${ETCHCAST_TYPEFACE_${upper}})
    list(APPEND files ${file})
    # Labels of size 8 bytes for the count: unsigned long of the 64-bit ABIs this project is built for.
    string(APPEND assembly
      ".global kTypeface${face}\n.global kTypeface${face}Size\n"
      ".balign 16\nkTypeface${face}:\n.incbin \"${file}\"\nkTypeface${face}End:\n"
      ".balign 8\nkTypeface${face}Size:\n.quad kTypeface${face}End - kTypeface${face}\n")
  endforeach()
  string(APPEND assembly ".section .note.GNU-stack,\"\",%progbits\n")
  set(source ${CMAKE_CURRENT_BINARY_DIR}/typeface.S)
  file(CONFIGURE OUTPUT ${source} CONTENT "${assembly}" @ONLY)
  set_source_files_properties(${source} PROPERTIES OBJECT_DEPENDS "${files}")
  target_sources(${target} PRIVATE ${source})
endfunction()
