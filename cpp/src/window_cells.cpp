// Cells of pivots judged against the whole swing. What can come near to what is kept in pairs of groups of edges, each
// bounded by a disc, over a piece of the turn; a cell hands its children only the pairs that can still matter, and
// splits groups where their discs are coarser than the cell.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <numeric>

#include "degrees.hpp"
#include "pose_gap.hpp"
#include "segment.hpp"
#include "turn_order.hpp"
#include "window_parts.hpp"

namespace foldswing::hinge::detail_window {
namespace {

using detail::angle_order;
using detail::EdgeTable;
using detail::EdgeView;
using detail::Part;

constexpr double kPieceDeg = 15.0;      // of the turn: how far one displacement bound reaches
constexpr double kRoundingRel = 1e-12;  // of the size: what rounding may cost a distance
constexpr std::size_t kRemembered = 4;  // corners that went deep lately

double dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }
double cross(Point a, Point b) noexcept { return a.x * b.y - a.y * b.x; }
double length_of(Point a) noexcept { return std::sqrt(dot(a, a)); }

/// A piece of the turn.
struct Piece {
    detail::SinCos from;
    detail::SinCos to;
    double end_order;  // of its end, seen from its start
    double sense;
    double moves;  // mm of panel per mm of pivot, at most
};

Point turned(detail::SinCos by, Point v) noexcept { return {by.cos * v.x - by.sin * v.y, by.sin * v.x + by.cos * v.y}; }
Point turned_back(detail::SinCos by, Point v) noexcept {
    return {by.cos * v.x + by.sin * v.y, by.cos * v.y - by.sin * v.x};
}

/// 2 max |sin(a/2)| for a in the range.
double moves(double from, double to) noexcept {
    const auto [low, high] = std::minmax(from, to);
    const double next = 180.0 + 360.0 * std::ceil((low - 180.0) / 360.0);  // the first half turn at or after low
    if (next <= high) return 2.0;
    return 2.0 * std::max(std::abs(detail::sin_deg(0.5 * low)), std::abs(detail::sin_deg(0.5 * high)));
}

std::vector<Piece> pieces_of(double from, double to) {
    if (std::abs(to - from) > 360.0) to = from + std::copysign(360.0, to - from);
    const int n = std::max(1, static_cast<int>(std::ceil(std::abs(to - from) / kPieceDeg)));
    std::vector<Piece> out;
    for (int k = 0; k < n; ++k) {
        const double a = std::lerp(from, to, static_cast<double>(k) / n);
        const double b = std::lerp(from, to, static_cast<double>(k + 1) / n);
        const auto [s, c] = detail::sin_cos_deg(std::abs(b - a));
        out.push_back(
            {detail::sin_cos_deg(a), detail::sin_cos_deg(b), angle_order(c, s), to < from ? -1.0 : 1.0, moves(a, b)});
    }
    return out;
}

/// The arc of one point over a piece of the turn, seen from the pivot.
struct Arc {
    Point start;
    Point end;
    double radius;
    double sense;
    double end_order;
    [[nodiscard]] bool passes(Point direction) const noexcept {
        return angle_order(dot(start, direction), sense * cross(start, direction)) <= end_order;
    }
};
Arc panel_arc(const Piece& piece, Point v) noexcept {
    return {turned(piece.from, v), turned(piece.to, v), length_of(v), piece.sense, piece.end_order};
}
/// Of a point of a body, seen from the shut panel.
Arc body_arc(const Piece& piece, Point v) noexcept {
    return {turned_back(piece.from, v), turned_back(piece.to, v), length_of(v), -piece.sense, piece.end_order};
}

/// Least distance of the arc from a point.
double to_point(const Arc& arc, Point p) noexcept {
    const double away = length_of(p);
    if (arc.passes(p)) return std::abs(arc.radius - away);
    return std::min(length_of(arc.start - p), length_of(arc.end - p));
}

/// An edge seen from the pivot.
struct Edge {
    Point a;
    Point u;
    double length = 0.0;
};

double to_edge(Point p, const Edge& e) noexcept {
    const Point d = p - e.a;
    const double t = std::clamp(dot(d, e.u), 0.0, e.length);
    return length_of(d - t * e.u);
}

/// Least distance of the arc from an edge; what is nearest to the edge's far end is left to the edge that starts there.
double to_edge(const Arc& arc, const Edge& e) noexcept {
    const double t0 = dot(e.a, e.u);
    const double t1 = t0 + e.length;
    const double off = cross(e.a, e.u);
    const double away = std::abs(off);
    const Point foot = off * Point{e.u.y, -e.u.x};
    double least = std::min(to_edge(arc.start, e), to_edge(arc.end, e));
    if (arc.radius < away) {
        if (t0 <= 0.0 && t1 >= 0.0 && arc.passes(foot)) least = std::min(least, away - arc.radius);
    } else {
        const double t = std::sqrt(std::max(0.0, (arc.radius - away) * (arc.radius + away)));
        if (t <= t1 && t >= t0 && arc.passes(foot + t * e.u)) return 0.0;
        if (-t >= t0 && -t <= t1 && arc.passes(foot + (-t) * e.u)) return 0.0;
    }
    if (arc.passes(e.a)) least = std::min(least, std::abs(arc.radius - length_of(e.a)));
    return least;
}

/// Edges in groups of groups, each in a disc; group 0 holds all.
class Groups {
  public:
    explicit Groups(const EdgeTable& table) : view_(table.view()) { make(table.parts(), 0, view_.size); }
    struct Group {
        Point centre;
        double radius;
        std::size_t first;
        std::size_t last;
        std::size_t left = 0;  // 0: a single edge
        std::size_t right = 0;
    };
    [[nodiscard]] const Group& operator[](std::size_t i) const { return groups_[i]; }

