// Reliefs on one pivot. Chords bound the region from outside, so that it holds the true one; the true arcs are then
// put back where its sides follow the circles and lines it must be made of.
#include <algorithm>
#include <cmath>
#include <foldswing/relief.hpp>
#include <limits>
#include <numeric>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"
#include "predicates.hpp"
#include "region.hpp"
#include "segment.hpp"
#include "true_arcs.hpp"
#include "words.hpp"

namespace foldswing::relief {
namespace {

constexpr double kFarthest = 1e6;         // mm; coordinates of a section
constexpr double kCoarsestWork = 2.5e-3;  // mm; chords are this close even where the sagitta allows more
constexpr double kParts = 6.0;            // of the sagitta: flattening, growing, a level stretch (two), arcs, rounding
constexpr double kLevel = 2.0;            // parts by which a round about the pivot may vary, flattened and grown
constexpr double kWidestSpan = 90.0;      // degrees of turn, and of a chain, that one piece covers
constexpr double kWidestStep = 45.0;      // degrees between chords, however small the arc
constexpr double kLeastMove = 1e-9;       // mm; less than this is not a move
constexpr int kLooks = 8;                 // at each side of a cut, for how deep it goes
constexpr double kStraightOn = 1e-9;      // sine of the turn at a corner that is none
constexpr std::size_t kMostCorners = 12'000;  // a second or so of work

void require_few(std::size_t corners, double work) {
    if (corners > kMostCorners)
        throw InvalidInput("sagitta", work * kParts, "coarser: so much travel needs more than 12000 corners");
}

Point turned(Point p, double angle_deg) { return Pose{0.0, 0.0, angle_deg}.apply(p); }
double angle_deg(Point p) { return std::atan2(p.y, p.x) / detail::kDegree; }

/// Degrees between chords that touch an arc from outside, or have their ends on it, and leave it by no more than work.
double step_deg(double radius, double work) {
    return std::min(kWidestStep, 2.0 * std::acos(radius / (radius + work)) / detail::kDegree);
}

/// The corners after p of the arc from p over sweep about the centre: outside it, or with ends on it.
void add_arc(Point centre, Point from, Point to, double sweep, bool outside, double work, Ring& ring) {
    const Point spoke = from - centre;
    const int n = static_cast<int>(std::ceil(std::abs(sweep) / step_deg(detail::norm(spoke), work)));
    const double step = sweep / n;
    if (outside) {
        const double k = 1.0 / detail::cos_deg(0.5 * step);
        for (int i = 0; i < n; ++i) ring.push_back(centre + k * turned(spoke, (i + 0.5) * step));
    } else {
        for (int i = 1; i < n; ++i) ring.push_back(centre + turned(spoke, i * step));
    }
    ring.push_back(to);
}

/// The section, counter-clockwise.
Path checked(const char* name, const Path& section) {
    if (!section.closed()) throw InvalidInput(name, "an open path", "closed");
    for (const Point p : section.points())
        for (const double v : {p.x, p.y}) detail::require(std::abs(v) <= kFarthest, name, v, "within +-1e6 mm");
    const Ring points = section.flatten(kCoarsestWork);
    double twice_area = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i)
        twice_area += detail::cross(points[i], points[(i + 1) % points.size()]);
    return twice_area < 0.0 ? section.reversed() : section;
}

std::vector<Path> all_checked(const char* name, std::span<const Path> sections) {
    if (sections.empty()) throw InvalidInput(name, "none", "at least one section");
    std::vector<Path> out;
    for (const Path& p : sections) out.push_back(checked(name, p));
    return out;
}

/// An outline that holds the section and exceeds it by no more than work.
Outline around(const Path& section, double work) {
    Ring ring{section.start(0)};
    for (std::size_t i = 0; i < section.size(); ++i) {
        const double sweep = section.sweep_deg()[i];
        if (sweep == 0.0)
            ring.push_back(section.end(i));
        else
            add_arc(section.centre(i), section.start(i), section.end(i), sweep, sweep > 0.0, work, ring);
    }
    ring.pop_back();
    return Outline(std::move(ring));
}

/// What a ring passes over as it turns about the origin: the ring is cut into chains along which the distance from the
/// pivot only grows or only falls, and stretches on which it hardly changes.
class Sweep {
  public:
    Sweep(const PlainTurn& turn, double work) : turn_(turn), work_(work) {}

