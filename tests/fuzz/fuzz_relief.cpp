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

/// Small sections near a pivot: large ones have arcs of thousands of chords, which are slow under the sanitizers.
double near(fuzz::Bytes& in) {
    const double any = in.below(16) == 0 ? in.number() : 0.0;
    return std::abs(any) > 100.0 && std::abs(any) < 1e6 ? 100.0 : any + 0.25 * static_cast<double>(in.byte()) - 32.0;
}

Path section(fuzz::Bytes& in) {
    Ring ring;
    if (in.flag()) {
        const Point low{near(in), near(in)};
        const Point high =
            low + Point{1.0 + static_cast<double>(in.below(40)), 1.0 + static_cast<double>(in.below(40))};
        ring = {low, {high.x, low.y}, high, {low.x, high.y}};
    } else {
        for (std::size_t n = 3 + in.below(5); n > 0; --n) ring.push_back({near(in), near(in)});
    }
    std::vector<double> sweeps;
    for (std::size_t i = 0; i < ring.size(); ++i)
        sweeps.push_back(in.below(4) != 0 ? 0.0 : 15.0 * (static_cast<double>(in.below(24)) - 12.0));
    return {std::move(ring), std::move(sweeps), true};
}

void reliefs(fuzz::Bytes& in) {
    const Path panel = section(in);
    const Path body = section(in);
    const Point pivot{near(in), near(in)};
    const double from = in.below(4) == 0 ? in.number() : 0.0;
    const PlainTurn turn{pivot, from,
                         in.below(4) == 0 ? in.number() : 15.0 * (static_cast<double>(in.below(49)) - 24.0)};
    const double gap = in.below(8) == 0 ? -in.number() * 1e-2 : 0.125 * static_cast<double>(in.below(32));
    const relief::Relief r = in.flag() ? relief::off_body({&panel, 1}, {&body, 1}, turn, gap, 0.3)
                                       : relief::off_panel({&panel, 1}, {&body, 1}, turn, gap, 0.3);
    fuzz::require(r.area >= 0.0 && r.cuts.size() >= r.outlines.size());
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {seams, edges, reliefs});
}