  private:
    // NOLINTNEXTLINE(misc-no-recursion): each call halves the range or parts two bodies
    std::size_t make(const std::vector<Part>& parts, std::size_t first, std::size_t last) {
        Point low = view_.corner(first);
        Point high = low;
        const auto each = [&](auto f) {
            for (std::size_t i = first; i < last; ++i) {
                f(view_.corner(i));
                f(view_.corner(view_.end[i]));
            }
        };
        each([&](Point p) {
            low = {std::min(low.x, p.x), std::min(low.y, p.y)};
            high = {std::max(high.x, p.x), std::max(high.y, p.y)};
        });
        const Point centre{std::midpoint(low.x, high.x), std::midpoint(low.y, high.y)};
        double radius = 0.0;
        each([&](Point p) { radius = std::max(radius, length_of(p - centre)); });
        const std::size_t at = groups_.size();
        groups_.push_back({centre, radius, first, last});
        if (last - first > 1) {
            const std::size_t half = std::midpoint(first, last);
            std::size_t middle = half;
            const auto off_half = [half](std::size_t k) { return k > half ? k - half : half - k; };
            for (const Part& p : parts)  // whole bodies first
                if (p.first > first && p.first < last && (middle == half || off_half(p.first) < off_half(middle)))
                    middle = p.first;
            const std::size_t left = make(parts, first, middle);
            const std::size_t right = make(parts, middle, last);
            groups_[at].left = left;
            groups_[at].right = right;
        }
        return at;
    }
    EdgeView view_;
    std::vector<Group> groups_;
};

/// A group of the panel's edges and one of the bodies', over a piece of the turn.
struct Pairing {
    std::uint32_t panel;
    std::uint32_t body;
    std::uint32_t piece;
};

/// A corner of one side whose arc goes deep into a part of the other.
struct Deep {
    bool panel_corner;
    std::size_t corner;
    std::size_t part;
};

class Judge {
  public:
    Judge(const Swing& swing, std::span<const Outline> window, std::span<const Run> runs)
        : panel_(swing.panel),
          bodies_(swing.clear_of),
          panel_groups_(panel_),
          body_groups_(bodies_),
          pieces_(pieces_of(swing.turn_from_deg, swing.turn_to_deg)),
          whole_(pieces_of_whole(swing)),
          start_(panel_),
          wanted_(swing.gap),
          cell_(swing.cell),
          window_(window) {
        for (const Piece& p : pieces_) moves_ = std::max(moves_, p.moves);
        for (const Outline& o : window) detail::for_each_side(o, [&](Point a, Point b) { sides_.push_back({a, b}); });
        for (const Run& r : runs) sides_.push_back({r[0], r[1]});
        for (const detail::Segment& s : sides_)
            for (const Point p : {s.a, s.b}) {
                low_ = {std::min(low_.x, p.x), std::min(low_.y, p.y)};
                high_ = {std::max(high_.x, p.x), std::max(high_.y, p.y)};
            }
    }

