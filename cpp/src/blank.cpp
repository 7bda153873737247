#include <algorithm>
#include <foldswing/blank.hpp>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"
#include "section.hpp"

namespace foldswing::blank {
namespace {

std::string part_name(std::size_t i) { return "parts[" + std::to_string(i) + "]"; }

const char* word(Measured m) noexcept {
    switch (m) {
        case Measured::outside:
            return "outside";
        case Measured::inside:
            return "inside";
        case Measured::overall:
            return "overall";
        case Measured::flat:
            break;
    }
    return "flat";
}

/// An error about one part, named by its place.
template <class Work>
auto naming(std::size_t part, Work work) {
    try {
        return work();
    } catch (const InvalidInput& e) {
        throw InvalidInput(part_name(part) + "." + e.parameter(), e.value(), e.rule());
    }
}

const Bend& bend_at(const std::vector<Part>& parts, std::size_t i) { return std::get<Bend>(parts[i]); }
const Flat& flat_at(const std::vector<Part>& parts, std::size_t i) { return std::get<Flat>(parts[i]); }

void require_alternating(const std::vector<Part>& parts) {
    if (parts.size() % 2 == 0)
        throw InvalidInput("parts", std::to_string(parts.size()) + " parts",
                           "flat, bend, flat, ... beginning and ending with a flat");
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const bool is_flat = std::holds_alternative<Flat>(parts[i]);
        if (is_flat != (i % 2 == 0))
            throw InvalidInput(part_name(i), is_flat ? "a flat" : "a bend", is_flat ? "a bend" : "a flat");
        naming(i, [&] { std::visit([](const auto& part) { require_valid(part); }, parts[i]); });
    }
}

/// A plain deduction or allowance was found at one angle and radius and says nothing about another.
void require_one_kind(const std::vector<Part>& parts, const Basis& basis) {
    if (basis.kind != Basis::Kind::deduction && basis.kind != Basis::Kind::allowance) return;
    const Bend* first = nullptr;
    for (std::size_t i = 1; i < parts.size(); i += 2) {
        const Bend& bend = bend_at(parts, i);
        if (bend.basis.kind != Basis::Kind::unset) continue;
        if (first == nullptr) first = &bend;
        if (bend.angle_deg != first->angle_deg || bend.radius != first->radius)
            throw InvalidInput(basis.kind == Basis::Kind::deduction ? "deduction" : "allowance", basis.value,
                               "the default of bends of one angle and radius only: " + part_name(i) +
                                   " differs from the bends before it, give it its own");
    }
}

BendLine lay_out(const Bend& bend, const Basis& fallback, double start, double thickness) {
    const Basis& basis = bend.basis.kind == Basis::Kind::unset ? fallback : bend.basis;
    BendLine line;
    line.angle_deg = bend.angle_deg;
    line.radius = bend.radius;
    line.direction = bend.direction;
    line.allowance = bend::allowance(bend.angle_deg, bend.radius, thickness, basis);
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    const bool is_k = basis.kind == Basis::Kind::k_factor;
    const double turned = bend.angle_deg * detail::kDegree;
    line.k_factor = is_k ? basis.value : turned > 0.0 ? (line.allowance / turned - bend.radius) / thickness : nan;
    if (bend.angle_deg >= 180.0) {
        line.deduction = nan;
    } else if (is_k) {
        line.deduction = bend::bend_deduction(bend.angle_deg, bend.radius, thickness, basis.value);
    } else if (basis.kind == Basis::Kind::deduction) {
        line.deduction = basis.value;
    } else {
        line.deduction = 2.0 * bend::setback(bend.angle_deg, bend.radius, thickness) - line.allowance;
    }
    line.tangent = {start, start + line.allowance};
    line.centre = start + 0.5 * line.allowance;
    line.sight = {line.tangent[0] + bend.radius, line.tangent[1] - bend.radius};
    return line;
}

/// What lies between the two ends' tangent lines once both corrections are off.
double flat_length(const std::vector<Part>& parts, std::size_t i, double thickness) {
    const Flat& flat = flat_at(parts, i);
    const auto correction = [&](bool has_bend, std::size_t at, Measured measured) {
        if (!has_bend) return 0.0;
        const Bend& bend = bend_at(parts, at);
        return naming(at, [&] { return bend::end_correction(measured, bend.angle_deg, bend.radius, thickness); });
    };
    const double before = correction(i > 0, i - 1, flat.start);
    const double after = correction(i + 1 < parts.size(), i + 1, flat.end);
    const double rest = flat.length - before - after;
    // A length given as exactly what its bends take may come out a rounding below 0.
    constexpr double kRoundingRel = 1e-14;
    if (rest >= 0.0) return rest;
    if (-rest <= kRoundingRel * flat.length) return 0.0;
    const std::string how =
        flat.start == flat.end ? word(flat.start) : std::string(word(flat.start)) + " to " + word(flat.end);
    throw InvalidInput(part_name(i) + ".length", flat.length,
                       "at least " + detail::number_text(before + after) + " measured " + how +
                           " (the bends beside flat " + std::to_string(i / 2 + 1) + " take " +
                           detail::number_text(before) + " and " + detail::number_text(after) + "; lengthen it by " +
                           detail::number_text(-rest) + " or use a smaller radius)");
}

/// From the tangent point to where the length is measured, read off the folded section: `chord` is that of the arc of
/// the face in question, taken from its end points.
double reach(Measured measured, const detail::Piece& bend) {
    const bool lower_is_outer = bend.lower_radius > bend.upper_radius;
    const auto chord = [](Point a, Point b) { return std::hypot(b.x - a.x, b.y - a.y); };
    const double lower = chord(bend.lower_start, bend.lower_end);
    const double upper = chord(bend.upper_start, bend.upper_end);
    const double outer = lower_is_outer ? lower : upper;
    const double inner = lower_is_outer ? upper : lower;
    const auto [sin_half, cos_half] = detail::sin_cos_deg(0.5 * std::fabs(bend.turn_deg));
    switch (measured) {
        case Measured::outside:
            return 0.5 * outer / cos_half;  // two tangents and their chord: an isosceles triangle
        case Measured::inside:
            return 0.5 * inner / cos_half;
        case Measured::overall:
            return 0.5 * outer / sin_half;  // a quarter turn on, the arc is one radius farther out
        case Measured::flat:
            break;
    }
    return 0.0;
}

/// A face or an outline in the making: pieces of no length leave no trace.
struct Trace {
    std::vector<Point> points;
    std::vector<double> sweep_deg;
    void start(Point p) { points.push_back(p); }
    void to(Point p, double sweep) {
        if (p == points.back()) return;
        points.push_back(p);
        sweep_deg.push_back(sweep);
    }
};

}  // namespace

