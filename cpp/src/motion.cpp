#include <foldswing/motion.hpp>
