#include <algorithm>
#include <cmath>
#include <foldswing/pivot_window.hpp>
#include <limits>
#include <numeric>

#include "check.hpp"
#include "convex_ring.hpp"
#include "landing_rows.hpp"
#include "region.hpp"
#include "segment.hpp"
#include "window_parts.hpp"

namespace foldswing::hinge {
namespace {

using detail::cross;
using detail::dot;
using detail::HalfPlane;
using detail::kParallel;
using detail::square_to;
using detail_pivot::kRoundoffRel;
using detail_pivot::Row;
using detail_window::Box;
using detail_window::box_of;
using detail_window::clip;
using detail_window::Convex;
using detail_window::rectangle;
using detail_window::Run;
using detail_window::sharpen;

constexpr double kThinRel = 1e-11;      // of the size: some roundings wide, thinner is a line
constexpr double kOnRel = 1e-10;        // of the size: corners this near to a line lie on it
constexpr double kFarthestPlace = 1e9;  // mm, a thousand kilometres
constexpr double kLeastReach = 1000.0;  // mm, of what is shown of an unbounded window

/// What the landings ask, counted from an anchor near by.
class Asked {
  public:
    Asked(std::span<const Landing> landings, Point anchor) : anchor_(anchor) {
        if (!landings.empty()) rows_ = detail_pivot::turning_rows(landings, anchor);
        detail_pivot::Planes planes(rows_);
        for (const Row& r : rows_) planes.add(r, 1.0);
        planes_ = planes.list();
        std::vector<bool> turning(landings.size(), false);
        for (const Row& r : rows_) {
            turning[r.index] = true;
            size_ = std::max(size_, r.size);
            if (r.landing->kind() != LandingKind::at_least) add_limit(r, true);
            if (r.landing->kind() != LandingKind::at_most) add_limit(r, false);
        }
        for (std::size_t i = 0; i < landings.size(); ++i) {
            if (turning[i]) continue;
            const Landing& l = landings[i];
            met_ = met_ && l.breach(l.miss(l.point())) <= l.tolerance() + kRoundoffRel * detail_pivot::size_of(l);
        }
    }
    [[nodiscard]] Point anchor() const { return anchor_; }
    [[nodiscard]] const std::vector<HalfPlane>& planes() const { return planes_; }
    [[nodiscard]] const std::vector<WindowLimit>& limits() const { return limits_; }
    [[nodiscard]] bool whole_turns_met() const { return met_; }
    [[nodiscard]] double size() const { return size_; }

  private:
    void add_limit(const Row& r, bool upper) {
        const HalfPlane& h = planes_[limits_.size()];
        limits_.push_back({h.u.x + 0.0, h.u.y + 0.0, h.c + dot(h.u, anchor_), r.index, upper});
    }
    Point anchor_;
    std::vector<Row> rows_;
    std::vector<HalfPlane> planes_;  // counted from the anchor, in the order of limits_
    std::vector<WindowLimit> limits_;
    bool met_ = true;
    double size_ = 0.0;
};

/// The line two half-planes leave between them where they just meet, as far as the others let it go.
struct Slit {
    Point at;
    Point along;
    double from = 0.0;
    double to = 0.0;
};

Slit slit(const std::vector<HalfPlane>& planes, Point at, double thin, double reach) {
    for (std::size_t i = 0; i < planes.size(); ++i)
        for (std::size_t j = i + 1; j < planes.size(); ++j) {
            if (dot(planes[i].u, planes[j].u) > 0.0 || std::abs(cross(planes[i].u, planes[j].u)) > kParallel ||
                planes[i].c + planes[j].c > 2.0 * thin)
                continue;
            Slit s{at, square_to(planes[i].u), -reach, reach};
            for (const HalfPlane& h : planes) {
                const double slope = dot(h.u, s.along);
                if (std::abs(slope) <= kParallel) continue;
                const double bound = (h.c - dot(h.u, at)) / slope;
                if (slope > 0.0)
                    s.to = std::min(s.to, bound);
                else
                    s.from = std::max(s.from, bound);
            }
            if (s.to - s.from > thin) return s;
            return {at, s.along, 0.0, 0.0};
        }
    return {at, {1.0, 0.0}, 0.0, 0.0};
}

bool covered(std::span<const Outline> region, Point p) {
    return std::any_of(region.begin(), region.end(), [&](const Outline& o) { return locate(o, p) != Place::outside; });
}

Outline shifted(const Outline& o, Point by) { return o.moved({by.x, by.y, 0.0}); }

std::vector<Outline> shifted(std::span<const Outline> outlines, Point by) {
    std::vector<Outline> out;
    out.reserve(outlines.size());
    for (const Outline& o : outlines) out.push_back(shifted(o, by));
    return out;
}

void require_bounded(const PivotWindow& window) {
    if (!window.bounded)
        throw InvalidInput("within", "none", "an allowed region: the landings alone leave the window without end");
}

class Builder {
  public:
    Builder(std::span<const Landing> landings, std::span<const Outline> within)
        : landings_(landings),
          within_(within.size() > 1 ? unite(within) : std::vector<Outline>(within.begin(), within.end())) {
        const Box allowed = box_of(within_);
        const Point anchor = within_.empty() ? detail_pivot::mean_point(landings)
                                             : Point{std::midpoint(allowed.low.x, allowed.high.x),
                                                     std::midpoint(allowed.low.y, allowed.high.y)};
        asked_.emplace(landings, anchor);
        near_ = shifted(within_, -1.0 * anchor);
        size_ = std::max({asked_->size(), allowed.low.x <= allowed.high.x ? allowed.size() : 0.0, 1e-300});
    }

