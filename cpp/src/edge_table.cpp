#include "edge_table.hpp"

#include <algorithm>
#include <cmath>

#include "degrees.hpp"

namespace foldswing::detail {

EdgeTable::EdgeTable(std::span<const Outline> outlines) {
    std::size_t n = 0;
    std::size_t outer = 0;
    for (const Outline& o : outlines) {
        outer += o.corners().size();
        n += o.corners().size();
        for (const Ring& hole : o.holes()) n += hole.size();
    }
    columns_.resize(5 * n);
    end_.reserve(n);
    parts_.reserve(outlines.size());
    outer_.reserve(outer);
    double* const x = columns_.data();
    const auto add = [&](const Ring& ring) {
        const std::size_t first = end_.size();
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const std::size_t next = i + 1 == ring.size() ? 0 : i + 1;
            const Point d = ring[next] - ring[i];
            const double length = std::sqrt(d.x * d.x + d.y * d.y);
            double* const row = x + first + i;
            row[0] = ring[i].x;
            row[n] = ring[i].y;
            row[2 * n] = d.x / length;
            row[3 * n] = d.y / length;
            row[4 * n] = length;
            end_.push_back(first + next);
        }
    };
    for (const Outline& o : outlines) {
        const std::size_t first = end_.size();
        add(o.corners());
        outer_.insert(outer_.end(), o.corners().begin(), o.corners().end());
        for (const Ring& hole : o.holes()) add(hole);
        parts_.push_back({first, end_.size()});
    }
}

EdgeView EdgeTable::view_of(const double* columns) const noexcept {
    const std::size_t n = size();
    return {n, columns, columns + n, columns + 2 * n, columns + 3 * n, columns + 4 * n, end_.data()};
}

double EdgeTable::extent() const noexcept {
    double most = 0.0;
    for (std::size_t i = 0; i < 2 * size(); ++i) most = std::max(most, std::abs(columns_[i]));
    return most;
}

std::size_t EdgeTable::part_of(std::size_t edge) const noexcept {
    const auto after = std::upper_bound(parts_.begin(), parts_.end(), edge,
                                        [](std::size_t e, const Part& part) { return e < part.last; });
    return static_cast<std::size_t>(after - parts_.begin());
}

void PosedEdges::carry(double sin, double cos, Point shift) noexcept {
    const std::size_t n = table_->size();
    const double* const in = table_->columns_.data();
    double* const out = columns_.data();
    for (std::size_t i = 0; i < n; ++i) {
        out[i] = cos * in[i] - sin * in[n + i] + shift.x;
        out[n + i] = sin * in[i] + cos * in[n + i] + shift.y;
        out[2 * n + i] = cos * in[2 * n + i] - sin * in[3 * n + i];
        out[3 * n + i] = sin * in[2 * n + i] + cos * in[3 * n + i];
    }
}

void PosedEdges::carry(const Pose& pose) noexcept {
    const auto [s, c] = sin_cos_deg(pose.angle_deg);
    carry(s, c, {pose.x, pose.y});
}

}  // namespace foldswing::detail
