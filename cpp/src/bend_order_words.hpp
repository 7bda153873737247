#pragma once
// What stands in the way of a bend, in the words of the shop.
#include <string>
#include <vector>

#include "bend_order_section.hpp"

namespace foldswing::detail {

/// "with the start behind: flat 3 runs into the nose when the bend has turned 64 degrees".
std::string words(const Foul& foul, const bend_order::Brake& brake, const std::vector<std::string>& names,
                  std::size_t first_bend);
std::string list(const std::vector<std::string>& words);

}  // namespace foldswing::detail
