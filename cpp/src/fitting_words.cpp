#include "fitting_words.hpp"

#include <algorithm>
#include <cmath>

#include "words.hpp"

namespace foldswing::fitting {

const char* word(Which which) noexcept {
    switch (which) {
        case Which::body:
            return "body";
        case Which::panel:
            return "panel";
        case Which::both:
            return "both";
        case Which::together:
            return "together";
        case Which::none:
            break;
    }
    return "none";
}

namespace detail_fitting {
namespace {

std::string along(double x, double y) { return "(" + detail::fixed(x, 2) + ", " + detail::fixed(y, 2) + ")"; }

std::string counted(const std::vector<std::size_t>& all) {
    std::string text;
    for (std::size_t i = 0; i < all.size(); ++i)
        text += (i == 0 ? "" : (i + 1 == all.size() ? " and " : ", ")) + std::to_string(all[i] + 1);
    return text;
}

/// A shift of both holes in words.
std::string shift(const std::array<double, 4>& v) {
    constexpr double kSame = 1e-6;  // of a unit vector; what prints alike is alike
    const double panel = std::hypot(v[0], v[1]);
    const double body = std::hypot(v[2], v[3]);
    if (std::hypot(v[0] - v[2], v[1] - v[3]) <= kSame)
        return "both holes moved alike along " + along(v[0] / panel, v[1] / panel);
    if (panel <= kSame) return "the body's hole moved along " + along(v[2] / body, v[3] / body);
    if (body <= kSame) return "the panel's hole moved along " + along(v[0] / panel, v[1] / panel);
    return "the panel's hole moved by " + along(v[0], v[1]) + " and the body's by " + along(v[2], v[3]);
}

}  // namespace

std::string explain(const HolesFit& fit) {
    if (fit.status == HolesStatus::not_converged)
        return "the turns at the stops cannot be settled from these readings: read each turn with the angle finder";
    std::string text = fit.status == HolesStatus::both ? "both holes are found" : "the readings do not tell everything";
    text += "; readings more than needed: " + std::to_string(fit.spare);
    for (const auto& v : fit.unseen) text += "; no reading would change with " + shift(v);
    std::vector<std::size_t> alone;
    for (std::size_t i = 0; i < fit.checks.size(); ++i)
        if (!fit.checks[i].checked) alone.push_back(i);
    if (alone.size() == fit.checks.size())
        text += "; no reading is checked by another";
    else if (!alone.empty())
        text += (alone.size() == 1 ? "; nothing checks reading " : "; nothing checks readings ") + counted(alone);
    if (fit.suspect) {
        const Check& c = fit.checks[*fit.suspect];
        text += "; reading " + std::to_string(*fit.suspect + 1) + " looks wrong by about " +
                detail::mm(std::abs(c.residual / c.redundancy)) + " mm";
        if (!fit.alike.empty()) text += ", or else " + counted(fit.alike);
        text += ": read it again";
    }
    return text;
}

}  // namespace detail_fitting
}  // namespace foldswing::fitting