    PivotWindow build(std::span<const FreeStop> free, double sagitta) {
        out_.limits = asked_->limits();
        if (asked_->whole_turns_met()) find();
        if (out_.status == WindowStatus::none) out_.bounded = true;
        out_.outer = out_.outlines;
        if (!free.empty() && out_.status != WindowStatus::none) cut_by_free(free, sagitta);
        return std::move(out_);
    }

    /// Names what stops the pivot on each side of the window.
    void name_sides(PivotWindow& out) const {
        out.sides.clear();
        const double on = kOnRel * size_;
        const auto lies_on = [&](Point p, Point q, detail::Segment s) {
            return detail::distance2(s, p) <= on * on && detail::distance2(s, q) <= on * on;
        };
        const std::vector<detail::Segment> landed = sides_of(out.landed);
        const std::vector<detail::Segment> fixed = sides_of(fixed_);
        const auto off = [&](Point a, Point b, const std::vector<detail::Segment>& edges) {
            return !edges.empty() &&
                   std::none_of(edges.begin(), edges.end(), [&](const detail::Segment& s) { return lies_on(a, b, s); });
        };
        const auto stops = [&](Point a, Point b) -> std::int32_t {
            const Point p = a - asked_->anchor();
            const Point q = b - asked_->anchor();
            double nearest = on;
            std::int32_t found = WindowSide::kAllowed;
            const auto& planes = asked_->planes();
            for (std::size_t k = 0; k < planes.size(); ++k) {
                if (cross(planes[k].u, q - p) <= 0.0) continue;  // not with the metal on the left
                const double apart =
                    std::max(std::abs(dot(planes[k].u, p) - planes[k].c), std::abs(dot(planes[k].u, q) - planes[k].c));
                if (apart <= nearest) {
                    nearest = apart;
                    found = static_cast<std::int32_t>(k);
                }
            }
            if (found >= 0) return found;
            if (off(a, b, landed)) return WindowSide::kSwing;
            if (off(a, b, fixed)) return WindowSide::kFree;
            return within_.empty() ? WindowSide::kOpen : WindowSide::kAllowed;
        };
        for (const Outline& o : out.outlines)
            detail::for_each_side(o, [&](Point a, Point b) { out.sides.push_back({a, b, stops(a, b)}); });
    }

  private:
    static std::vector<detail::Segment> sides_of(std::span<const Outline> outlines) {
        std::vector<detail::Segment> out;
        for (const Outline& o : outlines) detail::for_each_side(o, [&](Point a, Point b) { out.push_back({a, b}); });
        return out;
    }

