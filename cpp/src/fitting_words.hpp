#pragma once
// Sentences about what the readings say. Private.
#include <foldswing/fitting.hpp>
#include <string>

namespace foldswing::fitting::detail_fitting {

/// A sentence or two for the bench; the fit has everything but its explanation.
std::string explain(const HolesFit& fit);

}  // namespace foldswing::fitting::detail_fitting
