#include "words.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include "check.hpp"

namespace foldswing::detail {
namespace {
constexpr double kFixedNotation = 1e9;  // mm; beyond, digits after the point say nothing
}

std::string fixed(double v, int decimals) {
    if (std::abs(v) >= kFixedNotation) return number_text(v);
    std::array<char, 48> buffer{};
    const auto [end, code] =
        std::to_chars(buffer.data(), buffer.data() + buffer.size(), v, std::chars_format::fixed, decimals);
    const std::string text = code == std::errc{} ? std::string(buffer.data(), end) : number_text(v);
    return text.find_first_not_of("-0.") == std::string::npos && text.front() == '-' ? text.substr(1) : text;
}

std::string mm(double v) {
    int decimals = 1;
    while (decimals < 4 && v != 0.0 && std::abs(v) < 0.95 * std::pow(10.0, 1 - decimals)) ++decimals;
    return fixed(v, decimals);
}

}  // namespace foldswing::detail
