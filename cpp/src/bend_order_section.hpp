#pragma once
// One section in one brake: what stands in the way of one bend, given the bends already made.
#include <array>
#include <foldswing/bend_order.hpp>
#include <map>
#include <string>
#include <vector>

#include "convex_sweep.hpp"

namespace foldswing::detail {

using BendSet = unsigned;  // bit i: bend i is made

/// What stands in the way.
enum class Hindrance : unsigned char {
    none,
    angle,   // beyond what the brake turns
    radius,  // the nose has no room for it, or the V for its legs
    hold,    // too little straight metal under the nose, or on one shoulder of the V behind
    flange,  // too little on the leaf, or on the other shoulder
    gauge,   // the stop does not reach
    upper,   // metal runs into a tool
    lower,
    leaf,
    metal,        // metal runs into metal
    trapped,      // the part does not come off
    cross_below,  // trays: the other flanges hang down,
    cross_beam,   // reach the beam,
    cross_width,  // leave no room for a finger set,
    cross_base,   // or the base is not held
};
struct Foul {
    Hindrance what = Hindrance::none;
    std::size_t part = 0;    // of the profile, where metal is in the way
    std::size_t other = 0;   // the other part, metal against metal
    double angle_deg = 0.0;  // the bend's angle there
    double number = 0.0;     // what is missing, mm
    double wanted = 0.0;     // and of how much
    explicit operator bool() const noexcept { return what != Hindrance::none; }
};

class SectionBender {
  public:
    SectionBender(const blank::Profile& section, bend_order::Brake brake, bend_order::Gauge gauge);

    [[nodiscard]] std::size_t bends() const noexcept { return bends_.size(); }
    [[nodiscard]] bool goes_up(std::size_t bend) const noexcept { return bends_[bend].up; }
    [[nodiscard]] double angle_deg(std::size_t bend) const noexcept { return bends_[bend].angle_deg; }
    /// Why the bend cannot be made with these made already.
    Foul attempt(BendSet made, std::size_t bend, bend_order::End at_gauge);
    /// The picture of it, and the gauge.
    [[nodiscard]] bend_order::Step picture(BendSet made, std::size_t bend, bend_order::End at_gauge) const;

    /// The metal beside one flat with some bends made, that flat's lower face (as it lies with `face` up) along +x from
    /// the origin.
    [[nodiscard]] std::vector<Convex> about_flat(BendSet made, std::size_t flat, bend_order::Face face) const;
    [[nodiscard]] double flat_length(std::size_t flat) const noexcept { return flats_[flat]; }
    [[nodiscard]] double thickness() const noexcept { return thickness_; }

  private:
    struct Bend {
        double angle_deg;
        double radius;
        double allowance;
        bool up;
    };
    /// A flat or a bend zone, seen going outward from the bend being made: in pieces, and the same drawn in a touch.
    struct Piece {
        std::size_t part = 0;
        std::vector<Convex> full;
        std::vector<Convex> drawn_in;
    };
    struct Chain {
        std::vector<Piece> pieces;
        std::vector<Point> lower;
        std::vector<Point> upper;
        double straight = 0.0;  // metal up to the first bend made
    };
    struct Verdict {
        Foul foul;
        unsigned ways_off = 0;  // bit w: this piece can go way w
    };
    enum class Role : unsigned char { behind, front };

    /// The metal going outward from a bend: way -1 to the start, +1 to the end.
    [[nodiscard]] Chain chain(BendSet made, std::size_t bend, int way, bool up_is_up) const;
    [[nodiscard]] const Chain& side(BendSet made, std::size_t bend, int way) const;
    /// The nearest `count` bends beyond a bend, going outward: bit 0 is its neighbour.
    [[nodiscard]] static BendSet beyond(BendSet made, std::size_t bend, int way, std::size_t count) noexcept;
    [[nodiscard]] double stop_distance(const Chain& chain, std::size_t bend, Role role) const;
    [[nodiscard]] std::size_t outward(std::size_t bend, int way) const noexcept;
    const Verdict& verdict(BendSet made, std::size_t bend, int way, Role role, std::size_t piece);
    Verdict judge(const Piece& piece, std::size_t bend, Role role);
    unsigned zone_ways_off(std::size_t bend);
    const Foul& metal(BendSet made, std::size_t bend);
    template <class F>
    void with_motion(std::size_t bend, Role role, F f) const;
    [[nodiscard]] unsigned ways_off(const std::vector<Convex>& in_place, std::size_t bend);
    [[nodiscard]] Foul simple_rules(const Chain& behind, const Chain& front, std::size_t bend) const;
    [[nodiscard]] Pose stand(std::size_t bend, Role role, double s) const;
    [[nodiscard]] std::vector<Convex> zone(std::size_t bend) const;
    [[nodiscard]] double die_height(std::size_t bend, double s) const;

    /// The tools for one inside radius, drawn in a touch: upper, lower, leaf.
    struct Tools {
        bool fits = true;
        std::optional<Outline> nose;
        std::vector<Obstacle> upper;
        std::vector<Obstacle> lower;
        std::vector<Obstacle> leaf;
        std::vector<Obstacle> upper_mirrored;
        std::vector<Obstacle> lower_mirrored;
    };
    const Tools& tools(std::size_t bend) const { return tools_[bend]; }
    [[nodiscard]] Tools make_tools(const Bend& bend) const;

    bend_order::Brake brake_;
    bend_order::Gauge gauge_;
    double thickness_;
    double touch_;
    double finest_;
    double farthest_;
    std::vector<double> flats_;
    std::vector<Bend> bends_;
    std::vector<Tools> tools_;
    mutable std::map<std::array<std::size_t, 3>, Chain> sides_;  // bend, way, the bends beyond it
    std::map<std::array<std::size_t, 5>, Verdict> verdicts_;     // bend, way, role, piece, the bends before it
    std::map<std::pair<std::size_t, BendSet>, Foul> metal_;
    std::map<std::size_t, unsigned> zone_ways_;
};

}  // namespace foldswing::detail
