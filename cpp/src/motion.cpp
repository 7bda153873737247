#include <algorithm>
#include <cmath>
#include <foldswing/motion.hpp>
#include <numbers>
#include <numeric>
#include <string>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing {

Tabulated::Tabulated(std::vector<double> s, std::vector<Pose> knots, double departure)
    : s_(std::move(s)), knots_(std::move(knots)), departure_(departure) {
    if (s_.size() < 2)
        throw InvalidInput("s", std::to_string(s_.size()) + " values", "at least two values, from 0 to 1");
    if (knots_.size() != s_.size())
        throw InvalidInput("poses", std::to_string(knots_.size()) + " poses",
                           "one pose for each of the " + std::to_string(s_.size()) + " values of s");
    detail::require(s_.front() == 0.0, "s[0]", s_.front(), "0");
    for (std::size_t i = 1; i < s_.size(); ++i)
        if (!(s_[i] > s_[i - 1])) throw InvalidInput("s", s_[i], "ascending").at(std::to_string(i));
    if (s_.back() != 1.0) throw InvalidInput("s", s_.back(), "1").at(std::to_string(s_.size() - 1));
    for (std::size_t i = 0; i < knots_.size(); ++i) {
        const Pose& k = knots_[i];
        for (const double v : {k.x, k.y, k.angle_deg})
            if (!std::isfinite(v)) throw InvalidInput("poses", v, "finite").at(std::to_string(i));
    }
    detail::require_not_negative("stray", departure_);
}

std::size_t Tabulated::piece(double s) const noexcept {
    const auto after = std::upper_bound(s_.begin() + 1, s_.end() - 1, s);
    return static_cast<std::size_t>(after - s_.begin()) - 1;
}

void Tabulated::poses(std::span<const double> s, std::span<Pose> out) const {
    for (std::size_t i = 0; i < s.size(); ++i) {
        const std::size_t k = piece(s[i]);
        const Pose& a = knots_[k];
        const Pose& b = knots_[k + 1];
        const double f = (s[i] - s_[k]) / (s_[k + 1] - s_[k]);
        out[i] = {std::lerp(a.x, b.x, f), std::lerp(a.y, b.y, f), std::lerp(a.angle_deg, b.angle_deg, f)};
    }
}

std::vector<double> Tabulated::breaks() const { return {s_.begin() + 1, s_.end() - 1}; }

double Tabulated::stray(std::span<const Point> corners, double s0, double s1) const {
    const double middle = std::midpoint(s0, s1);
    const std::size_t k = piece(middle);
    const Pose& a = knots_[k];
    const Pose& b = knots_[k + 1];
    const double half = 0.5 * (s1 - s0) / (s_[k + 1] - s_[k]);
    const Point shift{half * (b.x - a.x), half * (b.y - a.y)};
    const double turn = std::abs(half * (b.angle_deg - a.angle_deg)) * detail::kDegree;
    // From any still point c of the panel: a corner q strays at most as far as c does, plus the chord of q's turn about
    // c.
    const double chord = 2.0 * std::sin(0.5 * std::min(turn, std::numbers::pi));
    const auto reach_from = [&](Point c) {
        double reach = 0.0;
        for (const Point q : corners) reach = std::max(reach, std::hypot(q.x - c.x, q.y - c.y));
        return reach;
    };
    const double about_origin = std::hypot(shift.x, shift.y) + chord * reach_from({});
    if (turn == 0.0) return about_origin;
    // About the pole of the middle pose: it stands still there, so it strays only with the square of the turn.
    const double rate = half * (b.angle_deg - a.angle_deg) * detail::kDegree;
    const Point spoke{-shift.y / rate, shift.x / rate};  // from the pose's origin to the pole, fixed directions
    Pose at{};
    poses({&middle, 1}, {&at, 1});
    const Point pole = Pose{0.0, 0.0, -at.angle_deg}.apply(spoke);
    const double about_pole = 0.5 * turn * turn * std::hypot(pole.x, pole.y) + chord * reach_from(pole);
    return std::min(about_origin, about_pole);
}

double Tabulated::bulge(std::span<const Point> corners, double s0, double s1) const {
    const std::size_t k = piece(std::midpoint(s0, s1));
    const double part = (s1 - s0) / (s_[k + 1] - s_[k]);
    const double turn = part * (knots_[k + 1].angle_deg - knots_[k].angle_deg) * detail::kDegree;
    double reach = 0.0;
    for (const Point q : corners) reach = std::max(reach, std::hypot(q.x, q.y));
    return reach * std::min(0.125 * turn * turn, 2.0);  // error of linear interpolation: max |second derivative| / 8
}

}  // namespace foldswing
