#include <algorithm>
#include <cmath>
#include <foldswing/bend_order.hpp>

#include "check.hpp"

namespace foldswing::bend_order {
namespace {

constexpr double kLargest = 1e5;  // mm; no brake is larger than 100 m
constexpr std::size_t kMostCorners = 200;
constexpr std::size_t kMostFingers = 20;

void require_tool(const char* name, const Outline& tool, bool above) {
    if (!tool.holes().empty()) throw InvalidInput(name, "holes", "an outline without holes");
    if (tool.corners().size() > kMostCorners)
        throw InvalidInput(name, std::to_string(tool.corners().size()) + " corners", "at most 200 corners");
    for (const Point p : tool.corners()) {
        detail::require(std::fabs(p.x) <= kLargest && std::fabs(p.y) <= kLargest, name, std::fmax(p.x, p.y),
                        "within 100000 mm of the bend");
        detail::require(above ? p.y >= 0.0 : p.y <= 0.0, name, p.y,
                        above ? "nowhere below the sheet (y >= 0)" : "nowhere above the sheet (y <= 0)");
    }
}

}  // namespace

void require_valid(const Brake& brake) {
    require_tool("upper", brake.upper, true);
    require_tool("lower", brake.lower, false);
    const bool leaf = brake.kind == Kind::leaf;
    if (leaf != brake.leaf.has_value())
        throw InvalidInput("leaf", leaf ? "none" : "an outline", leaf ? "the outline of the leaf" : "none on a press");
    if (brake.leaf) require_tool("leaf", *brake.leaf, false);
    const Ring& corners = brake.upper.corners();
    const auto tip = std::ranges::find(corners, Point{0.0, 0.0});
    if (tip == corners.end()) throw InvalidInput("upper", "no corner there", "a corner, its tip, at (0, 0)");
    if (leaf) {
        const auto i = static_cast<std::size_t>(tip - corners.begin());
        const Point before = corners[(i + corners.size() - 1) % corners.size()];
        const Point after = corners[(i + 1) % corners.size()];
        // Counter-clockwise, the underside runs towards the tip.
        if (!(before.y == 0.0 && before.x < 0.0))
            throw InvalidInput("upper", "an edge rising behind the tip", "an underside along y = 0 behind the tip");
        if (!(after.y > 0.0 && after.x <= 0.0))
            throw InvalidInput("upper", "an edge before the tip",
                               "a front face that rises from the tip, none before it");
    }
    detail::require_positive("opens", brake.opens);
    detail::require(brake.greatest_angle_deg > 0.0 && brake.greatest_angle_deg < 180.0, "greatest_angle_deg",
                    brake.greatest_angle_deg, "over 0 and under 180");
    detail::require_not_negative("least_hold", brake.least_hold);
    detail::require_not_negative("least_flange", brake.least_flange);
    if (leaf)
        detail::require_not_negative("v_opening", brake.v_opening);
    else
        detail::require_positive("v_opening", brake.v_opening);
    detail::require_not_negative("gauge_from", brake.gauge_from);
    detail::require(brake.gauge_to >= brake.gauge_from, "gauge_to", brake.gauge_to, "at least gauge_from");
    if (brake.fingers.size() > kMostFingers)
        throw InvalidInput("fingers", std::to_string(brake.fingers.size()) + " fingers", "at most 20 fingers");
    for (const double width : brake.fingers) detail::require_positive("fingers", width);
    if (brake.fingers.empty())
        detail::require_not_negative("finger_height", brake.finger_height);
    else
        detail::require_positive("finger_height", brake.finger_height);
    detail::require(brake.least_cover >= 0.0 && brake.least_cover <= 1.0, "least_cover", brake.least_cover, "0 to 1");
}

// Outlines of no make: round figures of about bench size. The nose rises 60 degrees from its underside.
Brake invented_leaf_brake() {
    return {"leaf brake (invented)",
            Kind::leaf,
            Outline({{0, 0},
                     {-18, 31},
                     {-18, 60},
                     {-40, 90},
                     {-40, 400},
                     {-140, 400},
                     {-140, 100},
                     {-60, 70},
                     {-50, 40},
                     {-30, 0}}),
            Outline({{0, 0}, {-35, 0}, {-60, -60}, {-60, -150}, {-20, -150}, {0, -20}}),
            Outline({{0, 0}, {0, -50}, {40, -50}, {25, -12}, {25, 0}}),
            60.0,
            135.0,
            8.0,
            8.0,
            0.0,
            5.0,
            1000.0,
            {},
            0.0};
}

Brake invented_box_and_pan_brake() {
    Brake out = invented_leaf_brake();
    out.name = "box-and-pan brake (invented)";
    out.upper = Outline({{0, 0},
                         {-18, 31},
                         {-18, 110},
                         {-40, 130},
                         {-40, 400},
                         {-140, 400},
                         {-140, 130},
                         {-50, 110},
                         {-50, 40},
                         {-30, 0}});
    out.fingers = {20, 25, 30, 40, 50, 60, 75, 100, 100, 150};
    out.finger_height = 110.0;
    return out;
}

Brake invented_press_brake(double v_opening) {
    detail::require(v_opening >= 4.0 && v_opening <= 60.0, "v_opening", v_opening, "4 to 60");
    const double half = 0.5 * v_opening;
    const double deep = 1.1 * half;  // flanks of 42 degrees from upright: room for 90 degrees and a little over
    const double wide = half + 12.0;
    return {"press brake (invented)",
            Kind::press,
            Outline({{0, 0},
                     {8, 9.5},
                     {8, 60},
                     {15, 70},
                     {15, 100},
                     {60, 100},
                     {60, 400},
                     {-60, 400},
                     {-60, 100},
                     {-15, 100},
                     {-15, 70},
                     {-8, 60},
                     {-8, 9.5}}),
            Outline({{half, 0},
                     {0, -deep},
                     {-half, 0},
                     {-wide, 0},
                     {-wide, -60},
                     {-60, -60},
                     {-60, -200},
                     {60, -200},
                     {60, -60},
                     {wide, -60},
                     {wide, 0}}),
            std::nullopt,
            100.0,
            94.0,
            0.0,
            0.0,
            v_opening,
            5.0,
            800.0,
            {},
            0.0,
            true};
}

}  // namespace foldswing::bend_order
