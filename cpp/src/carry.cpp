#include <algorithm>
#include <cmath>
#include <foldswing/carry.hpp>
#include <numbers>
#include <utility>

#include "check.hpp"
#include "degrees.hpp"
#include "section.hpp"

namespace foldswing::blank {
namespace {

constexpr std::size_t index(Face face) noexcept { return static_cast<std::size_t>(face); }

Point direction(double heading_deg) noexcept {
    const auto [s, c] = detail::sin_cos_deg(heading_deg);
    return {c, s};
}
Point left_of(Point d) noexcept { return {-d.y, d.x}; }
double dot(Point a, Point b) noexcept { return a.x * b.x + a.y * b.y; }
double norm(Point a) noexcept { return std::hypot(a.x, a.y); }

/// Places that are off an end by the rounding of a sum of lengths are taken for the end.
constexpr double kRoundingRel = 1e-12;

double on_length(const char* name, double along, double length) {
    detail::require_finite(name, along);
    const double rounding = kRoundingRel * length;
    if (along < -rounding || along > length + rounding)
        throw InvalidInput(name, along, "on the blank, from 0 to " + detail::number_text(length));
    return std::clamp(along, 0.0, length);
}

/// Where a stretch begins and ends on one axis (the blank, or a face) and on another.
struct Interval {
    double from = 0.0;
    double to = 0.0;
    double to_from = 0.0;
    double to_to = 0.0;
    bool bend = false;
    [[nodiscard]] double map(double at) const noexcept {
        if (!bend) return to_from + (at - from);
        if (at == to || to == from) return at == from ? to_from : to_to;
        return to_from + (to_to - to_from) * ((at - from) / (to - from));
    }
    [[nodiscard]] double ratio() const noexcept { return bend ? (to_to - to_from) / (to - from) : 1.0; }
};

std::vector<Interval> intervals(const std::vector<Stretch>& stretches, std::size_t face, bool from_face) {
    std::vector<Interval> out;
    for (const Stretch& s : stretches) {
        Interval i{s.from, s.to, s.face_from[face], s.face_to[face], s.turn_deg != 0.0};
        if (from_face) i = {i.to_from, i.to_to, i.from, i.to, i.bend};
        out.push_back(i);
    }
    return out;
}

/// The stretch whose open interval holds `at`; at a joint the first that has any length.
const Interval& holding(const std::vector<Interval>& all, double at) {
    for (const Interval& i : all)
        if (i.to > i.from && at <= i.to) return i;
    return all.back();
}

class Carrier {
  public:
    Carrier(std::vector<Interval> all, double sagitta) : all_(std::move(all)), sagitta_(sagitta) {}

    Path carry(const Path& path) {
        const double length = all_.back().to;
        for (const Point p : path.points()) static_cast<void>(on_length("path", p.x, length));
        for (std::size_t i = 0; i < path.size(); ++i) segment(path, i);
        if (path.closed()) {
            if (points_.size() > 1 && points_.back() == points_.front()) {
                points_.pop_back();
            } else {
                sweep_deg_.push_back(0.0);
            }
        }
        return {std::move(points_), std::move(sweep_deg_), path.closed()};
    }

