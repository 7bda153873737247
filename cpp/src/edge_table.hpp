#pragma once
// Outlines as columns of numbers, so that corner-to-edge distances run in plain loops over arrays.
#include <cstddef>
#include <foldswing/plane.hpp>
#include <span>
#include <vector>

namespace foldswing::detail {

/// Edge i runs from corner i = (x[i], y[i]) along the unit vector (ux[i], uy[i]) for length[i], to corner end[i].
struct EdgeView {
    std::size_t size = 0;
    const double* x = nullptr;
    const double* y = nullptr;
    const double* ux = nullptr;
    const double* uy = nullptr;
    const double* length = nullptr;
    const std::size_t* end = nullptr;
    [[nodiscard]] Point corner(std::size_t i) const noexcept { return {x[i], y[i]}; }
};

/// The edges of one outline, its holes included: [first, last).
struct Part {
    std::size_t first = 0;
    std::size_t last = 0;
};

class EdgeTable {
  public:
    explicit EdgeTable(std::span<const Outline> outlines);

    [[nodiscard]] std::size_t size() const noexcept { return end_.size(); }
    [[nodiscard]] const std::vector<Part>& parts() const noexcept { return parts_; }
    [[nodiscard]] EdgeView view() const noexcept { return view_of(columns_.data()); }
    /// Greatest |x| or |y|: what rounding is measured against.
    [[nodiscard]] double extent() const noexcept;
    /// The outer corners, which carry the greatest displacement.
    [[nodiscard]] const std::vector<Point>& outer_corners() const noexcept { return outer_; }
    /// Which outline edge i belongs to.
    [[nodiscard]] std::size_t part_of(std::size_t edge) const noexcept;

  private:
    friend class PosedEdges;
    [[nodiscard]] EdgeView view_of(const double* columns) const noexcept;

    std::vector<double> columns_;  // x, y, ux, uy, length
    std::vector<std::size_t> end_;
    std::vector<Part> parts_;
    std::vector<Point> outer_;
};

/// A copy of a table that can be carried to one pose after another.
class PosedEdges {
  public:
    explicit PosedEdges(const EdgeTable& table) : table_(&table), columns_(table.columns_) {}
    /// As R(angle) p + shift - origin, with the sine and cosine given.
    void carry(double sin, double cos, Point shift) noexcept;
    void carry(const Pose& pose) noexcept;
    [[nodiscard]] EdgeView view() const noexcept { return table_->view_of(columns_.data()); }

  private:
    const EdgeTable* table_;
    std::vector<double> columns_;
};

}  // namespace foldswing::detail
