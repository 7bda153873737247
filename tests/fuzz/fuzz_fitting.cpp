// Fits, moves and adjusters.
#include <array>
#include <foldswing/adjustment.hpp>
#include <foldswing/fitting.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

hinge::Landing landing(fuzz::Bytes& in) {
    const double turn = in.number();
    const Point point = in.point();
    const Point normal = in.point();
    const double offset = in.number();
    return {turn, point, normal, offset, std::abs(in.number()), static_cast<hinge::LandingKind>(in.below(3))};
}

fitting::HolesFit fit(fuzz::Bytes& in) {
    std::vector<fitting::Stop> stops;
    const std::size_t positions = 1 + in.below(4);
    for (std::size_t i = 0; i < positions; ++i) {
        const double turn = in.number();
        stops.push_back({turn, in.flag() ? 0.0 : std::abs(in.number())});
    }
    fitting::Known known;
    if (in.flag()) known.edge_errors = in.numbers(3);
    if (in.flag()) known.drilling_error = std::abs(in.number());
    if (in.flag()) known.apart_error = std::abs(in.number());
    std::vector<fitting::Reading> readings;
    const std::size_t n = in.below(10);
    for (std::size_t i = 0; i < n; ++i) {
        fitting::Reading r;
        r.stop = in.below(positions + 1);
        r.point = in.point();
        r.normal = in.point();
        r.offset = in.number();
        r.distance = in.number();
        r.standard_error = in.flag() ? 0.5 : std::abs(in.number());
        if (in.flag()) r.edge = in.below(3);
        readings.push_back(r);
    }
    if (in.flag()) known.pivot = {in.point(), {in.number(), in.number(), in.number()}};
    const Point panel = in.point();
    auto out = fitting::fit_holes(readings, stops, {panel, in.flag() ? panel : in.point()}, known);
    fuzz::require(out.checks.size() == n && !out.explanation.empty());
    const bool found = out.status != fitting::HolesStatus::not_converged;
    fuzz::require(!found || (std::isfinite(out.holes.panel.x) && std::isfinite(out.holes.body.y)));
    for (const auto& c : out.checks) fuzz::require(c.redundancy >= 0.0 && c.redundancy <= 1.0);
    return out;
}

void holes(fuzz::Bytes& in) { (void)fit(in); }

void moves(fuzz::Bytes& in) {
    const auto found = fit(in);
    std::vector<fitting::Target> targets;
    const std::size_t n = 1 + in.below(5);
    for (std::size_t i = 0; i < n; ++i)
        targets.push_back({landing(in), in.flag() ? fitting::kNoEdge : in.below(3), in.flag() ? 0.0 : in.number()});
    const std::vector<fitting::Which> all{fitting::Which::body, fitting::Which::panel, fitting::Which::both,
                                          fitting::Which::together};
    fitting::Setting setting{std::abs(in.number()), std::abs(in.number()), in.flag()};
    if (in.flag()) setting.panel_slot = {in.point(), in.number(), in.number()};
    if (in.flag()) setting.body_slot = {in.point(), in.number(), in.number()};
    const auto fix = fitting::correct(found, targets, setting, all);
    fuzz::require(fix.advised < fix.moves.size());
    for (const auto& m : fix.moves) fuzz::require(m.right_at_least >= 0.0 && m.right_at_least <= 1.0);
}

void pair(fuzz::Bytes& in) {
    const auto left = fit(in);
    const auto right = fit(in);
    const double span = in.number();
    const double bush = in.number();
    const auto turns = in.numbers(3);
    const double from = in.number();
    (void)fitting::pair_out_of_line(left, right, span, bush, turns, from, in.number());
}

void poses(fuzz::Bytes& in) {
    std::vector<Pose> given;
    const std::size_t n = in.below(6);
    for (std::size_t i = 0; i < n; ++i) given.push_back(in.pose());
    const auto weights = in.flag() ? std::vector<double>{} : in.numbers(6);
    const auto p = fitting::pivot_from_poses(given, weights);
    fuzz::require(p.residuals.size() == n);
    fuzz::require(p.status != hinge::PoleStatus::point || (std::isfinite(p.pivot.x) && std::isfinite(p.pivot.y)));
}

void trace(fuzz::Bytes& in) { (void)fitting::pivot_from_arc(in.points(8)); }

void agreement(fuzz::Bytes& in) {
    const fitting::FoundPivot one{in.point(), {in.number(), in.number(), in.number()}};
    const fitting::FoundPivot other{in.point(), {in.number(), in.number(), in.number()}};
    fuzz::require(fitting::agreement(one, other).apart >= 0.0);
}

void adjusters(fuzz::Bytes& in) {
    const hinge::Landing l = landing(in);
    const auto which = static_cast<fitting::Which>(in.below(5));
    const Point way = in.point();
    const double a = in.number();
    const double b = in.number();
    fuzz::call([&] { (void)adjustment::slot(l, which, way, a, b); });
    fuzz::call([&] { (void)adjustment::eccentric(l, which, a); });
    fuzz::call([&] {
        const auto s = adjustment::eccentric_settings(l, which, a, b);
        for (const double angle : s.angle_deg) fuzz::require(std::isnan(angle) || (angle >= 0.0 && angle < 360.0));
    });
    fuzz::call([&] { (void)adjustment::pad_shim(l, {in.point(), in.point()}, in.point(), way, a); });
}

void figures(fuzz::Bytes& in) {
    const double a = in.number();
    const double b = in.number();
    const double c = in.number();
    fuzz::call([&] { (void)fitting::ellipse({a, b, c}, in.number()); });
    fuzz::call([&] { (void)fitting::readings_to_average(a, b, c, in.number()); });
    fuzz::call([&] {
        const std::array<double, 2> again{c, in.number()};
        (void)fitting::measured_again({a, b}, again, in.number());
    });
    fuzz::call([&] { (void)fitting::drilling_ceiling(a, b, in.numbers(4)); });
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {holes, moves, pair, poses, trace, agreement, adjusters, figures});
}