  private:
    void segment(const Path& path, std::size_t i) {
        std::vector<double> cuts{0.0, 1.0};
        for (const Interval& each : all_) crossings(path, i, each.from, cuts);
        std::ranges::sort(cuts);
        for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
            const double t0 = cuts[k];
            const double t1 = cuts[k + 1];
            if (!(t1 > t0)) continue;
            const Interval& on = holding(all_, std::clamp(path.at(i, 0.5 * (t0 + t1)).x, 0.0, all_.back().to));
            piece(path, i, t0, t1, on);
        }
    }
    static Point at(const Path& path, std::size_t i, double t) {
        return t == 0.0 ? path.start(i) : t == 1.0 ? path.end(i) : path.at(i, t);
    }
    void piece(const Path& path, std::size_t i, double t0, double t1, const Interval& on) {
        const double sweep = path.sweep_deg()[i] * (t1 - t0);
        // A cut at a joint may miss it by a rounding: the end belongs to this stretch.
        const auto mapped = [&](double t) {
            const Point p = at(path, i, t);
            return Point{on.map(std::clamp(p.x, on.from, on.to)), p.y};
        };
        to(mapped(t0), 0.0);
        if (path.sweep_deg()[i] == 0.0 || !on.bend) {
            to(mapped(t1), sweep);
            return;
        }
        const double radius = path.radius(i);
        const double fine = sagitta_ / std::max(1.0, on.ratio());
        const double step = 4.0 * std::asin(std::sqrt(std::min(1.0, 0.5 * fine / radius)));
        const double turned = std::fabs(sweep) * detail::kDegree;
        constexpr double kMostPoints = 1e6;
        const double n = std::ceil(turned / step);
        detail::require(n <= kMostPoints, "sagitta", sagitta_, "coarse enough for a million points");
        const auto steps = static_cast<std::size_t>(n);
        for (std::size_t k = 1; k <= steps; ++k) {
            const double share = static_cast<double>(k) / n;
            to(mapped(k == steps ? t1 : t0 + (t1 - t0) * share), 0.0);
        }
    }
    void to(Point p, double sweep) {
        if (points_.empty()) {
            points_.push_back(p);
            return;
        }
        if (p == points_.back()) return;
        points_.push_back(p);
        sweep_deg_.push_back(sweep);
    }
    /// Where segment i crosses the line x = at.
    static void crossings(const Path& path, std::size_t i, double at, std::vector<double>& cuts) {
        const auto keep = [&](double t) {
            if (t > 0.0 && t < 1.0) cuts.push_back(t);
        };
        const Point a = path.start(i);
        const Point b = path.end(i);
        const double sweep = path.sweep_deg()[i];
        if (sweep == 0.0) {
            if (a.x != b.x) keep((at - a.x) / (b.x - a.x));
            return;
        }
        const Point c = path.centre(i);
        const double r = path.radius(i);
        const double off = at - c.x;
        if (!(std::fabs(off) < r)) return;
        const double up = std::sqrt((r - off) * (r + off));
        const double begin = std::atan2(a.y - c.y, a.x - c.x);
        for (const double y : {up, -up}) {
            double turn = std::remainder(std::atan2(y, off) - begin, 2.0 * std::numbers::pi) / detail::kDegree;
            if (turn * sweep < 0.0) turn += std::copysign(360.0, sweep);
            keep(turn / sweep);
        }
    }

    std::vector<Interval> all_;
    double sagitta_;
    std::vector<Point> points_;
    std::vector<double> sweep_deg_;
};

}  // namespace

FoldMap::FoldMap(const Profile& profile, std::size_t held) : length_(profile.developed_length()) {
    if (held >= profile.flats().size())
        throw InvalidInput("held", static_cast<double>(held),
                           "one of the flats, 0 to " + std::to_string(profile.flats().size() - 1));
    const auto pieces = detail::fold(profile.parts(), profile.flats(), profile.thickness());
    const detail::Piece& still = pieces[2 * held];
    const Pose turned{0.0, 0.0, -still.heading_deg};
    const Point shift = Point{profile.flats()[held].start, 0.0} - turned.apply(still.lower_start);
    const auto moved = [&](Point p) { return turned.apply(p) + shift; };
    std::array<double, 2> run{};
    for (const detail::Piece& p : pieces) {
        Stretch s;
        s.part = p.part;
        s.radius = {p.lower_radius, p.upper_radius};
        s.turn_deg = p.turn_deg;
        s.heading_deg = p.heading_deg - still.heading_deg;
        s.start = {moved(p.lower_start), moved(p.upper_start)};
        s.centre = moved(p.centre);
        if (p.bend) {
            const BendLine& line = profile.bend_lines()[p.part / 2];
            s.from = line.tangent[0];
            s.to = line.tangent[1];
        } else {
            s.from = profile.flats()[p.part / 2].start;
            s.to = profile.flats()[p.part / 2].end;
        }
        for (std::size_t f = 0; f < 2; ++f) {
            s.face_from[f] = run[f];
            run[f] += p.bend ? std::fabs(p.turn_deg) * detail::kDegree * s.radius[f] : p.length;
            s.face_to[f] = run[f];
        }
        stretches_.push_back(s);
    }
}

std::vector<FlatSpan> measured_spans(const Profile& profile) {
    std::vector<FlatSpan> out = profile.flats();
    const auto& bends = profile.bend_lines();
    const auto past = [&](Measured measured, const BendLine& line) {
        return bend::end_correction(measured, line.angle_deg, line.radius, profile.thickness());
    };
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto& flat = std::get<Flat>(profile.parts()[2 * i]);
        if (i > 0) out[i].start -= past(flat.start, bends[i - 1]);
        if (i < bends.size()) out[i].end += past(flat.end, bends[i]);
        out[i].length = flat.length;
    }
    return out;
}

double FoldMap::face_length(Face face) const noexcept { return stretches_.back().face_to[index(face)]; }