    std::vector<Cell> run() {
        const double extent = std::max(high_.x - low_.x, high_.y - low_.y);
        if (!(extent <= kMostCells * cell_))
            throw InvalidInput("cell", cell_, "large enough that 4096 cells span the window");
        std::uint32_t across = 1;
        levels_ = 0;
        while (across * cell_ < extent) {
            across *= 2;
            ++levels_;
        }
        rounding_ = kRoundingRel * std::max({panel_.extent(), bodies_.extent(), std::abs(low_.x), std::abs(low_.y),
                                             std::abs(high_.x), std::abs(high_.y)});
        start_turns_ = pieces_.front().from.sin != 0.0 || pieces_.front().from.cos != 1.0;
        if (!start_turns_) start_overlaps_ = overlaps_at_start({});
        kept_.resize(levels_ + 1);
        near_.resize(levels_ + 1);
        std::vector<Pairing> all;
        for (std::uint32_t k = 0; k < pieces_.size(); ++k) all.push_back({0, 0, k});
        std::vector<std::size_t> sides(sides_.size());
        for (std::size_t i = 0; i < sides.size(); ++i) sides[i] = i;
        look(0, 0, across, 0, false, all, sides);
        return std::move(cells_);
    }

  private:
    /// The turn in two halves at most, for depths.
    static std::vector<Piece> pieces_of_whole(const Swing& swing) {
        double to = swing.turn_to_deg;
        const double from = swing.turn_from_deg;
        if (std::abs(to - from) > 360.0) to = from + std::copysign(360.0, to - from);
        std::vector<Piece> out;
        const int n = std::abs(to - from) > 180.0 ? 2 : 1;
        for (int k = 0; k < n; ++k) {
            const double a = std::lerp(from, to, static_cast<double>(k) / n);
            const double b = std::lerp(from, to, static_cast<double>(k + 1) / n);
            const auto [s, c] = detail::sin_cos_deg(std::abs(b - a));
            out.push_back({detail::sin_cos_deg(a), detail::sin_cos_deg(b), angle_order(c, s), to < from ? -1.0 : 1.0,
                           moves(a, b)});
        }
        return out;
    }

    [[nodiscard]] Point place(std::uint32_t i, std::uint32_t j) const {
        return {low_.x + i * cell_, low_.y + j * cell_};
    }

    void settle(std::uint32_t i, std::uint32_t j, std::uint32_t across, CellStatus status) {
        cells_.push_back({place(i, j), across * cell_, status});
    }

    /// i, j, across: in smallest cells.
    // NOLINTNEXTLINE(misc-no-recursion): each call halves the cell, at most a dozen deep
    void look(std::uint32_t i, std::uint32_t j, std::uint32_t across, std::size_t depth, bool inside,
              const std::vector<Pairing>& pairings, const std::vector<std::size_t>& sides) {
        const Point low = place(i, j);
        const Point high = place(i + across, j + across);
        const Point centre{std::midpoint(low.x, high.x), std::midpoint(low.y, high.y)};
        std::vector<std::size_t>& near = near_[depth];
        if (!inside) {
            near.clear();
            for (const std::size_t k : sides)
                if (touches(sides_[k], low, high)) near.push_back(k);
            if (near.empty()) {
                if (!in_window(centre)) return;
                inside = true;
            }
        }
        const double r = 0.5 * std::sqrt(2.0) * across * cell_;
        std::vector<Pairing>& kept = kept_[depth];
        const bool smallest = across == 1;
        const CellStatus status = judge(centre, r, smallest, pairings, kept);
        if (status != CellStatus::undecided || smallest) return settle(i, j, across, status);
        const std::uint32_t half = across / 2;
        for (const std::uint32_t dj : {0U, half})
            for (const std::uint32_t di : {0U, half}) look(i + di, j + dj, half, depth + 1, inside, kept, near);
    }

