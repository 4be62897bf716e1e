# The manual page restand(1) from the list of commands: cmake -DIN=commands.md -DOUT=restand.1 -DVERSION=… -P man.cmake
file(STRINGS "${IN}" lines ENCODING UTF-8)

# `literal` is bold; backslashes and hyphens stand for themselves; no line begins with a roff request.
function(roff text out)
  string(REPLACE "\\" "\\e" text "${text}")
  string(REPLACE "-" "\\-" text "${text}")
  string(REGEX REPLACE "`([^`]*)`" "\\\\fB\\1\\\\fR" text "${text}")
  string(REGEX REPLACE "\\*\\*([^*]*)\\*\\*" "\\\\fB\\1\\\\fR" text "${text}")
  string(REGEX REPLACE "^([.'])" "\\\\&\\1" text "${text}")
  set(${out} "${text}" PARENT_SCOPE)
endfunction()

set(page ".TH RESTAND 1 \"\" \"restand ${VERSION}\" \"User Commands\"
.SH NAME
restand \\- set up a race motorcycle again after a part was swapped
.SH SYNOPSIS
.B restand
[\\fICOMMAND\\fR] [\\fIOPTION\\fR ...] [\\fIFILE\\fR]
.SH DESCRIPTION
Restand takes the readings made of a race motorcycle, computes what to set on a new part so that the bike stands and
steers as it did, says how sure that is, checks the result, and keeps each bike's baseline through the season.
.SH COMMANDS
")
set(in_text FALSE)
foreach(line IN LISTS lines)
  if(line MATCHES "^\\| (`.*`) \\|(.*)\\|$")
    roff("${CMAKE_MATCH_1}" command)
    string(STRIP "${CMAKE_MATCH_2}" meaning)
    roff("${meaning}" meaning)
    string(APPEND page ".TP\n${command}\n${meaning}\n")
  elseif(line MATCHES "^Options:")
    set(in_text TRUE)
    string(APPEND page ".SH OPTIONS AND EXIT CODES\n")
  endif()
  if(in_text)
    roff("${line}" text)
    string(APPEND page "${text}\n")
  endif()
endforeach()
string(APPEND page ".SH FILES
.TP
\\fB$XDG_DATA_HOME/restand/workshop.restand\\fR
the workshop file, without another one named; \\fB~/.local/share\\fR where XDG_DATA_HOME is not set
.TP
\\fB$XDG_STATE_HOME/restand\\fR
what was half typed; \\fB~/.local/state\\fR where XDG_STATE_HOME is not set
")
file(WRITE "${OUT}" "${page}")
