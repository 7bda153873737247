#pragma once
// How sections and their bend lines cross to the bindings of trays and finished edges.
#include <foldswing/blank.hpp>
#include <string>
#include <vector>

#include "door.hpp"

namespace door {

foldswing::blank::Direction direction(const std::string& word);
const char* direction_word(foldswing::blank::Direction d) noexcept;
foldswing::blank::Notch notch(const std::string& word);
const char* notch_word(foldswing::blank::Notch n) noexcept;
foldswing::blank::Side side(const std::string& name, const std::string& word);
const char* side_word(foldswing::blank::Side side) noexcept;

/// A flat or a bend as it is, or as the fields to_dict gave.
foldswing::blank::Part part(py::handle h, const std::string& name);
py::tuple parts_tuple(const std::vector<foldswing::blank::Part>& parts);

/// A read-only array.
py::object numbers(const std::vector<double>& values);
/// A bend line of a blank of that length, as the front's BendLine.
py::object bend_line(const foldswing::blank::BendLine& line, double whole);

/// repr of what was given, cut short: for messages.
std::string quoted(py::handle h);

}  // namespace door