    [[nodiscard]] static bool touches(const detail::Segment& s, Point low, Point high) noexcept {
        if (std::min(s.a.x, s.b.x) > high.x || std::max(s.a.x, s.b.x) < low.x || std::min(s.a.y, s.b.y) > high.y ||
            std::max(s.a.y, s.b.y) < low.y)
            return false;
        const Point d = s.b - s.a;
        bool left = false;
        bool right = false;
        for (const Point p : {low, high, Point{low.x, high.y}, Point{high.x, low.y}}) {
            const double side = cross(d, p - s.a);
            left = left || side >= 0.0;
            right = right || side <= 0.0;
        }
        return left && right;
    }

    [[nodiscard]] bool in_window(Point p) const {
        return std::any_of(window_.begin(), window_.end(),
                           [&](const Outline& o) { return locate(o, p) != Place::outside; });
    }

    [[nodiscard]] bool overlaps_at_start(Point pivot) {
        const auto [s, c] = pieces_.front().from;
        start_.carry(s, c, pivot - turned(pieces_.front().from, pivot));
        return detail::find_overlap(start_.view(), panel_.parts(), bodies_.view(), bodies_.parts()).has_value();
    }

    /// Least distance of the pair over its piece; exact for two single edges, else a floor.
    [[nodiscard]] double distance(const Pairing& p, Point pivot) const noexcept {
        const Groups::Group& a = panel_groups_[p.panel];
        const Groups::Group& b = body_groups_[p.body];
        const Piece& piece = pieces_[p.piece];
        if (a.left != 0 || b.left != 0)
            return to_point(panel_arc(piece, a.centre - pivot), b.centre - pivot) - a.radius - b.radius;
        return std::min(corner_to_edge(piece, true, a.first, b.first, pivot),
                        corner_to_edge(piece, false, b.first, a.first, pivot));
    }
    [[nodiscard]] double corner_to_edge(const Piece& piece, bool panel_corner, std::size_t corner, std::size_t edge,
                                        Point pivot) const noexcept {
        const EdgeView corners = (panel_corner ? panel_ : bodies_).view();
        const EdgeView edges = (panel_corner ? bodies_ : panel_).view();
        const Point v = corners.corner(corner) - pivot;
        return to_edge(panel_corner ? panel_arc(piece, v) : body_arc(piece, v),
                       {edges.corner(edge) - pivot, {edges.ux[edge], edges.uy[edge]}, edges.length[edge]});
    }

    /// Leaves in `kept` what can still matter somewhere in the cell.
    CellStatus judge(Point pivot, double r, bool smallest, const std::vector<Pairing>& pairings,
                     std::vector<Pairing>& kept) {
        if (start_overlaps_) return CellStatus::fouled;  // shut, wherever the pivot is
        const bool by_depth = moves_ * r >= wanted_ - rounding_;
        if (by_depth) {
            for (Deep& d : deep_)
                if (depth(d, pivot) > moves_ * r - wanted_ + rounding_) {
                    std::swap(deep_.front(), d);
                    return CellStatus::fouled;
                }
        } else if (fouling_ && distance(*fouling_, pivot) + pieces_[fouling_->piece].moves * r < wanted_ - rounding_) {
            return CellStatus::fouled;
        }
        kept.clear();
        work_.assign(pairings.begin(), pairings.end());
        std::optional<Pairing> contact;
        while (!work_.empty()) {
            const Pairing p = work_.back();
            work_.pop_back();
            const double reach = pieces_[p.piece].moves * r;
            const double away = distance(p, pivot);
            if (away >= wanted_ + reach + rounding_) continue;
            const Groups::Group& a = panel_groups_[p.panel];
            const Groups::Group& b = body_groups_[p.body];
            if (a.left == 0 && b.left == 0) {
                if (away + reach < wanted_ - rounding_) {
                    fouling_ = p;
                    return CellStatus::fouled;
                }
                if (away <= 0.0 && !contact) contact = p;
                kept.push_back(p);
            } else if (smallest || a.radius + b.radius > reach) {
                const bool split_panel = b.left == 0 || (a.left != 0 && a.radius >= b.radius);
                for (const bool left : {true, false})
                    work_.push_back(
                        split_panel ? Pairing{static_cast<std::uint32_t>(left ? a.left : a.right), p.body, p.piece}
                                    : Pairing{p.panel, static_cast<std::uint32_t>(left ? b.left : b.right), p.piece});
            } else {
                kept.push_back(p);
            }
        }
        if (kept.empty()) {
            // Nothing comes near: the start pose alone tells whether they are apart or one inside the other.
            return start_turns_ && overlaps_at_start(pivot) ? CellStatus::fouled : CellStatus::clear;
        }
        if (by_depth && contact && goes_deep(*contact, pivot, r)) return CellStatus::fouled;
        return CellStatus::undecided;
    }