void require_valid(const Flat& flat) { detail::require_not_negative("length", flat.length); }

void require_valid(const Bend& bend) {
    detail::require(bend.angle_deg >= 0.0 && bend.angle_deg <= 180.0, "angle_deg", bend.angle_deg,
                    "a bend angle (turned through) of 0 to 180");
    detail::require_not_negative("radius", bend.radius);
    switch (bend.basis.kind) {
        case Basis::Kind::unset:
            return;
        case Basis::Kind::k_factor:
            detail::require(bend.basis.value >= 0.0 && bend.basis.value <= 1.0, "k_factor", bend.basis.value,
                            "from 0 (inside face) to 1 (outside face)");
            return;
        case Basis::Kind::deduction:
            detail::require_not_negative("deduction", bend.basis.value);
            return;
        case Basis::Kind::allowance:
            detail::require_not_negative("allowance", bend.basis.value);
            return;
    }
}

FromEnd BendLine::from_end(double developed_length) const noexcept {
    const auto back = [&](double at) { return developed_length - at; };
    return {back(centre), {back(tangent[0]), back(tangent[1])}, {back(sight[0]), back(sight[1])}};
}

BendLine BendLine::moved(double by) const noexcept {
    BendLine out = *this;
    out.centre += by;
    for (double& t : out.tangent) t += by;
    for (double& t : out.sight) t += by;
    return out;
}

