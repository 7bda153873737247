// Seams and reliefs: any readings, edges and sections give an answer that keeps its promises, or are refused.
#include <foldswing/relief.hpp>
#include <foldswing/seam.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

void seams(fuzz::Bytes& in) {
    std::vector<seam::Place> places;
    double at = in.number();
    for (std::size_t n = in.below(12); n > 0; --n) {
        places.push_back({at, in.number()});
        at += std::abs(in.number());
    }
    const seam::Seam s = seam::along(places, in.number(), std::abs(in.number()));
    fuzz::require(!s.stretches.empty() && s.stretches.front().from == places.front());
    fuzz::require(s.stretches.back().to == places.back() && s.smallest.gap <= s.largest.gap);
}

Path edge(fuzz::Bytes& in) {
    std::vector<Point> points = in.points(6);
    std::vector<double> sweeps;
    for (std::size_t i = 1; i < points.size(); ++i) sweeps.push_back(in.flag() ? 0.0 : in.number());
    return {std::move(points), std::move(sweeps)};
}

void edges(fuzz::Bytes& in) {
    const Path panel = edge(in);
    const seam::Seam s = seam::between(panel, edge(in), in.number(), std::abs(in.number()));
    fuzz::require(s.places.size() >= 2);
}

Path section(fuzz::Bytes& in) {
    Ring ring = in.ring();
    std::vector<double> sweeps;
    for (std::size_t i = 0; i < ring.size(); ++i)
        sweeps.push_back(in.below(4) != 0 ? 0.0 : 15.0 * (in.below(24) - 12.0));
    return {std::move(ring), std::move(sweeps), true};
}

void reliefs(fuzz::Bytes& in) {
    const Path panel = section(in);
    const Path body = section(in);
    const PlainTurn turn{in.point(), in.number(), in.number()};
    const double gap = in.flag() ? 0.0 : std::abs(in.number());
    const relief::Relief r = in.flag() ? relief::off_body({&panel, 1}, {&body, 1}, turn, gap, 0.3)
                                       : relief::off_panel({&panel, 1}, {&body, 1}, turn, gap, 0.3);
    fuzz::require(r.area >= 0.0 && r.cuts.size() >= r.outlines.size());
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {seams, edges, reliefs});
}