    bool goes_deep(const Pairing& contact, Point pivot, double r) {
        const std::size_t i = panel_groups_[contact.panel].first;
        const std::size_t j = body_groups_[contact.body].first;
        const std::array corners{Deep{true, i, bodies_.part_of(j)}, Deep{false, j, panel_.part_of(i)}};
        const auto* const found = std::find_if(corners.begin(), corners.end(), [&](const Deep& d) {
            return depth(d, pivot) > moves_ * r - wanted_ + rounding_;
        });
        if (found == corners.end()) return false;
        deep_.insert(deep_.begin(), *found);
        if (deep_.size() > kRemembered) deep_.pop_back();
        return true;
    }

    /// How deep the corner is inside the part in the middle of a stretch of its arc between two edges; the greatest of
    /// all stretches, 0 where it does not go in.
    [[nodiscard]] double depth(const Deep& d, Point pivot) {
        const EdgeTable& other = d.panel_corner ? bodies_ : panel_;
        const EdgeView edges = other.view();
        const Part part = other.parts()[d.part];
        const Point v = (d.panel_corner ? panel_ : bodies_).view().corner(d.corner) - pivot;
        double deepest = 0.0;
        for (const Piece& piece : whole_) {
            const Arc arc = d.panel_corner ? panel_arc(piece, v) : body_arc(piece, v);
            const auto angle = [&](Point p) {
                const double a = std::atan2(arc.sense * cross(arc.start, p), dot(arc.start, p));
                return a < 0.0 ? a + 2.0 * std::numbers::pi : a;
            };
            cuts_.assign({0.0, angle(arc.end)});
            for (std::size_t k = part.first; k < part.last; ++k) {
                const Point a = edges.corner(k) - pivot;
                const Point u{edges.ux[k], edges.uy[k]};
                const double t0 = dot(a, u);
                const double off = cross(a, u);
                if (std::abs(off) >= arc.radius) continue;
                const Point foot = off * Point{u.y, -u.x};
                const double half = std::sqrt((arc.radius - std::abs(off)) * (arc.radius + std::abs(off)));
                for (const double t : {half, -half})
                    if (t >= t0 && t <= t0 + edges.length[k] && arc.passes(foot + t * u))
                        cuts_.push_back(angle(foot + t * u));
            }
            std::sort(cuts_.begin(), cuts_.end());
            for (std::size_t k = 0; k + 1 < cuts_.size(); ++k) {
                const double middle = 0.5 * (cuts_[k] + cuts_[k + 1]);
                const detail::SinCos by{arc.sense * std::sin(middle), std::cos(middle)};
                const Point q = pivot + turned(by, arc.start);
                if (!detail::inside(edges, part, q)) continue;
                double least = std::numeric_limits<double>::infinity();
                for (std::size_t e = part.first; e < part.last && least > deepest; ++e)
                    least = std::min(least, to_edge(q, {edges.corner(e), {edges.ux[e], edges.uy[e]}, edges.length[e]}));
                deepest = std::max(deepest, least);
            }
        }
        return deepest;
    }