Profile::Profile(std::vector<Part> parts, double thickness, Basis basis)
    : parts_(std::move(parts)), thickness_(thickness), basis_(basis) {
    detail::require_positive("thickness", thickness_);
    require_alternating(parts_);
    require_one_kind(parts_, basis_);
    double at = 0.0;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        if (i % 2 == 0) {
            const double length = flat_length(parts_, i, thickness_);
            flats_.push_back({at, at + length, length});
            at += length;
        } else {
            BendLine line = naming(i, [&] { return lay_out(bend_at(parts_, i), basis_, at, thickness_); });
            line.part = i;
            at = line.tangent[1];
            bend_lines_.push_back(line);
        }
    }
    developed_length_ = at;
    if (!std::isfinite(at)) throw InvalidInput("parts", at, "small enough for a finite developed length");
    const auto pieces = detail::fold(parts_, flats_, thickness_);
    const auto is_long = [&](double detail::Piece::*radius) {
        return std::ranges::any_of(pieces,
                                   [&](const auto& p) { return p.length > 0.0 || p.turn_deg * p.*radius != 0.0; });
    };
    if (!is_long(&detail::Piece::lower_radius) || !is_long(&detail::Piece::upper_radius))
        throw InvalidInput("parts", "flats of no length and no radius", "a section with two faces of some length");
    const auto clash = detail::find_overlap(pieces, thickness_);
    if (clash.first != clash.second)
        throw InvalidInput("parts", part_name(clash.second) + " running into " + part_name(clash.first),
                           "a section that does not cross itself when folded");
}

Folded Profile::folded() const {
    const auto pieces = detail::fold(parts_, flats_, thickness_);
    Trace lower;
    Trace upper;
    lower.start(pieces.front().lower_start);
    upper.start(pieces.front().upper_start);
    for (const auto& p : pieces) {
        lower.to(p.lower_end, p.turn_deg);
        upper.to(p.upper_end, p.turn_deg);
    }
    Trace ring = lower;  // along the lower face, across the far cut end, back along the upper face
    ring.to(upper.points.back(), 0.0);
    for (std::size_t i = upper.sweep_deg.size(); i-- > 0;) ring.to(upper.points[i], -upper.sweep_deg[i]);
    ring.sweep_deg.push_back(0.0);
    const bool lower_outside = bend_lines_.empty() || bend_lines_.front().direction == Direction::up;
    Path lower_face(std::move(lower.points), std::move(lower.sweep_deg));
    Path upper_face(std::move(upper.points), std::move(upper.sweep_deg));
    Path outline(std::move(ring.points), std::move(ring.sweep_deg), true);
    if (!lower_outside) std::swap(lower_face, upper_face);
    return {std::move(lower_face), std::move(upper_face), std::move(outline), lower_outside};
}

std::vector<double> Profile::remeasured() const {
    const auto pieces = detail::fold(parts_, flats_, thickness_);
    std::vector<double> out;
    for (std::size_t i = 0; i < pieces.size(); i += 2) {
        const auto& p = pieces[i];
        const Flat& flat = flat_at(parts_, i);
        double length = std::hypot(p.lower_end.x - p.lower_start.x, p.lower_end.y - p.lower_start.y);
        if (i > 0) length += reach(flat.start, pieces[i - 1]);
        if (i + 1 < pieces.size()) length += reach(flat.end, pieces[i + 1]);
        out.push_back(length);
    }
    return out;
}

double developed_length(std::span<const double> lengths, std::span<const double> angles_deg,
                        std::span<const double> radii, double thickness, double k_factor, Measured measured) {
    if (lengths.size() != angles_deg.size() + 1 || radii.size() != angles_deg.size())
        throw InvalidInput("lengths", std::to_string(lengths.size()) + " lengths",
                           "one more than the bends (" + std::to_string(angles_deg.size()) + " angles, " +
                               std::to_string(radii.size()) + " radii)");
    detail::require_positive("thickness", thickness);
    double total = 0.0;
    double before = 0.0;
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        detail::require_not_negative("lengths", lengths[i]);
        const bool last = i + 1 == lengths.size();
        const double after = last ? 0.0 : bend::end_correction(measured, angles_deg[i], radii[i], thickness);
        const double rest = lengths[i] - before - after;
        if (rest < 0.0)
            throw InvalidInput("lengths", lengths[i],
                               "at least " + detail::number_text(before + after) + " measured " + word(measured) +
                                   " (flat " + std::to_string(i + 1) + " would come out negative)");
        total += rest;
        if (!last) total += bend::bend_allowance(angles_deg[i], radii[i], thickness, k_factor);
        before = after;
    }
    if (!std::isfinite(total)) throw InvalidInput("lengths", total, "small enough for a finite developed length");
    return total;
}

}  // namespace foldswing::blank
