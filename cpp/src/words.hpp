#pragma once
// Lengths in sentences.
#include <string>

namespace foldswing::detail {

/// A number with so many digits after the point; never "-0".
[[nodiscard]] std::string fixed(double v, int decimals);
/// A length in mm: tenths; finer where a tenth would show nothing.
[[nodiscard]] std::string mm(double v);

}  // namespace foldswing::detail
