# Warnings, sanitizers and coverage, for every target of the project alike.
function(foldswing_checks target)
  target_compile_options(${target} PRIVATE -Wall -Wextra -Wpedantic -Wconversion -Wshadow
    $<$<BOOL:${FOLDSWING_WERROR}>:-Werror>)
  # g++ 12 takes `"text" + std::string` for an overlapping copy (its bug 105651, gone in 13).
  target_compile_options(${target} PRIVATE
    $<$<AND:$<CXX_COMPILER_ID:GNU>,$<VERSION_LESS:$<CXX_COMPILER_VERSION>,13>>:-Wno-restrict>)
  # No fused multiply-add: results must agree to the bit between machines.
  target_compile_options(${target} PRIVATE -ffp-contract=off)
  if(FOLDSWING_SANITIZE)
    target_compile_options(${target} PRIVATE -fsanitize=address,undefined -fno-sanitize-recover=undefined -fno-omit-frame-pointer)
    target_link_options(${target} PRIVATE -fsanitize=address,undefined)
  endif()
  if(FOLDSWING_FUZZERS)  # coverage feedback everywhere; the fuzzers alone link a main() that uses it
    target_compile_options(${target} PRIVATE -fsanitize=fuzzer-no-link)
    target_link_options(${target} PRIVATE -fsanitize=fuzzer-no-link)
  endif()
  if(FOLDSWING_COVERAGE)
    target_compile_options(${target} PRIVATE --coverage)
    target_link_options(${target} PRIVATE --coverage)
  endif()
endfunction()