    void along(const Ring& given) {
        const Ring ring = from_pivot(given);
        std::vector<double> r;
        for (const Point p : ring) r.push_back(detail::norm(p));
        const std::size_t last = ring.size() - 1;
        for (std::size_t i = 0; i < last;) {
            std::size_t j = i + 1;
            const double way = r[j] - r[i];
            double spread = spread_of(ring[i], ring[j]);
            while (j < last && way * (r[j + 1] - r[j]) > 0.0) {
                const double more = spread + spread_of(ring[j], ring[j + 1]);
                if (std::abs(more) > kWidestSpan) break;
                spread = more;
                ++j;
            }
            if (std::abs(r[j] - r[i]) > kLevel * work_ || j == last)
                steep(
                    {ring.begin() + static_cast<std::ptrdiff_t>(i), ring.begin() + static_cast<std::ptrdiff_t>(j) + 1});
            else
                level(ring, r, i, j);
            i = j;
        }
    }

    std::vector<Ring> take() { return std::move(pieces_); }

  private:
    static double spread_of(Point a, Point b) {
        return std::atan2(detail::cross(a, b), detail::dot(a, b)) / detail::kDegree;
    }

    /// The ring about the pivot, its sides cut at the feet of the perpendiculars; begins and ends at its farthest.
    [[nodiscard]] Ring from_pivot(const Ring& given) const {
        Ring out;
        for (std::size_t i = 0; i < given.size(); ++i) {
            const Point a = given[i] - turn_.pivot;
            const Point b = given[(i + 1) % given.size()] - turn_.pivot;
            const Point u = (1.0 / detail::norm(b - a)) * (b - a);
            const double to_foot = -detail::dot(a, u);
            out.push_back(a);
            if (to_foot > kLeastMove && to_foot < detail::norm(b - a) - kLeastMove) out.push_back(a + to_foot * u);
        }
        const auto far = std::max_element(out.begin(), out.end(),
                                          [](Point a, Point b) { return detail::norm(a) < detail::norm(b); });
        std::rotate(out.begin(), far, out.end());
        out.push_back(out.front());
        return out;
    }

    /// Calls f(from, by) for the parts of the turn.
    template <class F>
    void parts(F f) const {
        const double whole = turn_.turn_to_deg - turn_.turn_from_deg;
        const int n = static_cast<int>(std::ceil(std::abs(whole) / kWidestSpan));
        for (int i = 0; i < n; ++i) f(turn_.turn_from_deg + i * (whole / n), whole / n);
    }

    /// Along a chain the region is bounded by the chain at both ends of the turn and by the arcs of its own ends.
    void steep(Ring chain) {
        if (detail::norm(chain.front()) > detail::norm(chain.back())) std::reverse(chain.begin(), chain.end());
        const double outer = detail::norm(chain.back());
        if (std::abs(turn_.turn_to_deg - turn_.turn_from_deg) * detail::kDegree * outer < kLeastMove) return;
        parts([&](double from, double by) {
            Ring ring;
            for (const Point p : chain) ring.push_back(turned(p, from));
            add_arc({}, ring.back(), turned(chain.back(), from + by), by, true, work_, ring);
            for (std::size_t i = chain.size() - 1; i-- > 0;) ring.push_back(turned(chain[i], from + by));
            if (detail::norm(chain.front()) > kLeastMove) {
                add_arc({}, ring.back(), turned(chain.front(), from), -by, false, work_, ring);
                ring.pop_back();
            } else {
                ring.pop_back();  // both ends of the chain lie on the pivot
            }
            add(std::move(ring), by < 0.0);
        });
    }

