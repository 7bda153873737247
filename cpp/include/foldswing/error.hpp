#pragma once
/// \file error.hpp  What a function throws when its input breaks a stated rule.
#include <stdexcept>
#include <string>

namespace foldswing {

/// Bad input. The message reads "<parameter> must be <rule>, got <value>".
class InvalidInput : public std::invalid_argument {
  public:
    InvalidInput(std::string parameter, std::string value, std::string rule);
    InvalidInput(std::string parameter, double value, std::string rule);

    /// The same complaint about one element of an array, e.g. index "3" or "1, 4".
    [[nodiscard]] InvalidInput at(const std::string& index) const;

    [[nodiscard]] const std::string& parameter() const noexcept { return parameter_; }
    [[nodiscard]] const std::string& value() const noexcept { return value_; }
    [[nodiscard]] const std::string& rule() const noexcept { return rule_; }

  private:
    std::string parameter_;
    std::string value_;
    std::string rule_;
};

}  // namespace foldswing
