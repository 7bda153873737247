#include <foldswing/clearance.hpp>
