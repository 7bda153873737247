#include <foldswing/blank.hpp>
