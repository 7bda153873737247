#include <algorithm>
#include <cmath>
#include <foldswing/edge_finish.hpp>
#include <limits>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"

namespace foldswing::blank {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr const char* kManual = "US Navy training manual Steelworker, volume 2, Edges";

Bend turn(double angle_deg, double radius, double k_factor) {
    return {angle_deg, radius, Direction::up, Basis{Basis::Kind::k_factor, k_factor}};
}
Flat flat(double length) { return {length, Measured::flat, Measured::flat}; }

/// Metal of the tail, and what of it lies within the finished edge: the first bend's reach over its tangent line.
double addition(const std::vector<Part>& tail, double thickness, double k_factor) {
    double metal = 0.0;
    for (const Part& p : tail) {
        if (const auto* b = std::get_if<Bend>(&p))
            metal += bend::bend_allowance(b->angle_deg, b->radius, thickness, k_factor);
        else
            metal += std::get<Flat>(p).length;
    }
    return metal - (std::get<Bend>(tail.front()).radius + thickness);
}

void require_room(const char* name, double width, double least) {
    if (width > least) return;
    throw InvalidInput(name, width, "over " + detail::number_text(least) + ", which the fold itself takes");
}

void check_metal(double thickness, double k_factor) {
    detail::require_positive("thickness", thickness);
    detail::require(k_factor >= 0.0 && k_factor <= 1.0, "k_factor", k_factor,
                    "from 0 (inside face) to 1 (outside face)");
}

}  // namespace

EdgeFinish hem(Hem kind, double width, double opening, double thickness, double k_factor) {
    check_metal(thickness, k_factor);
    detail::require_positive("width", width);
    detail::require_not_negative("opening", opening);
    EdgeFinish out;
    out.rule = width;
    out.rule_text = "length added = width of the hem";
    out.source = std::string(kManual) + ", Fig 2-54";
    const double t = thickness;
    switch (kind) {
        case Hem::closed:
            detail::require(opening == 0.0, "opening", opening, "0 for a closed hem");
            require_room("width", width, t);
            out.tail = {turn(180.0, 0.0, k_factor), flat(width - t)};
            out.note = "folded flat on itself: needs metal that bears a bend without radius";
            break;
        case Hem::open: {
            detail::require_positive("opening", opening);
            const double r = 0.5 * opening;
            require_room("width", width, r + t);
            out.tail = {turn(180.0, r, k_factor), flat(width - (r + t))};
            out.note = "a supplier's least: inside diameter one thickness, return six thicknesses";
            break;
        }
        case Hem::teardrop: {
            detail::require_positive("opening", opening);
            const double r = 0.5 * opening;
            require_room("width", width, r + t);
            // The return's tip touches the sheet: both are tangents to the fold's inside from that point, and so equal.
            const double tangent = width - (r + t);
            const double more_deg = 2.0 * std::atan2(r, tangent) / detail::kDegree;
            if (!(more_deg < 180.0)) require_room("width", width, r + t);
            out.tail = {turn(180.0, r, k_factor), flat(0.0), turn(more_deg, r, k_factor), flat(tangent)};
            out.note = "the return is turned through 180 and " +
                       detail::number_text(std::round(more_deg * 10.0) / 10.0) +
                       " degrees more, until its edge touches";
            break;
        }
        case Hem::doubled: {
            detail::require(opening == 0.0, "opening", opening, "0 for a double hem");
            // The outer fold goes round one thickness, the edge folded flat lies within.
            const double r = 0.5 * t;
            const double run = width - (r + t) - t;
            require_room("width", width, (r + t) + t);
            out.tail = {turn(180.0, r, k_factor), flat(run), turn(180.0, 0.0, k_factor), flat(run)};
            out.rule = 2.0 * width;
            out.rule_text = "length added = twice the width of the hem";
            out.source = std::string(kManual) + ", Fig 2-55";
            out.note = "bend the inner fold first";
            break;
        }
    }
    out.addition = addition(out.tail, t, k_factor);
    return out;
}

EdgeFinish wired_edge(double wire_diameter, double thickness, double k_factor, double turned_deg) {
    check_metal(thickness, k_factor);
    detail::require_positive("wire_diameter", wire_diameter);
    detail::require(turned_deg >= 180.0 && turned_deg <= 330.0, "turned_deg", turned_deg, "180 to 330");
    // Past this the wrapped edge would run into the sheet it came from: its outer face must stay above the sheet.
    const double r = 0.5 * wire_diameter;
    EdgeFinish out;
    out.tail = {turn(180.0, r, k_factor), flat(0.0)};
    if (turned_deg > 180.0) {
        out.tail.emplace_back(turn(turned_deg - 180.0, r, k_factor));
        out.tail.emplace_back(flat(0.0));
    }
    out.rule = 2.5 * wire_diameter;
    out.rule_text = "length added = 2.5 wire diameters";
    out.source = std::string(kManual) + ", Fig 2-56";
    out.note = "the rule leaves thickness out; the neutral line counts " + detail::number_text(turned_deg) +
               " degrees round the wire";
    out.addition = addition(out.tail, thickness, k_factor);
    return out;
}

