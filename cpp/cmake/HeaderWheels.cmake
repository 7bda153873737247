# Eigen's headers may come as a Python package, which installs them one folder below site-packages, where CMake does not
# look. FOLDSWING_HEADER_WHEELS is given to find_package as PATHS: those are searched last, so a copy of the system or of
# CMAKE_PREFIX_PATH wins, and the package only helps where there is none.
set(FOLDSWING_HEADER_WHEELS)
foreach(_site IN LISTS CMAKE_PREFIX_PATH)
  if(IS_DIRECTORY "${_site}/cmeel.prefix")
    list(APPEND FOLDSWING_HEADER_WHEELS "${_site}/cmeel.prefix")
  endif()
endforeach()
