# Eigen and Boost headers may come as Python packages, installed one folder below site-packages, where CMake would not
# look. System copies are found first; these paths only help where there are none.
foreach(_site IN LISTS CMAKE_PREFIX_PATH)
  foreach(_nested "${_site}/cmeel.prefix" "${_site}/boost_headers")
    if(IS_DIRECTORY "${_nested}")
      list(APPEND CMAKE_PREFIX_PATH "${_nested}")
    endif()
  endforeach()
endforeach()
