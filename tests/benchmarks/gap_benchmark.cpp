// Times minimum_gap from C++ on the scene that speed.py writes to standard input: corner counts and corners of the
// panel and of the body, pivot, both turns, number of calls. Prints the gap and the microseconds for a call (best of
// five).
#include <algorithm>
#include <chrono>
#include <foldswing/clearance.hpp>
#include <foldswing/hinge.hpp>
#include <iomanip>
#include <iostream>
#include <limits>

namespace {

foldswing::Outline read_outline() {
    std::size_t n = 0;
    std::cin >> n;
    foldswing::Ring ring(n);
    for (auto& p : ring) std::cin >> p.x >> p.y;
    return foldswing::Outline(ring);
}

}  // namespace

int main() {
    const auto panel = read_outline();
    const auto body = read_outline();
    foldswing::Point pivot;
    double from_deg = 0.0;
    double to_deg = 0.0;
    int calls = 0;
    if (!(std::cin >> pivot.x >> pivot.y >> from_deg >> to_deg >> calls) || calls < 1) return 1;
    const foldswing::hinge::PivotHinge hinge(pivot, from_deg, to_deg);
    double best = std::numeric_limits<double>::infinity();
    double gap = 0.0;
    for (int round = 0; round < 50; ++round) {
        const auto start = std::chrono::steady_clock::now();
        for (int i = 0; i < calls; ++i) gap = foldswing::clearance::minimum_gap(panel, body, hinge).gap;
        const std::chrono::duration<double, std::micro> taken = std::chrono::steady_clock::now() - start;
        best = std::min(best, taken.count() / calls);
    }
    std::cout << std::setprecision(17) << gap << ' ' << best << '\n';
}