EdgeFinish lock_seam(Seam kind, double width, double thickness, double k_factor) {
    check_metal(thickness, k_factor);
    detail::require_positive("width", width);
    const double t = thickness;
    EdgeFinish out;
    out.edge_from_line = 0.5 * width;
    if (kind == Seam::single) {
        // Each edge is a hook round one thickness; its return ends where the other hook's bend begins.
        const double r = 0.5 * t;
        const double run = width - 2.0 * (r + t);
        require_room("width", width, 2.0 * (r + t));
        out.tail = {turn(180.0, r, k_factor), flat(run)};
        out.rule = 3.0 * width;
        out.rule_text = "length added to both edges together = 3 widths of the seam";
        out.source = "practitioner page on lock seams (for a cylinder; a simple lap rule, thickness ignored)";
        out.note =
            "the neutral line gives about three thicknesses less than the rule; close the seam with a groover of "
            "this width";
    } else {
        // Folded over once more: the outer hook goes round three thicknesses, the inner, made first, round one.
        const double outer = 1.5 * t;
        const double inner = 0.5 * t;
        const double run = width - (outer + t) - (inner + t);
        require_room("width", width, (outer + t) + (inner + t));
        out.tail = {turn(180.0, outer, k_factor), flat(run), turn(180.0, inner, k_factor), flat(run)};
        out.rule = kNone;
        out.rule_text = "no printed rule found";
        out.source = "from the geometry of the folds; no source";
        out.note = "make a test joint first: how tightly a double seam closes depends on the hammer";
    }
    out.addition = 2.0 * (addition(out.tail, t, k_factor) + out.edge_from_line);
    return out;
}

Profile finished(const Profile& profile, const std::optional<EdgeFinish>& at_start,
                 const std::optional<EdgeFinish>& at_end) {
    std::vector<Part> parts = profile.parts();
    for (Part& p : parts) {  // bends that leaned on the profile's default keep it
        if (auto* b = std::get_if<Bend>(&p))
            if (b->basis.kind == Basis::Kind::unset) b->basis = profile.basis();
    }
    if (at_end && !at_end->tail.empty()) {
        auto& last = std::get<Flat>(parts.back());
        last.end = Measured::overall;
        last.length += at_end->edge_from_line;
        parts.insert(parts.end(), at_end->tail.begin(), at_end->tail.end());
    }
    if (at_start && !at_start->tail.empty()) {
        auto& first = std::get<Flat>(parts.front());
        first.start = Measured::overall;
        first.length += at_start->edge_from_line;
        std::vector<Part> head(at_start->tail.rbegin(), at_start->tail.rend());
        for (Part& p : head)
            if (auto* f = std::get_if<Flat>(&p)) std::swap(f->start, f->end);
        parts.insert(parts.begin(), head.begin(), head.end());
    }
    return {std::move(parts), profile.thickness()};
}

TabsAndSlots tabs_and_slots(double edge, std::size_t count, double tab_width, double thickness, double through,
                            double proud, double clearance) {
    detail::require_positive("edge", edge);
    constexpr std::size_t kMost = 10000;
    detail::require(count >= 1 && count <= kMost, "count", static_cast<double>(count), "1 to 10000");
    detail::require_positive("tab_width", tab_width);
    detail::require_positive("thickness", thickness);
    detail::require_positive("through", through);
    detail::require_not_negative("proud", proud);
    detail::require_not_negative("clearance", clearance);
    TabsAndSlots out;
    const double spacing = edge / static_cast<double>(count);
    for (std::size_t i = 0; i < count; ++i) out.centres.push_back((static_cast<double>(i) + 0.5) * spacing);
    out.tab_width = tab_width;
    out.tab_height = through + proud;
    out.slot_length = tab_width + clearance;
    out.slot_width = thickness + clearance;
    out.between = spacing - out.slot_length;
    out.to_end = 0.5 * out.between;
    if (!(out.between >= through))
        throw InvalidInput("tab_width", tab_width,
                           "at most " + detail::number_text(spacing - through - clearance) +
                               ", so that a thickness of metal is left between the slots; or fewer tabs");
    return out;
}

}  // namespace foldswing::blank