    /// A stretch from i on that keeps its distance within `kLevel` parts: a narrow band. j becomes its end.
    void level(const Ring& ring, const std::vector<double>& r, std::size_t i, std::size_t& j) {
        double low = std::min(r[i], r[j]);
        double high = std::max(r[i], r[j]);
        double angle = spread_of(ring[i], ring[j]);
        double first = std::min(0.0, angle);
        double last = std::max(0.0, angle);
        while (j + 1 < r.size() && std::max(high, r[j + 1]) - std::min(low, r[j + 1]) <= kLevel * work_) {
            const double next = angle + spread_of(ring[j], ring[j + 1]);
            if (std::max(last, next) - std::min(first, next) > kWidestSpan) break;
            angle = next;
            first = std::min(first, angle);
            last = std::max(last, angle);
            ++j;
            low = std::min(low, r[j]);
            high = std::max(high, r[j]);
        }
        if (high < kLeastMove) return;
        const double from = angle_deg(ring[i]) + first;
        parts([&](double start, double by) {
            const double begin = from + start + std::min(by, 0.0);
            const double over = last - first + std::abs(by);
            const Point spoke = turned({high, 0.0}, begin);
            Ring band{spoke};
            add_arc({}, spoke, turned(spoke, over), over, true, work_, band);
            const double inner = low - work_;
            if (inner > kLeastMove) {
                const Point back = turned({inner, 0.0}, begin + over);
                band.push_back(back);
                add_arc({}, back, turned({inner, 0.0}, begin), -over, false, work_, band);
            } else {
                band.push_back({0.0, 0.0});
            }
            add(std::move(band), false);
        });
    }

    void add(Ring ring, bool clockwise) {
        corners_ += ring.size();
        require_few(corners_, work_);
        for (Point& p : ring) p = p + turn_.pivot;
        if (clockwise) std::reverse(ring.begin(), ring.end());
        pieces_.push_back(std::move(ring));
    }