    void cut_by_free(std::span<const FreeStop> free, double sagitta) {
        require_bounded(out_);
        fixed_ = out_.outlines;
        for (const FreeStop& f : free) detail_window::cut_by(f, sagitta, out_);
        if (out_.status == WindowStatus::any) out_.status = WindowStatus::window;
        if (out_.outlines.empty() && out_.runs.empty()) out_.status = WindowStatus::none;
    }

    void find() {
        const auto& planes = asked_->planes();
        if (planes.empty()) {
            out_.status = WindowStatus::any;
            out_.outlines = within_;
            out_.bounded = !within_.empty();
            return;
        }
        const detail::Meeting meeting = detail::meet(planes, {});
        if (meeting.widening > 0.0) return;
        const double far = std::max(std::abs(meeting.x.x), std::abs(meeting.x.y));
        if (within_.empty() && !(far <= kFarthestPlace)) return;
        const double thin = kThinRel * std::max(size_, within_.empty() ? far : 0.0);
        std::vector<HalfPlane> drawn_in = planes;
        for (HalfPlane& h : drawn_in) {
            h.c -= thin;
            h.slack = 0.0;
        }
        if (detail::meet(drawn_in, meeting.x).widening == 0.0)
            find_region();
        else
            find_slit(meeting.x, thin);
    }

    void find_region() {
        const auto& planes = asked_->planes();
        Box box = box_of(near_);
        if (within_.empty())
            box = {{-kFarthestPlace, -kFarthestPlace}, {kFarthestPlace, kFarthestPlace}};
        else
            box.grow(0.25 * box.size());
        const auto cut_from = [&](const Box& from) {
            Convex ring = rectangle(from);
            for (std::size_t k = 0; k < planes.size() && !ring.corners.empty(); ++k)
                clip(ring, planes[k], static_cast<std::int32_t>(k));
            sharpen(ring, planes);
            return ring;
        };
        Convex ring = cut_from(box);
        if (within_.empty() && std::count(ring.of.begin(), ring.of.end(), -1) > 0) {
            out_.bounded = false;
            Box shown;
            for (std::size_t i = 0; i < ring.corners.size(); ++i)
                if (ring.of[i] >= 0 && ring.of[(i + ring.of.size() - 1) % ring.of.size()] >= 0)
                    shown.add(ring.corners[i]);
            shown.add(detail::meet(planes, {}).x);
            shown.grow(std::max({kLeastReach, 2.0 * shown.size(), 2.0 * size_}));
            ring = cut_from(shown);
        }
        if (ring.corners.size() < 3) return;
        try {
            const Outline whole(ring.corners);
            const std::vector<Outline> parts = near_.empty()
                                                   ? std::vector<Outline>{whole}
                                                   : detail_window::common(near_, std::vector<Ring>{whole.corners()});
            out_.outlines = shifted(parts, asked_->anchor());
        } catch (const InvalidInput&) {
            return;  // within the allowed region's box it is thinner than rounding
        }
        if (!out_.outlines.empty()) out_.status = WindowStatus::window;
    }

    void find_slit(Point at, double thin) {
        const double reach =
            within_.empty() ? kFarthestPlace : 4.0 * box_of(near_).size() + std::abs(at.x) + std::abs(at.y);
        Slit s = slit(asked_->planes(), at, thin, reach);
        const Point anchor = asked_->anchor();
        if (s.from == s.to) {
            if (!within_.empty() && !covered(within_, anchor + at)) return;
            out_.status = WindowStatus::point;
            out_.runs = {{anchor + at, anchor + at}};
            return;
        }
        if (within_.empty()) {
            const bool ends = s.from > -reach && s.to < reach;
            out_.bounded = ends;
            const double shown = std::max({kLeastReach, 4.0 * size_});
            if (s.from == -reach) s.from = std::min(-shown, s.to - shown);
            if (s.to == reach) s.to = std::max(shown, s.from + shown);
            out_.runs = {{anchor + at + s.from * s.along, anchor + at + s.to * s.along}};
        } else {
            for (const Run& r : detail_window::runs_in(near_, at + s.from * s.along, at + s.to * s.along))
                out_.runs.push_back({anchor + r[0], anchor + r[1]});
        }
        if (!out_.runs.empty()) out_.status = WindowStatus::line;
    }

