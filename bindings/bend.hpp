#pragma once
// The words and the values of a bend, as Python gives them.
#include <foldswing/bend.hpp>

#include "door.hpp"

namespace door {

/// 'outside', 'inside', 'flat' or 'overall'.
foldswing::bend::Measured measured(const std::string& word);
const char* measured_word(foldswing::bend::Measured m) noexcept;

/// The bend angle from whichever of the two was given; exactly one must be.
double turned(py::handle angle_deg, py::handle included_deg);

/// What was given of the four, at most one.
foldswing::bend::Basis basis(py::handle k_factor, py::handle deduction, py::handle allowance, py::handle coupon);
/// The value where the basis is of that kind, else None.
py::object basis_value(const foldswing::bend::Basis& basis, foldswing::bend::Basis::Kind kind);

}  // namespace door
