#pragma once
// What a pivot window is put together from. Private.
#include <array>
#include <foldswing/pivot_window.hpp>
#include <span>
#include <string>
#include <vector>

#include "half_planes.hpp"

namespace foldswing::hinge::detail_window {

using Run = std::array<Point, 2>;

/// What a region has in common with what the rings wind round once.
std::vector<Outline> common(std::span<const Outline> region, std::span<const Ring> rings);
std::vector<Ring> rings_of(std::span<const Outline> outlines);

void require_valid(const FreeStop& free, std::size_t index);
/// Cuts the window (outlines, outer and runs) by what a stop with a free angle allows.
void cut_by(const FreeStop& free, double sagitta, PivotWindow& window);
/// The runs of a line that lie in the region, its edge included.
std::vector<Run> runs_in(std::span<const Outline> region, Point from, Point to);

/// The cells that reach into the window (parts with area, and runs of a line), judged.
std::vector<Cell> judge_cells(const Swing& swing, std::span<const Outline> window, std::span<const Run> runs);

/// Rings round the clear cells, clear on the left.
std::vector<Ring> rings_round_clear(std::span<const Cell> cells, double smallest);

/// "on its left side", "on its upper right side".
std::string side_words(Point outward);
/// What breaks beyond a limit.
std::string limit_words(std::span<const Landing> landings, const WindowLimit& limit);
/// Sets PivotWindow::binding, and which of its sentences belongs to which side.
void name_binding(std::span<const Landing> landings, PivotWindow& window);
/// \param cut by an allowed region  \param free a stop's angle is
std::string explain(std::span<const Landing> landings, const PivotWindow& window, bool cut, bool free,
                    const Swing* swing);

}  // namespace foldswing::hinge::detail_window
