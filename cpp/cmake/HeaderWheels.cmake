# Eigen and Boost headers may come as Python packages, which install them one folder below site-packages, where CMake does
# not look. FOLDSWING_HEADER_WHEELS is given to find_package and find_path as PATHS: those are searched last, so copies of
# the system or of CMAKE_PREFIX_PATH win, and the packages only help where there are none.
set(FOLDSWING_HEADER_WHEELS)
foreach(_site IN LISTS CMAKE_PREFIX_PATH)
  foreach(_nested "${_site}/cmeel.prefix" "${_site}/boost_headers")
    if(IS_DIRECTORY "${_nested}")
      list(APPEND FOLDSWING_HEADER_WHEELS "${_nested}")
    endif()
  endforeach()
endforeach()
