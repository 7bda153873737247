#pragma once
#include <cmath>
#include <numbers>

namespace foldswing::detail {

/// Half the k of DIN 6935 for an inside radius over thickness > 0: negative below 10^-1.3.
inline double k_din6935(double ratio) {
    if (ratio > 5.0) return 0.5;
    return 0.5 * (0.65 + 0.5 * (std::numbers::log10e * std::log(ratio)));  // log10 itself takes twice as long
}

}  // namespace foldswing::detail
