#include <foldswing/bend.hpp>