    std::span<const Landing> landings_;
    std::vector<Outline> within_;
    std::vector<Outline> near_;  // the allowed region counted from the anchor
    std::optional<Asked> asked_;
    std::vector<Outline> fixed_;  // the window before stops with a free angle cut it
    double size_ = 0.0;
    PivotWindow out_;
};

void require_swing(const Swing& swing) {
    if (swing.panel.empty()) throw InvalidInput("panel", "none", "at least one Outline");
    if (swing.clear_of.empty()) throw InvalidInput("clear_of", "none", "at least one Outline");
    detail::require_finite("travel_from_deg", swing.turn_from_deg);
    detail::require_finite("travel_to_deg", swing.turn_to_deg);
    detail::require_not_negative("gap", swing.gap);
    detail::require_positive("cell", swing.cell);
}

/// The parts of a run that lie in clear cells.
std::vector<Run> clear_runs(const Run& run, std::span<const Cell> cells) {
    std::vector<std::pair<double, double>> spans;
    const Point d = run[1] - run[0];
    for (const Cell& c : cells) {
        if (c.status != CellStatus::clear) continue;
        double from = 0.0;
        double to = 1.0;
        const auto slab = [&](double start, double way, double low, double high) {
            if (way == 0.0) {
                if (start < low || start > high) to = -1.0;
                return;
            }
            const auto [t0, t1] = std::minmax({(low - start) / way, (high - start) / way});
            from = std::max(from, t0);
            to = std::min(to, t1);
        };
        slab(run[0].x, d.x, c.low.x, c.low.x + c.side);
        slab(run[0].y, d.y, c.low.y, c.low.y + c.side);
        if (from <= to) spans.emplace_back(from, to);
    }
    std::sort(spans.begin(), spans.end());
    std::vector<Run> out;
    double end = -1.0;
    for (const auto& [from, to] : spans) {
        if (out.empty() || from > end + kThinRel) {
            out.push_back({detail::along({run[0], run[1]}, from), detail::along({run[0], run[1]}, to)});
            end = to;
        } else if (to > end) {
            out.back()[1] = detail::along({run[0], run[1]}, to);
            end = to;
        }
    }
    return out;
}

void judge_swing(PivotWindow& out, const Swing& swing) {
    out.landed = out.outlines;
    out.cells = detail_window::judge_cells(swing, out.outlines, out.runs);
    Box box = box_of(out.outlines);
    for (const Run& r : out.runs)
        for (const Point p : r) box.add(p);
    for (const Cell& c : out.cells) {
        const double width = std::min(c.low.x + c.side, box.high.x) - std::max(c.low.x, box.low.x);
        const double height = std::min(c.low.y + c.side, box.high.y) - std::max(c.low.y, box.low.y);
        double& sum = c.status == CellStatus::clear
                          ? out.clear_area
                          : (c.status == CellStatus::fouled ? out.fouled_area : out.undecided_area);
        sum += std::max(width, 0.0) * std::max(height, 0.0);
    }
    if (!out.outlines.empty()) {
        const std::vector<Ring> clear = detail_window::rings_round_clear(out.cells, swing.cell);
        out.outlines = clear.empty() ? std::vector<Outline>{} : detail_window::common(out.outlines, clear);
        out.status = out.outlines.empty() ? WindowStatus::none : WindowStatus::window;
    }
    std::vector<Run> runs;
    for (const Run& r : out.runs)
        for (const Run& clear : clear_runs(r, out.cells)) runs.push_back(clear);
    if (!out.runs.empty() && runs.empty()) out.status = WindowStatus::none;
    out.runs = std::move(runs);
}

void find_best(PivotWindow& out) {
    if (!out.outlines.empty()) {
        out.best = largest_circle(out.outlines);
        for (const WindowSide& s : out.sides)
            if (s.limit == WindowSide::kOpen &&
                detail::distance2({s.from, s.to}, out.best.centre) <= out.best.radius * out.best.radius * (1.0 + 1e-9))
                out.best.radius = std::numeric_limits<double>::infinity();
    } else if (!out.runs.empty()) {
        const auto longest = std::max_element(out.runs.begin(), out.runs.end(), [](const Run& a, const Run& b) {
            return detail::span(a[0], a[1]) < detail::span(b[0], b[1]);
        });
        out.best = {{std::midpoint((*longest)[0].x, (*longest)[1].x), std::midpoint((*longest)[0].y, (*longest)[1].y)},
                    0.0};
    } else if (out.status == WindowStatus::any) {
        out.best.radius = std::numeric_limits<double>::infinity();
    }
}

}  // namespace

namespace detail_window {

std::vector<Run> runs_in(std::span<const Outline> region, Point from, Point to) {
    const detail::Segment line{from, to};
    const Point d = to - from;
    std::vector<double> cuts{0.0, 1.0};
    for (const Outline& o : region)
        detail::for_each_side(o, [&](Point a, Point b) {
            const double ea = cross(d, a - from);
            const double eb = cross(d, b - from);
            if ((ea < 0.0) != (eb < 0.0)) cuts.push_back(detail::crossing_fraction(line, {a, b}));
            for (const Point p : {a, b})
                if (cross(d, p - from) == 0.0) cuts.push_back(detail::nearest_fraction(line, p));
        });
    std::sort(cuts.begin(), cuts.end());
    std::vector<Run> out;
    double end = -1.0;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        if (cuts[i + 1] <= cuts[i] || !covered(region, detail::along(line, std::midpoint(cuts[i], cuts[i + 1]))))
            continue;
        if (!out.empty() && end == cuts[i])
            out.back()[1] = detail::along(line, cuts[i + 1]);
        else
            out.push_back({detail::along(line, cuts[i]), detail::along(line, cuts[i + 1])});
        end = cuts[i + 1];
    }
    return out;
}

std::vector<Ring> rings_of(std::span<const Outline> outlines) {
    std::vector<Ring> rings;
    for (const Outline& o : outlines) {
        rings.push_back(o.corners());
        rings.insert(rings.end(), o.holes().begin(), o.holes().end());
    }
    return rings;
}

std::vector<Outline> common(std::span<const Outline> region, std::span<const Ring> rings) {
    // Both wind round a point once each; a ring round everything the other way leaves 1 where both do.
    std::vector<Ring> all = rings_of(region);
    all.insert(all.end(), rings.begin(), rings.end());
    double most = 0.0;
    for (const Ring& ring : all)
        for (const Point p : ring) most = std::max({most, std::abs(p.x), std::abs(p.y)});
    const double round = 1.5 * most;
    all.push_back({{-round, -round}, {-round, round}, {round, round}, {round, -round}});
    return detail::region(all);
}

}  // namespace detail_window

