#include "bend_order_section.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "degrees.hpp"

namespace foldswing::detail {
namespace {

using bend_order::End;
using bend_order::Face;
using bend_order::Gauge;
using bend_order::Kind;
using bend_order::Step;

constexpr double kShortest = 1e-9;  // mm; a flat shorter than this is no flat: far below the sheet, far above rounding

Point mirrored(Point p) noexcept { return {-p.x, p.y}; }
Convex mirrored(Convex c) {
    for (Point& p : c.corners) p = mirrored(p);
    c.centre = mirrored(c.centre);
    return c;
}
Convex placed(const Convex& c, const Pose& pose) {
    Convex out = c;
    for (Point& p : out.corners) p = pose.apply(p);
    out.centre = pose.apply(out.centre);
    return out;
}
Convex moved(Convex c, Point by) {
    for (Point& p : c.corners) p = p + by;
    c.centre = c.centre + by;
    return c;
}

/// Part of a ring as convex pieces: the inner arc by chords, the outer by tangents, so that no metal is left out; by at
/// most `excess` more than there is.
void sectors(Point centre, double inner, double outer, double from_deg, double sweep_deg, double excess,
             std::vector<Convex>& out) {
    if (!(outer > inner) || sweep_deg == 0.0) return;
    const double widest = 2.0 * std::acos(1.0 / (1.0 + excess / outer)) / kDegree;
    const int n = std::max(1, static_cast<int>(std::ceil(std::fabs(sweep_deg) / std::fmax(widest, 1.0))));
    const double step = sweep_deg / n;
    const double reach = outer / cos_deg(0.5 * step);
    const auto at = [&](double r, double deg) {
        const auto [s, c] = sin_cos_deg(deg);
        return centre + r * Point{c, s};
    };
    for (int i = 0; i < n; ++i) {
        const double a = from_deg + i * step;
        const double b = from_deg + (i + 1) * step;
        std::vector<Point> corners{at(inner, a), at(outer, a), at(reach, 0.5 * (a + b)), at(outer, b)};
        if (inner > 0.0) corners.push_back(at(inner, b));
        out.push_back(convex(std::move(corners)));
    }
}

std::vector<Obstacle> drawn_in(const Outline& outline, double by, const Pose& at = {}) {
    std::vector<Obstacle> out;
    for (const Outline& part : offset(outline, -by)) out.push_back(obstacle(part.moved(at).corners()));
    return out;
}
std::vector<Obstacle> mirrored(const std::vector<Obstacle>& all) {
    std::vector<Obstacle> out;
    for (const Obstacle& o : all) {
        Ring ring(o.ring.rbegin(), o.ring.rend());
        for (Point& p : ring) p = mirrored(p);
        out.push_back(obstacle(std::move(ring)));
    }
    return out;
}
Obstacle shifted(const Obstacle& o, Point by) {
    Ring ring = o.ring;
    for (Point& p : ring) p = p + by;
    return obstacle(std::move(ring));
}

bool touches(const std::vector<Convex>& metal, const std::vector<Obstacle>& tools, double finest) {
    return std::ranges::any_of(metal, [&](const Convex& m) {
        return std::ranges::any_of(tools, [&](const Obstacle& o) { return lie(m, o, finest) != Lie::apart; });
    });
}

/// Whether a piece meets obstacles on a straight way.
bool meets_on_way(const Convex& m, Point from, Point to, const std::vector<Obstacle>& obstacles, double finest) {
    const double reach = m.radius + finest;
    const Point low{m.centre.x + std::min(from.x, to.x) - reach, m.centre.y + std::min(from.y, to.y) - reach};
    const Point high{m.centre.x + std::max(from.x, to.x) + reach, m.centre.y + std::max(from.y, to.y) + reach};
    std::optional<Convex> hull;
    return std::ranges::any_of(obstacles, [&](const Obstacle& o) {
        if (o.high.x < low.x || high.x < o.low.x || o.high.y < low.y || high.y < o.low.y) return false;
        if (!hull) hull = shifted_hull(m, from, to);
        return lie(*hull, o, finest) != Lie::apart;
    });
}

// The ways off: the upper tool lifts by a part of its opening, then the metal by a part of that, then straight out.
constexpr std::array<double, 5> kLifts{1.0, 0.5, 0.2, 0.05, 0.0};  // 0: only let go
constexpr std::array<double, 4> kRaises{0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0};
constexpr unsigned kAllWays = (1U << (kLifts.size() * kRaises.size())) - 1U;

}  // namespace

SectionBender::SectionBender(const blank::Profile& section, bend_order::Brake brake, Gauge gauge)
    : brake_(std::move(brake)),
      gauge_(gauge),
      thickness_(section.thickness()),
      touch_(std::fmin(bend_order::kTouch, 0.1 * section.thickness())),
      finest_(std::fmin(bend_order::kFinest, 0.2 * touch_)),
      farthest_(4.0 * section.developed_length()) {
    for (const auto& flat : section.flats()) flats_.push_back(flat.length);
    for (const auto& line : section.bend_lines())
        bends_.push_back({line.angle_deg, line.radius, line.allowance, line.direction == blank::Direction::up});
    for (const Bend& bend : bends_) tools_.push_back(make_tools(bend));
    const auto widen = [&](const Outline& o) {
        for (const Point p : o.corners()) farthest_ += std::fabs(p.x) + std::fabs(p.y);
    };
    widen(brake_.upper);
    widen(brake_.lower);
    if (brake_.leaf) widen(*brake_.leaf);
}

/// The nose's tip rounded to the bend's inside radius, its foremost point at x = 0, its underside on the sheet.
SectionBender::Tools SectionBender::make_tools(const Bend& bend) const {
    Tools out;
    if (brake_.kind == Kind::press) {
        out.upper = drawn_in(brake_.upper, touch_);
        out.lower = drawn_in(brake_.lower, touch_);
        out.upper_mirrored = mirrored(out.upper);
        out.lower_mirrored = mirrored(out.lower);
        out.nose = brake_.upper;
        return out;
    }
    const Ring& corners = brake_.upper.corners();
    std::vector<double> radii(corners.size(), 0.0);
    const auto tip = static_cast<std::size_t>(std::ranges::find(corners, Point{0.0, 0.0}) - corners.begin());
    const Point before = corners[(tip + corners.size() - 1) % corners.size()];
    const Point after = corners[(tip + 1) % corners.size()];
    const double wedge_deg = std::fabs(std::atan2(cross(after, before), dot(after, before))) / kDegree;
    Outline nose = brake_.upper;
    double forward = 0.0;
    if (bend.radius > 0.0) {
        radii[tip] = bend.radius;
        try {
            nose = round_corners(brake_.upper, radii).outline(0.1 * touch_);
        } catch (const InvalidInput&) {  // its faces are too short for so large a radius
            out.fits = false;
            return out;
        }
        forward = bend.radius * (1.0 / tan_half_deg(wedge_deg) - 1.0);
    }
    out.nose = nose.moved({forward, thickness_, 0.0});
    out.upper = drawn_in(*out.nose, touch_);
    out.lower = drawn_in(brake_.lower, touch_);
    out.leaf = drawn_in(*brake_.leaf, touch_);
    return out;
}

std::size_t SectionBender::outward(std::size_t bend, int way) const noexcept {
    return way < 0 ? bend : bends_.size() - 1 - bend;
}

/// The metal going outward from a bend: way -1 to the start, +1 to the end.
SectionBender::Chain SectionBender::chain(BendSet made, std::size_t bend, int way, bool up_is_up) const {
    Chain out;
    Point at{0.0, 0.0};
    double heading = 0.0;
    bool straight = true;
    const auto direction = [&] {
        const auto [s, c] = sin_cos_deg(heading);
        return Point{c, s};
    };
    const auto mark = [&] {
        out.lower.push_back(at);
        out.upper.push_back(at + thickness_ * square_to(direction()));
    };
    const auto go = [&](double length, std::size_t part) {
        Piece piece;
        piece.part = part;
        const Point d = direction();
        const Point n = square_to(d);
        const auto bar = [&](double ends, double faces) {
            const Point a = at + ends * d;
            const Point b = at + (length - ends) * d;
            return convex({a + faces * n, b + faces * n, b + (thickness_ - faces) * n, a + (thickness_ - faces) * n});
        };
        if (length > kShortest) piece.full.push_back(bar(0.0, 0.0));
        if (length > 2.0 * touch_ + kShortest) piece.drawn_in.push_back(bar(touch_, touch_));
        at = at + length * d;
        if (straight) out.straight += length;
        out.pieces.push_back(std::move(piece));
        mark();
    };
    mark();
    std::size_t flat = way < 0 ? bend : bend + 1;
    std::size_t next = bend;
    go(flats_[flat], 2 * flat);
    while (way < 0 ? flat > 0 : flat < bends_.size()) {
        next = way < 0 ? flat - 1 : flat;
        flat = way < 0 ? flat - 1 : flat + 1;
        const Bend& b = bends_[next];
        if ((made >> next & 1U) == 0U) {
            go(b.allowance, 2 * next + 1);
        } else {
            straight = false;
            const double up = b.up == up_is_up ? 1.0 : -1.0;
            const double low = up > 0.0 ? b.radius + thickness_ : -b.radius;  // centre above the lower face
            const Point centre = at + low * square_to(direction());
            const double from = heading - up * 90.0;
            Piece piece;
            piece.part = 2 * next + 1;
            const double excess = 0.5 * touch_;
            sectors(centre, b.radius, b.radius + thickness_, from, up * b.angle_deg, excess, piece.full);
            sectors(centre, b.radius + touch_, b.radius + thickness_ - touch_, from, up * b.angle_deg, excess,
                    piece.drawn_in);
            out.pieces.push_back(std::move(piece));
            constexpr int kDrawn = 8;  // chords of a bend in a picture
            const double before = heading;
            for (int i = 1; i <= kDrawn; ++i) {
                heading = before + up * b.angle_deg * i / kDrawn;
                at = centre - low * square_to(direction());
                mark();
            }
        }
        go(flats_[flat], 2 * flat);
    }
    return out;
}

BendSet SectionBender::beyond(BendSet made, std::size_t bend, int way, std::size_t count) noexcept {
    BendSet out = 0;
    for (std::size_t d = 0; d < count; ++d) out |= (made >> (way < 0 ? bend - 1 - d : bend + 1 + d) & 1U) << d;
    return out;
}

const SectionBender::Chain& SectionBender::side(BendSet made, std::size_t bend, int way) const {
    const std::array<std::size_t, 3> key{bend, way < 0 ? 0U : 1U, beyond(made, bend, way, outward(bend, way))};
    const auto found = sides_.find(key);
    if (found != sides_.end()) return found->second;
    return sides_.emplace(key, chain(made, bend, way, bends_[bend].up)).first->second;
}

double SectionBender::die_height(std::size_t bend, double s) const {
    const Bend& b = bends_[bend];
    const auto [sin, cos] = sin_cos_deg(0.5 * s * b.angle_deg);
    const double half = 0.5 * brake_.v_opening;
    return b.radius + (half * sin - (b.radius + thickness_)) / cos;
}

/// Where a side stands at fraction s of the turn, seen the right way round (behind: mirrored).
Pose SectionBender::stand(std::size_t bend, Role role, double s) const {
    const Bend& b = bends_[bend];
    const bool leaf = brake_.kind == Kind::leaf;
    const double outer = b.radius + thickness_;
    if (leaf && role == Role::behind) return {b.radius, 0.0, 0.0};
    const double turned = s * b.angle_deg * (leaf ? 1.0 : 0.5);
    const double rest = (1.0 - s) * b.allowance * (leaf ? 1.0 : 0.5);
    const Point centre = leaf ? Point{-b.radius, outer} : Point{0.0, b.radius};
    const auto [sin, cos] = sin_cos_deg(turned);
    return {centre.x + outer * sin + rest * cos, centre.y - outer * cos + rest * sin, turned};
}

/// Calls f with the motion of one side against the tools that stand, in its own sight, and with that side's turn.
template <class F>
void SectionBender::with_motion(std::size_t bend, Role role, F f) const {
    const Bend& b = bends_[bend];
    const double part = brake_.kind == Kind::leaf ? 1.0 : 0.5;
    const double turn = part * b.angle_deg * kDegree;
    const double outer = b.radius + thickness_;
    // The end of the metal bent so far moves on at the outer radius and gives up straight metal as it goes.
    const double pace = std::fabs(outer * turn - part * b.allowance) + part * b.allowance * turn;
    const auto origin = [this, bend, role](double s) {
        const Pose p = stand(bend, role, s);
        return Point{p.x, p.y};
    };
    f(Carry{turn, pace, origin});
}

std::vector<Convex> SectionBender::zone(std::size_t bend) const {
    const Bend& b = bends_[bend];
    std::vector<Convex> out;
    const bool leaf = brake_.kind == Kind::leaf;
    const Point centre = leaf ? Point{-b.radius, b.radius + thickness_} : Point{0.0, b.radius};
    const double from = leaf ? -90.0 : -90.0 - 0.5 * b.angle_deg;
    sectors(centre, b.radius, b.radius + thickness_, from, b.angle_deg, 0.5 * touch_, out);
    return out;
}

/// The ways by which metal that stands so at the end of a bend can leave the brake.
unsigned SectionBender::ways_off(const std::vector<Convex>& in_place, std::size_t bend) {
    const Tools& t = tools(bend);
    const bool leaf = brake_.kind == Kind::leaf;
    const double die = leaf ? 0.0 : die_height(bend, 1.0);
    unsigned out = 0;
    unsigned way = 0;
    for (const double lift : kLifts)
        for (const double raise : kRaises) {
            const double lifted = lift * brake_.opens;
            const double raised = raise * lifted;
            const bool free = std::ranges::all_of(in_place, [&](const Convex& m) {
                const auto meets = [&](double y0, double x1, double y1, const std::vector<Obstacle>& tool) {
                    return meets_on_way(m, {0.0, y0}, {x1, y1}, tool, finest_);
                };
                return !meets(0.0, 0.0, -lifted, t.upper) &&
                       !meets(raised - lifted, farthest_, raised - lifted, t.upper) &&
                       !meets(-die, 0.0, raised - die, t.lower) &&
                       !meets(raised - die, farthest_, raised - die, t.lower) && !meets(0.0, 0.0, raised, t.leaf) &&
                       !meets(raised, farthest_, raised, t.leaf);
            });
            if (free) out |= 1U << way;
            ++way;
        }
    return out;
}

unsigned SectionBender::zone_ways_off(std::size_t bend) {
    const auto found = zone_ways_.find(bend);
    if (found != zone_ways_.end()) return found->second;
    return zone_ways_[bend] = ways_off(zone(bend), bend);
}

SectionBender::Verdict SectionBender::judge(const Piece& piece, std::size_t bend, Role role) {
    const Bend& b = bends_[bend];
    const Tools& t = tools(bend);
    const bool leaf = brake_.kind == Kind::leaf;
    Convex scratch;
    Verdict out;
    const auto foul = [&](Hindrance what, double s) {
        out.foul.what = what;
        out.foul.part = piece.part;
        out.foul.angle_deg = s * b.angle_deg;
        return out;
    };
    const auto first_meeting = [&](const auto& carry, const std::vector<Obstacle>& obstacles, Point shift = {}) {
        double first = std::nan("");
        for (const Convex& m : piece.full)
            for (const Obstacle& o : obstacles) {
                const double s = meets(shift == Point{} ? m : moved(m, shift), o, carry, 0.0, 1.0, finest_, scratch);
                if (!std::isnan(s)) first = std::fmin(s, first);
            }
        return first;
    };
    std::vector<Convex> in_place;
    const Pose end = stand(bend, role, 1.0);
    for (const Convex& m : piece.full)
        in_place.push_back(role == Role::behind ? mirrored(placed(m, end)) : placed(m, end));
    if (leaf && role == Role::behind) {
        if (touches(in_place, t.upper, finest_)) return foul(Hindrance::upper, 0.0);
        if (touches(in_place, t.lower, finest_)) return foul(Hindrance::lower, 0.0);
        // The leaf seen from the metal: everything turns back about the centre of the bend.
        const Point centre{-b.radius, b.radius + thickness_};
        std::vector<Obstacle> about;
        for (const Obstacle& o : t.leaf) about.push_back(shifted(o, {-centre.x, -centre.y}));
        const Carry back{-b.angle_deg * kDegree, 0.0, [](double) { return Point{0.0, 0.0}; }};
        double s = std::nan("");
        for (const Convex& m : in_place)
            for (const Obstacle& o : about)
                s = std::fmin(meets(moved(m, {-centre.x, -centre.y}), o, back, 0.0, 1.0, finest_, scratch), s);
        if (!std::isnan(s)) return foul(Hindrance::leaf, s);
    } else {
        double s = std::nan("");
        const bool behind = role == Role::behind;
        with_motion(bend, role,
                    [&](const auto& carry) { s = first_meeting(carry, behind ? t.upper_mirrored : t.upper); });
        if (!std::isnan(s)) return foul(Hindrance::upper, s);
        if (leaf) {
            with_motion(bend, role, [&](const auto& carry) { s = first_meeting(carry, t.lower); });
            if (!std::isnan(s)) return foul(Hindrance::lower, s);
            const Carry along{0.0, b.allowance, [&](double at) {
                                  return Point{-b.radius + (1.0 - at) * b.allowance, 0.0};
                              }};
            s = first_meeting(along, t.leaf);
            if (!std::isnan(s)) return foul(Hindrance::leaf, s);
        } else {
            with_motion(bend, role, [&](const auto& carry) {
                const auto origin = [&](double at) { return carry.origin(at) - Point{0.0, die_height(bend, at)}; };
                const double cos = cos_deg(0.5 * b.angle_deg);
                const double rise = 0.5 * brake_.v_opening * std::fabs(carry.turn) / (cos * cos);
                s = first_meeting(Carry{carry.turn, carry.pace + rise, origin}, behind ? t.lower_mirrored : t.lower);
            });
            if (!std::isnan(s)) return foul(Hindrance::lower, s);
        }
    }
    out.ways_off = brake_.open_ended ? kAllWays : ways_off(in_place, bend);
    return out;
}

const SectionBender::Verdict& SectionBender::verdict(BendSet made, std::size_t bend, int way, Role role,
                                                     std::size_t piece) {
    // What matters to a piece: the bends between it and the one being made, a zone's own included.
    const std::array<std::size_t, 5> key{bend, way < 0 ? 0U : 1U, static_cast<std::size_t>(role), piece,
                                         beyond(made, bend, way, (piece + 1) / 2)};
    const auto found = verdicts_.find(key);
    if (found != verdicts_.end()) return found->second;
    return verdicts_.emplace(key, judge(side(made, bend, way).pieces[piece], bend, role)).first->second;
}

/// Metal against metal during the turn: one side seen from the other, which is drawn in a touch.
const Foul& SectionBender::metal(BendSet made, std::size_t bend) {
    const std::pair key{bend, made};
    const auto found = metal_.find(key);
    if (found != metal_.end()) return found->second;
    const Bend& b = bends_[bend];
    const Chain& still = side(made, bend, -1);
    const Chain& moving = side(made, bend, +1);
    const auto origin = [&](double s) {
        const Pose behind = stand(bend, Role::behind, s);
        const Pose front = stand(bend, Role::front, s);
        // Both in the picture; then seen from the side behind, the right way round.
        return behind.inverse().apply(mirrored(Point{front.x, front.y}));
    };
    const double outer = b.radius + thickness_;
    const double turn = b.angle_deg * kDegree;
    const double pace = std::fabs(outer * turn - b.allowance) + (b.allowance + 2.0 * outer) * turn;
    const Carry carry{-turn, pace, origin};
    Convex scratch;
    Foul out;
    std::vector<std::vector<Obstacle>> there;
    for (const Piece& p : still.pieces) {
        auto& each = there.emplace_back();
        for (const Convex& c : p.drawn_in) each.push_back(obstacle(c.corners));
    }
    // A piece keeps its distance from a place that strays by half the pace: most pairs never come near each other.
    const Point middle = origin(0.5);
    const auto never_near = [&](const Convex& m, const Convex& c) {
        const double off = span(c.centre, middle);
        const double loose = m.radius + c.radius + 0.5 * pace + finest_;
        return std::fabs(off - norm(m.centre)) > loose;
    };
    for (std::size_t j = 0; j < moving.pieces.size() && !out; ++j)
        for (const Convex& m : moving.pieces[j].full) {
            const Convex seen = mirrored(m);
            for (std::size_t i = 0; i < there.size() && !out; ++i) {
                if (i == 0 && j == 0) continue;  // the two legs of this bend meet only where they are joined
                for (std::size_t k = 0; k < there[i].size(); ++k) {
                    if (never_near(seen, still.pieces[i].drawn_in[k])) continue;
                    const Obstacle& o = there[i][k];
                    const double s = meets(seen, o, carry, 0.0, 1.0, finest_, scratch);
                    if (std::isnan(s)) continue;
                    out.what = Hindrance::metal;
                    out.part = moving.pieces[j].part;
                    out.other = still.pieces[i].part;
                    out.angle_deg = s * b.angle_deg;
                    break;
                }
            }
            if (out) break;
        }
    return metal_.emplace(key, out).first->second;
}

Foul SectionBender::simple_rules(const Chain& behind, const Chain& front, std::size_t bend) const {
    const Bend& b = bends_[bend];
    Foul out;
    const auto refuse = [&](Hindrance what, double number, double wanted) {
        out.what = what;
        out.number = number;
        out.wanted = wanted;
        return out;
    };
    if (b.angle_deg > brake_.greatest_angle_deg)
        return refuse(Hindrance::angle, b.angle_deg, brake_.greatest_angle_deg);
    if (!tools(bend).fits) return refuse(Hindrance::radius, b.radius, 0.0);
    if (brake_.kind == Kind::leaf) {
        if (behind.straight < brake_.least_hold) return refuse(Hindrance::hold, behind.straight, brake_.least_hold);
        if (front.straight < brake_.least_flange) return refuse(Hindrance::flange, front.straight, brake_.least_flange);
    } else {
        // Straight metal that lies on a shoulder: (w - R sin p)/cos p on the outer face from the end of the bend so
        // far, of which the bend still to form gives a part. Greatest at an end of the turn or where its slope is 0.
        const double half = 0.5 * brake_.v_opening;
        const double outer = b.radius + thickness_;
        const double most = 0.5 * b.angle_deg;
        if (half <= outer * sin_deg(most)) return refuse(Hindrance::radius, b.radius, 2.0 * outer * sin_deg(most));
        const double neutral = b.angle_deg > 0.0 ? b.allowance / (b.angle_deg * kDegree) : 0.0;
        const auto asks = [&](double p) {
            const auto [s, c] = sin_cos_deg(p);
            return (half - outer * s) / c - neutral * (most - p) * kDegree;
        };
        double wanted = std::fmax(asks(0.0), asks(most));
        const double root = half * half - 4.0 * neutral * (outer - neutral);
        if (neutral > 0.0 && root >= 0.0)
            for (const double sign : {-1.0, 1.0}) {
                const double sine = (half + sign * std::sqrt(root)) / (2.0 * neutral);
                if (sine > 0.0 && sine < sin_deg(most)) wanted = std::fmax(wanted, asks(std::asin(sine) / kDegree));
            }
        if (behind.straight < wanted) return refuse(Hindrance::hold, behind.straight, wanted);
        if (front.straight < wanted) return refuse(Hindrance::flange, front.straight, wanted);
    }
    return out;
}

Foul SectionBender::attempt(BendSet made, std::size_t bend, End at_gauge) {
    const int back = at_gauge == End::start ? -1 : 1;
    const Chain& behind = side(made, bend, back);
    const Chain& front = side(made, bend, -back);
    Foul out = simple_rules(behind, front, bend);
    if (out) return out;
    const double stop = stop_distance(gauge_ == Gauge::behind ? behind : front, bend,
                                      gauge_ == Gauge::behind ? Role::behind : Role::front);
    if (stop < brake_.gauge_from || stop > brake_.gauge_to) {
        out.what = Hindrance::gauge;
        out.number = stop;
        return out;
    }
    unsigned ways = brake_.open_ended ? kAllWays : zone_ways_off(bend);
    for (const Role role : {Role::behind, Role::front}) {
        const int way = role == Role::behind ? back : -back;
        const std::size_t pieces = 2 * outward(bend, way) + 1;
        for (std::size_t p = 0; p < pieces; ++p) {
            const Verdict& v = verdict(made, bend, way, role, p);
            if (v.foul) return v.foul;
            ways &= v.ways_off;
        }
    }
    if (const Foul& m = metal(made, bend)) return m;
    if (ways == 0U && !brake_.open_ended) out.what = Hindrance::trapped;
    return out;
}

/// From the line set under the tool to the outermost metal of a side, where the stop touches it before the bend.
double SectionBender::stop_distance(const Chain& chain, std::size_t bend, Role role) const {
    double reach = 0.0;
    for (const auto* face : {&chain.lower, &chain.upper})
        for (const Point p : *face) reach = std::fmax(reach, p.x);
    return reach + stand(bend, role, 0.0).x;
}

Step SectionBender::picture(BendSet made, std::size_t bend, End at_gauge) const {
    const Bend& b = bends_[bend];
    const bool leaf = brake_.kind == Kind::leaf;
    const int back = at_gauge == End::start ? -1 : 1;
    const Chain& behind = side(made, bend, back);
    const Chain& front = side(made, bend, -back);
    Step out;
    out.bend = bend;
    out.angle_deg = b.angle_deg;
    out.at_gauge = at_gauge;
    out.face = b.up ? Face::up : Face::down;
    const auto ring = [&](double s) {
        const Pose there = stand(bend, Role::behind, s);
        const Pose here = stand(bend, Role::front, s);
        const auto to_behind = [&](Point p) { return mirrored(there.apply(p)); };
        Ring points;
        const auto add = [&](Point p) {
            if (points.empty() || p != points.back()) points.push_back(p);
        };
        for (std::size_t i = behind.lower.size(); i-- > 0;) add(to_behind(behind.lower[i]));
        constexpr int kDrawn = 8;
        const Point centre = leaf ? Point{-b.radius, b.radius + thickness_} : Point{0.0, b.radius};
        const double from = leaf ? -90.0 : -90.0 - 0.5 * s * b.angle_deg;
        const auto arc = [&](double radius, int i) {
            const auto [sin, cos] = sin_cos_deg(from + s * b.angle_deg * i / kDrawn);
            add(centre + radius * Point{cos, sin});
        };
        for (int i = 0; i <= kDrawn; ++i) arc(b.radius + thickness_, i);
        for (const Point p : front.lower) add(here.apply(p));
        for (std::size_t i = front.upper.size(); i-- > 0;) add(here.apply(front.upper[i]));
        for (int i = kDrawn; i >= 0; --i) arc(b.radius, i);
        for (const Point p : behind.upper) add(to_behind(p));
        return points;
    };
    out.before = ring(0.0);
    out.after = ring(1.0);
    const bool stop_behind = gauge_ == Gauge::behind;
    const double reach = stop_distance(stop_behind ? behind : front, bend, stop_behind ? Role::behind : Role::front);
    out.gauge = reach;
    out.gauge_tangent = leaf ? reach + (stop_behind ? -b.radius : b.radius - b.allowance) : reach - 0.5 * b.allowance;
    const Tools& t = tools(bend);
    const auto stands = [&](double s) {
        std::vector<bend_order::Standing> all;
        if (t.nose) all.push_back({leaf ? "nose" : "punch", t.nose->corners()});
        const double down = leaf ? 0.0 : die_height(bend, s);
        all.push_back({leaf ? "bed" : "die", brake_.lower.moved({0.0, down, 0.0}).corners()});
        if (leaf)
            all.push_back(
                {"leaf",
                 brake_.leaf->moved(Pose::about({-b.radius, b.radius + thickness_}, s * b.angle_deg)).corners()});
        return all;
    };
    out.tools_before = stands(0.0);
    out.tools_after = stands(1.0);
    return out;
}

std::vector<Convex> SectionBender::about_flat(BendSet made, std::size_t flat, Face face) const {
    std::vector<Convex> out;
    const bool up = face == Face::up;
    const double length = flats_[flat];
    out.push_back(convex({{0.0, 0.0}, {length, 0.0}, {length, thickness_}, {0.0, thickness_}}));
    const auto add = [&](std::size_t bend, int way) {
        // The chain begins beyond the bend: its own zone is put before it.
        const Bend& b = bends_[bend];
        const bool is_made = (made >> bend & 1U) != 0U;
        const bool rises = b.up == up;
        const Chain beyond = chain(made, bend, way, up);
        const double turn = is_made ? (rises ? b.angle_deg : -b.angle_deg) : 0.0;
        const double low = rises ? b.radius + thickness_ : -b.radius;
        const auto [s, c] = sin_cos_deg(turn);
        const Pose pose = is_made ? Pose{low * s, low - low * c, turn} : Pose{b.allowance, 0.0, 0.0};
        const auto put = [&](const Convex& m) { out.push_back(way < 0 ? mirrored(m) : moved(m, {length, 0.0})); };
        std::vector<Convex> zone;
        if (is_made)
            sectors({0.0, low}, b.radius, b.radius + thickness_, rises ? -90.0 : 90.0, turn, 0.5 * touch_, zone);
        for (const Convex& m : zone) put(m);
        for (const Piece& p : beyond.pieces)
            for (const Convex& m : p.full) put(placed(m, pose));
    };
    if (flat > 0) add(flat - 1, -1);
    if (flat < bends_.size()) add(flat, +1);
    return out;
}

}  // namespace foldswing::detail
