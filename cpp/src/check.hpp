#pragma once
// Rules that many functions share. Private: the public face is the InvalidInput they throw.
#include <cmath>
#include <foldswing/error.hpp>
#include <string>

namespace foldswing::detail {

/// Throws InvalidInput. Out of line: a closed form over an array then runs its checks without room for the message.
[[noreturn]] void refuse(const char* name, double value, const char* rule);

inline void require(bool ok, const char* name, double value, const char* rule) {
    if (!ok) refuse(name, value, rule);
}
inline void require_finite(const char* name, double v) { require(std::isfinite(v), name, v, "finite"); }
inline void require_positive(const char* name, double v) {
    require(std::isfinite(v) && v > 0.0, name, v, "finite and > 0");
}
inline void require_not_negative(const char* name, double v) {
    require(std::isfinite(v) && v >= 0.0, name, v, "finite and >= 0");
}

/// Shortest text that reads back as the same double (std::to_string would print 1e-9 as 0.000000).
std::string number_text(double v);

}  // namespace foldswing::detail
