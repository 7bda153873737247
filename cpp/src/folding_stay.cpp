#include <algorithm>
#include <cmath>
#include <foldswing/folding_stay.hpp>
#include <numeric>
#include <utility>

#include "region.hpp"
#include "stay.hpp"
#include "words.hpp"

namespace foldswing::folding_stay {
namespace {

constexpr double kBarSagitta = 0.01;  // mm; how far the round ends of a bar are cut off by their chords
constexpr double kFinestRoom = 0.01;  // mm
// What a link's room may exceed the true one by goes into: straying, flattening its ends, rounding the grown corners.
constexpr double kStrayPart = 0.75;
constexpr double kFlatPart = 0.05;
constexpr double kRoundPart = 0.15;
constexpr std::size_t kMostPlaced = 20'000;
constexpr double kAtStraightRel = 1e-7;  // of a link: where links are straight the joint is off by the root of rounding
constexpr double kSameRel = 1e-12;       // of the links; a distance of the pins that is theirs within rounding

double angle_deg(Point v) { return std::atan2(v.y, v.x) / detail::kDegree; }

/// The angle at the pin between a link and the line of the pins, degrees: link lengths at, beyond; distance d.
/// tan^2 of its half, so that nearly straight links keep their digits.
double angle_at_pin(double at, double beyond, double d) {
    const double over = std::max(0.0, (at + beyond - d)) * std::max(0.0, beyond + (d - at));
    const double under = (at + beyond + d) * std::max(0.0, (at - beyond) + d);
    return 2.0 * std::atan2(std::sqrt(over), std::sqrt(under)) / detail::kDegree;
}

void require_wanted(const Wanted& w) {
    detail::require_place("fixed", w.pins.fixed);
    detail::require_place("panel", w.pins.panel);
    detail::require_place("pivot", w.pivot);
    detail::require(std::abs(w.turn_deg) <= 360.0 && w.turn_deg != 0.0, "turn_deg", w.turn_deg,
                    "within +-360 degrees and not 0");
    detail::require(w.past_centre_deg >= 0.0 && w.past_centre_deg <= kMostPastCentre, "past_centre_deg",
                    w.past_centre_deg, "from 0 to 60 degrees");
    detail::require(w.share >= kLeastShare && w.share <= 1.0 - kLeastShare, "share", w.share, "from 0.01 to 0.99");
    if (w.pins.fixed == w.pivot) throw InvalidInput("fixed", "the pivot's place", "away from the pivot");
    if (w.pins.panel == w.pivot) throw InvalidInput("panel", "the pivot's place", "away from the pivot");
}

std::string words(const FoldingStay& s) {
    const std::string lengths =
        "links " + detail::mm(s.first) + " mm on the body and " + detail::mm(s.second) + " mm on the panel";
    switch (s.status) {
        case Status::cannot_fold:
            return lengths +
                   " cannot fold: shut, the pins are nearer than the links differ. Make the links more alike.";
        case Status::cannot_reach:
            return lengths +
                   " never come straight: the pins are farthest apart before that, so the joint cannot pass "
                   "its centre. Less past centre, or pins elsewhere.";
        case Status::straight_on_the_way:
            return lengths +
                   " are pulled straight before the stop is reached: the pins are farther apart on the way. "
                   "Pins elsewhere.";
        case Status::fits:
            break;
    }
    if (s.past_centre == 0.0) return lengths + ", straight at the stop: a pull keeps them so, a push folds them.";
    return lengths + "; at the stop the joint stands " + detail::mm(s.past_centre) +
           " mm past its centre, against its lug. To get there the panel opens until the pins are " +
           detail::mm(s.longer) +
           " mm farther apart than at the stop. Past centre it holds a push; a pull draws it straight again.";
}

/// The bar where it is at the middle of ever shorter pieces of the motion, grown by how far it strays from there.
void place(const Outline& bar, const LinkMotion& motion, double from, double to, double sagitta,
           std::vector<Ring>& placed) {
    std::vector<std::pair<double, double>> todo{{from, to}};
    while (!todo.empty()) {
        const auto [s0, s1] = todo.back();
        todo.pop_back();
        const double stray = motion.stray(bar.corners(), s0, s1);
        const double middle = std::midpoint(s0, s1);
        if (stray > kStrayPart * sagitta && s0 < middle && middle < s1) {
            todo.emplace_back(middle, s1);
            todo.emplace_back(s0, middle);
            continue;
        }
        if (placed.size() >= kMostPlaced)
            throw InvalidInput("sagitta", sagitta, "coarser: so much travel needs more than 20000 places of a link");
        Pose pose;
        motion.poses({&middle, 1}, {&pose, 1});
        for (const Outline& o :
             offset(bar.moved(pose), stray + kFlatPart * sagitta, {Corners::round, kRoundPart * sagitta, 4.0}))
            placed.push_back(o.corners());
    }
}

}  // namespace

const char* word(Status status) noexcept {
    switch (status) {
        case Status::fits:
            return "fits";
        case Status::cannot_fold:
            return "cannot fold";
        case Status::cannot_reach:
            return "cannot reach";
        case Status::straight_on_the_way:
            break;
    }
    return "straight on the way";
}

FoldingStay folding_stay(const Wanted& w) {
    require_wanted(w);
    const detail::Spread spread(w.pins, w.pivot);
    const double way = w.turn_deg < 0.0 ? -1.0 : 1.0;
    const double at_stop = spread.distance(w.turn_deg);
    if (!(at_stop > 0.0)) throw InvalidInput("panel", "the place of the pin in the body", "away from it at the stop");
    const double half_sine = detail::sin_deg(0.5 * w.past_centre_deg);
    const double lost = 4.0 * w.share * (1.0 - w.share) * half_sine * half_sine;
    const double whole = at_stop / std::sqrt(1.0 - lost);
    FoldingStay out;
    out.first = w.share * whole;
    out.second = whole - out.first;
    out.longer = whole * lost / (1.0 + std::sqrt(1.0 - lost));  // whole - at_stop without a difference
    out.past_centre = out.first * out.second * detail::sin_deg(w.past_centre_deg) / at_stop;
    // Left is +1; past its centre the joint lies on the other side.
    const double side = w.left ? 1.0 : -1.0;
    const Point stop_pin = Pose::about(w.pivot, w.turn_deg).apply(w.pins.panel);
    const double bent = angle_at_pin(out.first, out.second, at_stop);
    const double along = angle_deg(stop_pin - w.pins.fixed) - side * bent;
    const auto reach = detail::sin_cos_deg(along);
    out.joint_stop = w.pins.fixed + out.first * Point{reach.cos, reach.sin};
    const double shut = spread.distance(0.0);
    if (shut < std::abs(out.first - out.second)) {
        out.status = Status::cannot_fold;
    } else {
        const double at_shut =
            angle_deg(w.pins.panel - w.pins.fixed) + side * angle_at_pin(out.first, out.second, shut);
        const auto folded = detail::sin_cos_deg(at_shut);
        out.joint_shut = w.pins.fixed + out.first * Point{folded.cos, folded.sin};
        out.folded_deg = 180.0 - angle_at_pin(out.first, out.second, shut) - angle_at_pin(out.second, out.first, shut);
        const double early = detail::taut_at_stop(spread, w.turn_deg, whole * (1.0 + kSameRel));
        if (!spread.parting(w.turn_deg, way) || whole > spread.most())
            out.status = Status::cannot_reach;
        else if (early != w.turn_deg)
            out.status = Status::straight_on_the_way;
        else
            out.straight_deg =
                out.longer > 0.0 ? w.turn_deg + spread.opened_by(w.turn_deg, way, out.longer) : w.turn_deg;
    }
    out.explanation = words(out);
    return out;
}

double lug_moment(const FoldingStay& stay, double push) {
    detail::require_not_negative("push", push);
    return 1e-3 * push * stay.past_centre;
}

Wanted seen_from_panel(const Wanted& w) {
    Wanted out = w;
    out.pins = {w.pins.panel, w.pins.fixed};
    out.turn_deg = -w.turn_deg;
    out.share = 1.0 - w.share;
    out.left = !w.left;  // the way from pin to pin runs backwards
    return out;
}

LinkMotion::LinkMotion(const Wanted& w, Link link) : link_(link), fixed_(w.pins.fixed), pivot_(w.pivot) {
    const FoldingStay made = folding_stay(w);
    if (made.status != Status::fits) throw InvalidInput("wanted", made.explanation, "a folding stay that fits");
    first_ = made.first;
    second_ = made.second;
    panel_ = detail::span(w.pins.panel, w.pivot);
    body_ = detail::span(w.pins.fixed, w.pivot);
    body_at_deg_ = angle_deg(w.pins.fixed - w.pivot);
    panel_at_deg_ = angle_deg(w.pins.panel - w.pivot);
    side_ = w.left ? 1.0 : -1.0;
    straight_deg_ = made.straight_deg;
    stop_deg_ = w.turn_deg;
    const double there = std::abs(straight_deg_);
    straight_s_ = there / (there + std::abs(straight_deg_ - stop_deg_));
    // The body's link turns back where the joint lies on the line through the pivot and the panel's pin: it is then
    // panel + second, or their difference, away from the pivot.
    for (const double far : {panel_ + second_, std::abs(panel_ - second_)}) {
        const double cosine = (far * far - body_ * body_ - first_ * first_) / (2.0 * body_ * first_);
        if (!(std::abs(cosine) <= 1.0) || far == 0.0) continue;
        for (const double way : {1.0, -1.0}) {
            const auto turned = detail::sin_cos_deg(body_at_deg_ + way * std::acos(cosine) / detail::kDegree);
            const Point joint = fixed_ + first_ * Point{turned.cos, turned.sin};
            const double to_pin = far == panel_ + second_ || panel_ >= second_ ? 0.0 : 180.0;
            const double turn = angle_deg(joint - pivot_) + to_pin - panel_at_deg_;
            for (int k = -3; k <= 3; ++k) {
                const double at = turn + 360.0 * k;
                const double on = at / straight_deg_;
                if (on > 0.0 && on < 1.0) breaks_.push_back(on * straight_s_);
                const double back =
                    straight_deg_ == stop_deg_ ? -1.0 : (straight_deg_ - at) / (straight_deg_ - stop_deg_);
                if (back > 0.0 && back < 1.0) breaks_.push_back(straight_s_ + back * (1.0 - straight_s_));
            }
        }
    }
    if (straight_s_ < 1.0) breaks_.push_back(straight_s_);
    std::sort(breaks_.begin(), breaks_.end());
    breaks_.erase(std::unique(breaks_.begin(), breaks_.end()), breaks_.end());
    std::erase_if(breaks_, [](double s) { return !(s > 0.0 && s < 1.0); });
}

double LinkMotion::turn_at(double s) const noexcept {
    return s <= straight_s_ ? straight_deg_ * (s / straight_s_)
                            : std::lerp(straight_deg_, stop_deg_, (s - straight_s_) / (1.0 - straight_s_));
}

LinkMotion::Shape LinkMotion::shape(double turn_deg, double side) const noexcept {
    Shape out;
    const auto spoke = detail::sin_cos_deg(panel_at_deg_ + turn_deg);
    const auto mount = detail::sin_cos_deg(body_at_deg_);
    out.pin = pivot_ + panel_ * Point{spoke.cos, spoke.sin};
    const Point along = panel_ * Point{spoke.cos, spoke.sin} - body_ * Point{mount.cos, mount.sin};
    const double d = detail::norm(along);
    // Direction from pin to pin, counted on through whole turns: never over 90 degrees from the longer of the two
    // spokes it is made of.
    const Point from = panel_ > body_ ? Point{spoke.cos, spoke.sin} : -1.0 * Point{mount.cos, mount.sin};
    const double base = panel_ > body_ ? panel_at_deg_ + turn_deg : body_at_deg_ + 180.0;
    const double line = base + std::atan2(detail::cross(from, along), detail::dot(from, along)) / detail::kDegree;
    out.first_deg = line + side * angle_at_pin(first_, second_, d);
    out.second_deg = line - side * angle_at_pin(second_, first_, d);
    const auto reach = detail::sin_cos_deg(out.first_deg);
    out.joint = fixed_ + first_ * Point{reach.cos, reach.sin};
    return out;
}

void LinkMotion::poses(std::span<const double> s, std::span<Pose> out) const {
    for (std::size_t i = 0; i < s.size(); ++i) {
        const Shape at = shape(turn_at(s[i]), side(s[i]));
        // Link coordinates run from the joint to the link's pin.
        out[i] = {at.joint.x, at.joint.y, link_ == Link::body ? at.first_deg + 180.0 : at.second_deg};
    }
}

double LinkMotion::stray(std::span<const Point> corners, double s0, double s1) const {
    const double middle = std::midpoint(s0, s1);
    const double which = side(middle);  // the ends of a piece belong to both sides: there the links are straight
    const Shape at = shape(turn_at(middle), which);
    const auto chord = [](double radius, double turn_deg) {
        return 2.0 * radius * detail::sin_deg(0.5 * std::min(std::abs(turn_deg), 180.0));
    };
    double joint = 0.0;
    for (const double end : {s0, s1})
        joint = std::max(joint, chord(first_, shape(turn_at(end), which).first_deg - at.first_deg));
    joint += kAtStraightRel * first_;
    // The end of the link that is not the joint: the body's pin rests, the panel's turns about the pivot.
    const double pin = link_ == Link::body ? 0.0 : chord(panel_, turn_at(s1) - turn_at(middle));
    double out = 0.0;
    for (const Point q : corners) {
        const double from_pin = std::hypot(1.0 - q.x / length(), q.y / length());
        const double from_joint = std::hypot(q.x / length(), q.y / length());
        out = std::max(out, from_pin * joint + from_joint * pin);
    }
    return out;
}

Path link_bar(double length, double width) {
    detail::require_positive("length", length);
    detail::require_positive("width", width);
    const double half = 0.5 * width;
    return {{{0.0, -half}, {length, -half}, {length, half}, {0.0, half}}, {0.0, 180.0, 0.0, 180.0}, true};
}

std::array<clearance::Gap, 2> links_gap(const Wanted& wanted, double width, std::span<const Outline> fixed,
                                        double tolerance) {
    std::array<clearance::Gap, 2> out;
    for (const auto link : {LinkMotion::Link::body, LinkMotion::Link::panel}) {
        const LinkMotion motion(wanted, link);
        const std::array<Outline, 1> bar{link_bar(motion.length(), width).outline(kBarSagitta)};
        out[static_cast<std::size_t>(link)] = clearance::minimum_gap(bar, fixed, motion, tolerance);
    }
    return out;
}

std::vector<Outline> links_room(const Wanted& wanted, double width, double sagitta) {
    detail::require(std::isfinite(sagitta) && sagitta >= kFinestRoom, "sagitta", sagitta, "finite and >= 0.01 mm");
    std::vector<Ring> shown;
    for (const auto link : {LinkMotion::Link::body, LinkMotion::Link::panel}) {
        const LinkMotion motion(wanted, link);
        const Outline bar = link_bar(motion.length(), width).outline(kFlatPart * sagitta);
        std::vector<double> cuts = motion.breaks();
        cuts.insert(cuts.begin(), 0.0);
        cuts.push_back(1.0);
        std::vector<Ring> placed;
        for (std::size_t i = 0; i + 1 < cuts.size(); ++i) place(bar, motion, cuts[i], cuts[i + 1], sagitta, placed);
        for (const Outline& o : detail::region_of_neighbours(std::move(placed))) detail::add_rings(o, shown);
    }
    return detail::region(shown);
}

}  // namespace foldswing::folding_stay