namespace {

const Stretch& stretch_at(const std::vector<Stretch>& all, double along) {
    for (const Stretch& s : all)
        if (along <= s.to && s.to > s.from) return s;
    return all.back();
}

/// Unit normal out of the upper face, that share of the way through a stretch.
Point normal_at(const Stretch& s, double share) { return left_of(direction(s.heading_deg + share * s.turn_deg)); }

double share_of(const Stretch& s, double along) {
    if (s.to == s.from) return 0.0;
    return along == s.to ? 1.0 : (along - s.from) / (s.to - s.from);
}

Point folded_at(const Stretch& s, double along, std::size_t face) {
    if (s.turn_deg == 0.0) return s.start[face] + (along - s.from) * direction(s.heading_deg);
    const double sign = s.turn_deg > 0.0 ? 1.0 : -1.0;
    return s.centre - (sign * s.radius[face]) * normal_at(s, share_of(s, along));
}

}  // namespace

Point FoldMap::to_folded(double along, Face face) const {
    const double at = on_length("along", along, length_);
    return folded_at(stretch_at(stretches_, at), at, index(face));
}

Point FoldMap::upward(double along) const {
    const double at = on_length("along", along, length_);
    const Stretch& s = stretch_at(stretches_, at);
    return normal_at(s, share_of(s, at));
}

std::vector<BlankPlace> FoldMap::to_blank(Point at, Face face, double within) const {
    detail::require_finite("at", at.x);
    detail::require_finite("at", at.y);
    detail::require_not_negative("within", within);
    const std::size_t f = index(face);
    struct Found {
        BlankPlace place;
        bool low = false;   // held at the stretch's start
        bool high = false;  // held at its end
        bool met = false;
        bool crease = false;
    };
    std::vector<Found> found;
    for (const Stretch& s : stretches_) {
        Found here;
        here.place.part = s.part;
        double share = 0.0;
        if (s.turn_deg == 0.0) {
            const double run = s.to - s.from;
            const double along = dot(at - s.start[f], direction(s.heading_deg));
            here.low = !(along > 0.0);
            here.high = !here.low && along >= run;
            here.place.along = here.low ? s.from : here.high ? s.to : s.from + along;
        } else if (s.radius[f] == 0.0) {
            here.low = here.high = true;
            here.place.along = s.from + 0.5 * (s.to - s.from);
        } else {
            const double sign = s.turn_deg > 0.0 ? 1.0 : -1.0;
            const Point start = -sign * normal_at(s, 0.0);
            const Point v = at - s.centre;
            const double across = sign * (start.x * v.y - start.y * v.x);
            const double turned = std::atan2(across, dot(start, v)) / detail::kDegree;
            const double whole = std::fabs(s.turn_deg);
            // Behind the bend the nearer end holds: half of what is left of the circle goes to either.
            const double folded = turned < 0.0 && turned < 0.5 * whole - 180.0 ? turned + 360.0 : turned;
            share = folded / whole;
            here.low = !(share > 0.0);
            here.high = !here.low && share >= 1.0;
            here.place.along = here.low ? s.from : here.high ? s.to : s.from + share * (s.to - s.from);
        }
        here.crease = s.turn_deg != 0.0 && s.radius[f] == 0.0;
        here.place.miss = norm(at - (here.crease ? s.centre : folded_at(s, here.place.along, f)));
        here.met = here.place.miss <= within;
        found.push_back(here);
    }
    // At a joint of two stretches both are met: it is one place, which the nearest names, of equals the first. A crease
    // gives way to the flats beside it.
    std::vector<BlankPlace> out;
    for (std::size_t i = 0; i < found.size();) {
        if (!found[i].met) {
            ++i;
            continue;
        }
        std::size_t last = i;
        const auto joined = [&](const Found& a, const Found& b) {
            return b.met && (a.crease || b.crease || (a.high && b.low));
        };
        while (last + 1 < found.size() && joined(found[last], found[last + 1])) ++last;
        const Found* best = &found[i];
        for (std::size_t k = i + 1; k <= last; ++k) {
            const Found& here = found[k];
            if (here.crease != best->crease ? best->crease : here.place.miss < best->place.miss) best = &here;
        }
        out.push_back(best->place);
        i = last + 1;
    }
    return out;
}

double FoldMap::to_face(double along, Face face) const {
    const auto all = intervals(stretches_, index(face), false);
    const double at = on_length("along", along, length_);
    return holding(all, at).map(at);
}

double FoldMap::from_face(double along_face, Face face) const {
    const auto all = intervals(stretches_, index(face), true);
    const double at = on_length("along_face", along_face, face_length(face));
    return holding(all, at).map(at);
}

Path FoldMap::path_from_face(const Path& path, Face face, double sagitta) const {
    detail::require_positive("sagitta", sagitta);
    return Carrier(intervals(stretches_, index(face), true), sagitta).carry(path);
}

Path FoldMap::path_to_face(const Path& path, Face face, double sagitta) const {
    detail::require_positive("sagitta", sagitta);
    return Carrier(intervals(stretches_, index(face), false), sagitta).carry(path);
}

}  // namespace foldswing::blank
