#pragma once
// What stands in the way of a bend, in the words of the shop.
#include <span>
#include <string>
#include <vector>

#include "bend_order_section.hpp"

namespace foldswing::detail {

/// "flat 3 runs into the nose when the bend has turned 64 degrees". `bends` and `flats` are those of the section bent.
std::string words(const Foul& foul, const bend_order::Brake& brake, std::span<const std::string> bends,
                  std::span<const std::string> flats);
std::string list(const std::vector<std::string>& words);

}  // namespace foldswing::detail