const char* word(WindowStatus status) noexcept {
    switch (status) {
        case WindowStatus::window:
            return "window";
        case WindowStatus::line:
            return "line";
        case WindowStatus::point:
            return "point";
        case WindowStatus::any:
            return "any";
        case WindowStatus::none:
            break;
    }
    return "none";
}

PivotWindow pivot_window(std::span<const Landing> landings, std::span<const Outline> within,
                         const std::optional<Swing>& swing, std::span<const FreeStop> free, double sagitta) {
    if (landings.empty() && within.empty())
        throw InvalidInput("landings", "none", "at least one Landing, or a region within which the pivot may be");
    if (swing) require_swing(*swing);
    detail::require_positive("sagitta", sagitta);
    for (std::size_t i = 0; i < free.size(); ++i) detail_window::require_valid(free[i], i);
    Builder builder(landings, within);
    PivotWindow out = builder.build(free, sagitta);
    if (swing && out.status != WindowStatus::none) {
        require_bounded(out);
        judge_swing(out, *swing);
    }
    builder.name_sides(out);
    find_best(out);
    detail_window::name_binding(landings, out);
    out.explanation = detail_window::explain(landings, out, !within.empty(), !free.empty(), swing ? &*swing : nullptr);
    return out;
}

}  // namespace foldswing::hinge