    const PlainTurn& turn_;
    double work_;
    std::size_t corners_ = 0;
    std::vector<Ring> pieces_;
};

void require_turn(const PlainTurn& turn) {
    for (const double v : {turn.pivot.x, turn.pivot.y})
        detail::require(std::abs(v) <= kFarthest, "pivot", v, "within +-1e6 mm");
    for (const double v : {turn.turn_from_deg, turn.turn_to_deg})
        detail::require(std::abs(v) <= 360.0, "turn", v, "within +-360 degrees");
    const double whole = turn.turn_to_deg - turn.turn_from_deg;
    detail::require(std::abs(whole) <= 360.0, "the turn", whole, "within +-360 degrees");
}

double working(double gap, double sagitta) {
    detail::require(std::isfinite(gap) && gap >= 0.0 && gap <= kFarthest, "gap", gap, "from 0 to 1e6 mm");
    detail::require(std::isfinite(sagitta) && sagitta >= kFinestSagitta, "sagitta", sagitta, "finite and >= 0.002 mm");
    return std::max(std::min(sagitta / kParts, kCoarsestWork), 1e-6 * gap);
}

std::vector<Outline> all_around(std::span<const Path> sections, double work) {
    std::vector<Outline> out;
    std::size_t corners = 0;
    for (const Path& p : sections) {
        out.push_back(around(p, work));
        corners += out.back().corners().size();
    }
    require_few(corners, work);
    return out;
}

std::vector<Outline> room(const std::vector<Path>& panel, const PlainTurn& turn, double gap, double work) {
    std::vector<Ring> grown;
    for (const Outline& o : all_around(panel, work))
        for (const Outline& g : offset(o, gap, {Corners::round, work, 4.0})) detail::add_rings(g, grown);
    std::size_t corners = 0;
    for (const Ring& ring : grown) corners += ring.size();
    require_few(corners, work);
    Sweep sweep(turn, work);
    for (const Ring& ring : grown) sweep.along(ring);
    std::vector<Ring> pieces = sweep.take();
    const Pose start = Pose::about(turn.pivot, turn.turn_from_deg);
    for (Ring& ring : grown) {
        start.apply(ring, ring);
        pieces.push_back(std::move(ring));
    }
    return detail::region(pieces);
}

/// Rings of what both regions hold: a region counts once, and a frame round both takes one away.
std::vector<Outline> in_common(std::span<const Outline> a, std::span<const Outline> b) {
    std::vector<Ring> rings;
    for (const auto& group : {a, b})
        for (const Outline& o : group) detail::add_rings(o, rings);
    Point low{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    Point high{-low.x, -low.y};
    for (const Ring& ring : rings)
        for (const Point p : ring) {
            low = {std::min(low.x, p.x), std::min(low.y, p.y)};
            high = {std::max(high.x, p.x), std::max(high.y, p.y)};
        }
    const double margin = 1.0 + 0.1 * std::max(high.x - low.x, high.y - low.y);
    low = low - Point{margin, margin};
    high = high + Point{margin, margin};
    rings.push_back({low, {low.x, high.y}, high, {high.x, low.y}});
    return detail::region(rings);
}

/// The circles and lines a section's edge runs along once grown by `gap`, and the circles its extremes draw.
class Carriers {
  public:
    explicit Carriers(const PlainTurn& turn) : turn_(turn) {}

    /// A body: its own edge.
    void body(const Path& section) {
        for (std::size_t i = 0; i < section.size(); ++i) {
            if (section.sweep_deg()[i] == 0.0)
                line(section.start(i), section.end(i) - section.start(i));
            else
                circle(section.centre(i), section.radius(i));
        }
    }

    void panel(const Path& section, double gap) {
        const auto tangent = [&](std::size_t i, bool at_end) {
            const Point chord = section.end(i) - section.start(i);
            const double half = 0.5 * section.sweep_deg()[i];
            return turned((1.0 / detail::norm(chord)) * chord, at_end ? half : -half);
        };
        const std::size_t n = section.size();
        for (std::size_t i = 0; i < n; ++i) {
            const double sweep = section.sweep_deg()[i];
            if (sweep == 0.0) {
                const Point along = tangent(i, false);
                const Point out = section.start(i) - gap * detail::square_to(along);
                moved_line(out, along);
                pivot_circle(std::abs(detail::cross(along, out - turn_.pivot)));
            } else {
                moved_circle(section.centre(i), section.radius(i) + (sweep > 0.0 ? gap : -gap));
            }
            const std::size_t before = (i + n - 1) % n;
            const double sine = detail::cross(tangent(before, true), tangent(i, false));
            if (std::abs(sine) < kStraightOn) continue;
            if (sine > 0.0 && gap > 0.0)
                moved_circle(section.start(i), gap);
            else if (gap == 0.0)
                pivot_circle(detail::span(section.start(i), turn_.pivot));
        }
    }

    [[nodiscard]] const std::vector<detail::Carrier>& all() const { return carriers_; }

  private:
    void line(Point on, Point along) { carriers_.push_back({on, 0.0, (1.0 / detail::norm(along)) * along}); }
    void circle(Point centre, double radius) {
        if (radius > kLeastMove) carriers_.push_back({centre, radius, {}});
    }
    void pivot_circle(double radius) { circle(turn_.pivot, radius); }
    void moved_line(Point on, Point along) {
        for (const double t : {turn_.turn_from_deg, turn_.turn_to_deg})
            line(Pose::about(turn_.pivot, t).apply(on), turned(along, t));
    }
    void moved_circle(Point centre, double radius) {
        if (!(radius > kLeastMove)) return;
        for (const double t : {turn_.turn_from_deg, turn_.turn_to_deg})
            circle(Pose::about(turn_.pivot, t).apply(centre), radius);
        const double out = detail::span(centre, turn_.pivot);
        pivot_circle(out + radius);
        pivot_circle(std::abs(out - radius));
    }

    const PlainTurn& turn_;
    std::vector<detail::Carrier> carriers_;
};

/// How deep the cut goes into the part, and where: on the cut's own edge, each side looked at in kLooks places; where
/// all of that lies on the part's edge the cut takes the part right through, and its widest place is looked at.
std::pair<double, Point> deepest(const Outline& cut, std::span<const Outline> part, double least) {
    std::pair<double, Point> out{0.0, {}};
    const auto look = [&](Point p) {
        double near = std::numeric_limits<double>::infinity();
        for (const Outline& o : part)
            detail::for_each_side(o, [&](Point a, Point b) { near = std::min(near, detail::distance2({a, b}, p)); });
        if (near > out.first) out = {near, p};
    };
    detail::for_each_side(cut, [&](Point a, Point b) {
        for (int i = 0; i < kLooks; ++i) look(detail::along({a, b}, static_cast<double>(i) / kLooks));
    });
    if (out.first <= least * least) look(largest_circle({&cut, 1}).centre);
    out.first = std::sqrt(out.first);
    return out;
}

Relief relief(const std::vector<Path>& panel, const std::vector<Path>& bodies, const PlainTurn& turn, double gap,
              double sagitta, const char* what) {
    require_turn(turn);
    const double work = working(gap, sagitta);
    const std::vector<Outline> part = unite(all_around(bodies, work));
    const std::vector<Outline> swept = room(panel, turn, gap, work);
    Carriers carriers(turn);
    for (const Path& p : bodies) carriers.body(p);
    for (const Path& p : panel) carriers.panel(p, gap);
    Relief out;
    out.deepest = {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN()};
    for (const Outline& cut : in_common(swept, part)) {
        const auto [depth, at] = deepest(cut, part, kParts * work);
        if (depth <= kParts * work) continue;
        if (depth > out.depth) {
            out.depth = depth;
            out.deepest = at;
        }
        out.area += area(cut);
        detail::TrueRing rings = detail::with_true_arcs(cut, carriers.all(), kParts * work);
        out.exact = out.exact && rings.all;
        out.cuts.insert(out.cuts.end(), rings.paths.begin(), rings.paths.end());
        out.outlines.push_back(cut);
    }
    const std::string left = gap > 0.0 ? "with " + detail::mm(gap) + " mm left all the way" : "just touching";
    if (out.outlines.empty())
        out.explanation = std::string("Nothing need come off ") + what + ": it swings past " + left + ".";
    else
        out.explanation = "Take " + std::to_string(out.outlines.size()) +
                          (out.outlines.size() == 1 ? " piece" : " pieces") + " off " + what + ", up to " +
                          detail::mm(out.depth) + " mm deep, to swing past " + left + ".";
    return out;
}

}  // namespace

Relief off_body(std::span<const Path> panel, std::span<const Path> bodies, const PlainTurn& turn, double gap,
                double sagitta) {
    return relief(all_checked("panel", panel), all_checked("bodies", bodies), turn, gap, sagitta, "the fixed part");
}

Relief off_panel(std::span<const Path> panel, std::span<const Path> bodies, const PlainTurn& turn, double gap,
                 double sagitta) {
    // 0 - t, so that no turn is -0.
    const PlainTurn back{turn.pivot, 0.0 - turn.turn_from_deg, 0.0 - turn.turn_to_deg};
    return relief(all_checked("bodies", bodies), all_checked("panel", panel), back, gap, sagitta, "the panel");
}

FreePivots free_pivots(const hinge::Swing& swing, std::span<const Outline> within) {
    FreePivots out;
    out.window = hinge::pivot_window({}, within, swing);
    const hinge::PivotWindow& w = out.window;
    const std::string left = swing.gap > 0.0 ? " with " + detail::mm(swing.gap) + " mm left all the way" : "";
    if (!w.outlines.empty())
        out.explanation = "A pivot in the places shown swings past" + left +
                          " and nothing need come off; farthest from trouble at one that may be " +
                          detail::mm(w.best.radius) + " mm out any way.";
    else if (w.undecided_area > 0.0)
        out.explanation = "No pivot is clear for certain" + left + "; cells of " + detail::mm(swing.cell) +
                          " mm leave " + detail::fixed(w.undecided_area, 0) +
                          " square mm undecided: ask again with smaller ones.";
    else
        out.explanation = "No pivot among the places asked about swings past" + left + " without something coming off.";
    return out;
}

std::vector<Outline> swept_room(std::span<const Path> panel, const PlainTurn& turn, double gap, double sagitta) {
    require_turn(turn);
    return room(all_checked("panel", panel), turn, gap, working(gap, sagitta));
}

}  // namespace foldswing::relief