    EdgeTable panel_;
    EdgeTable bodies_;
    Groups panel_groups_;
    Groups body_groups_;
    std::vector<Piece> pieces_;
    std::vector<Piece> whole_;
    detail::PosedEdges start_;
    double wanted_;
    double cell_;
    std::span<const Outline> window_;
    std::vector<detail::Segment> sides_;
    Point low_{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    Point high_{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
    double moves_ = 0.0;
    double rounding_ = 0.0;
    bool start_turns_ = false;
    bool start_overlaps_ = false;
    std::size_t levels_ = 0;
    std::vector<Cell> cells_;
    std::vector<std::vector<Pairing>> kept_;  // by depth
    std::vector<std::vector<std::size_t>> near_;
    std::vector<Pairing> work_;
    std::optional<Pairing> fouling_;
    std::vector<Deep> deep_;
    std::vector<double> cuts_;
};

}  // namespace

std::vector<Cell> judge_cells(const Swing& swing, std::span<const Outline> window, std::span<const Run> runs) {
    return Judge(swing, window, runs).run();
}

std::vector<Ring> rings_round_clear(std::span<const Cell> cells, double smallest) {
    Point low{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    for (const Cell& c : cells) low = {std::min(low.x, c.low.x), std::min(low.y, c.low.y)};
    struct Square {
        std::size_t x, y, across;
    };
    std::vector<Square> clear;
    std::size_t width = 0;
    std::size_t height = 0;
    const auto steps = [&](double v) { return static_cast<std::size_t>(std::llround(v / smallest)); };
    for (const Cell& c : cells) {
        if (c.status != CellStatus::clear) continue;
        clear.push_back({steps(c.low.x - low.x), steps(c.low.y - low.y), steps(c.side)});
        width = std::max(width, clear.back().x + clear.back().across);
        height = std::max(height, clear.back().y + clear.back().across);
    }
    if (clear.empty()) return {};
    // A margin of one step all round, so that every neighbour exists.
    const std::size_t row = width + 2;
    std::vector<char> map(row * (height + 2), 0);
    for (const Square& s : clear)
        for (std::size_t y = s.y; y < s.y + s.across; ++y)
            std::fill_n(map.begin() + static_cast<std::ptrdiff_t>((y + 1) * row + s.x + 1), s.across, char{1});
    // Walks with clear on the left; where two clear cells meet in a corner only, each keeps to itself.
    enum Way : std::uint8_t { east, north, west, south };
    const auto on = [&](std::size_t x, std::size_t y) { return map[y * row + x] != 0; };  // x, y with the margin
    std::vector<char> walked(row * (height + 2), 0);  // the lower sides of cells, walked east
    std::vector<Ring> rings;
    const auto walk = [&](std::size_t x0, std::size_t y0, Way first) {
        // Corner (x, y) is the lower left one of cell (x, y).
        Ring ring;
        std::size_t x = x0;
        std::size_t y = y0;
        Way way = first;
        do {
            if (way == east) walked[y * row + x] = 1;
            const Way before = way;
            switch (way) {
                case east:
                    ++x;
                    break;
                case north:
                    ++y;
                    break;
                case west:
                    --x;
                    break;
                case south:
                    --y;
                    break;
            }
            const bool ne = on(x, y);
            const bool nw = on(x - 1, y);
            const bool sw = on(x - 1, y - 1);
            const bool se = on(x, y - 1);
            const auto can = [&](int w) {
                switch (static_cast<Way>(w & 3)) {
                    case east:
                        return ne && !se;
                    case north:
                        return nw && !ne;
                    case west:
                        return sw && !nw;
                    case south:
                        break;
                }
                return se && !sw;
            };
            for (const int turn : {1, 0, 3})  // left, straight on, right
                if (can(before + turn)) {
                    way = static_cast<Way>((before + turn) & 3);
                    break;
                }
            if (way != before)
                ring.push_back(
                    {low.x + static_cast<double>(x - 1) * smallest, low.y + static_cast<double>(y - 1) * smallest});
        } while (x != x0 || y != y0 || way != first);
        rings.push_back(std::move(ring));
    };
    for (std::size_t y = 1; y <= height; ++y)
        for (std::size_t x = 1; x <= width; ++x)
            if (on(x, y) && !on(x, y - 1) && walked[y * row + x] == 0) walk(x, y, east);
    return rings;
}

}  // namespace foldswing::hinge::detail_window
