#include <array>
#include <charconv>
#include <foldswing/error.hpp>
#include <utility>

#include "check.hpp"

namespace foldswing {

InvalidInput::InvalidInput(std::string parameter, std::string value, std::string rule)
    : std::invalid_argument(parameter + " must be " + rule + ", got " + value),
      parameter_(std::move(parameter)),
      value_(std::move(value)),
      rule_(std::move(rule)) {}

InvalidInput::InvalidInput(std::string parameter, double value, std::string rule)
    : InvalidInput(std::move(parameter), detail::number_text(value), std::move(rule)) {}

InvalidInput InvalidInput::at(const std::string& index) const {
    return {parameter_ + "[" + index + "]", value_, rule_};
}

namespace detail {
void refuse(const char* name, double value, const char* rule) { throw InvalidInput(name, value, rule); }

std::string number_text(double v) {
    std::array<char, 32> buffer{};
    const auto [end, code] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), v);
    return code == std::errc{} ? std::string(buffer.data(), end) : std::string("?");
}
}  // namespace detail

}  // namespace foldswing
