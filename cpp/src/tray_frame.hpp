#pragma once
// One side of a tray's blank, and how its sides are told apart. Private to the tray.
#include <array>
#include <cstddef>
#include <foldswing/tray.hpp>

namespace foldswing::detail {

inline constexpr std::array<const char*, 4> kName{"left", "right", "bottom", "top"};
constexpr std::size_t index(blank::Side side) noexcept { return static_cast<std::size_t>(side); }
inline bool is_upright(blank::Side side) noexcept { return side == blank::Side::left || side == blank::Side::right; }

}  // namespace foldswing::detail

namespace foldswing::blank {

/// One side of the blank: u along it, from the crossing of the base's tangent lines it begins at, counter-clockwise
/// round the blank; v outward from the base's tangent line.
struct Tray::Frame {
    Side side = Side::left;
    Point origin;
    Point along;
    Point outward;
    double run = 0.0;  ///< u of the crossing it ends at
    bool flange = false;
    double bend = 0.0;  ///< v where the flange begins
    double flat = 0.0;  ///< v where it ends
    bool lip = false;
    double lip_from = 0.0;  ///< v where the lip begins
    double lip_to = 0.0;    ///< v where it ends
    double start = 0.0;     ///< u of the flange's end
    double end = 0.0;       ///< likewise, from `run` back
    [[nodiscard]] Point at(double u, double v) const noexcept { return origin + u * along + v * outward; }
};

}  // namespace foldswing::blank
