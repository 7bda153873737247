// Stays of every kind: any pins, loads and turns give an answer that keeps its promises, or are refused.
#include <foldswing/folding_stay.hpp>
#include <foldswing/stay.hpp>

#include "bytes.hpp"

namespace {
using namespace foldswing;

stay::Load load(fuzz::Bytes& in) {
    stay::Load out;
    out.mass = std::abs(in.number());
    out.centre = in.point();
    out.leaned = std::abs(in.number());
    out.edge = in.point();
    return out;
}

stay::Pins pins(fuzz::Bytes& in) {
    const Point fixed = in.point();
    return {fixed, in.point()};
}

void straps(fuzz::Bytes& in) {
    const stay::Pins at = pins(in);
    const stay::Load on = load(in);
    const Point pivot = in.point();
    const std::vector<double> turns = in.numbers(4);
    const stay::Strap s = stay::strap(at, on, pivot, turns, static_cast<int>(in.below(12)));
    fuzz::require(s.stops.size() == turns.size() && s.worst < s.stops.size());
    for (const stay::Hold& h : s.stops) fuzz::require(h.length > 0.0 && h.lever_arm >= 0.0);
}

void catches(fuzz::Bytes& in) {
    const stay::Pins at = pins(in);
    const stay::Load on = load(in);
    const PlainTurn turn{in.point(), in.number(), in.number()};
    (void)stay::taut_at(at, turn, std::abs(in.number()));
    const stay::Catch c = stay::catch_load(at, on, turn, std::abs(in.number()), static_cast<int>(in.below(12)));
    fuzz::require(c.energy >= 0.0);
    fuzz::require(c.state == stay::CatchState::not_caught || c.pull_each >= 0.0);
}

void choices(fuzz::Bytes& in) {
    const std::vector<Point> body = in.points(4);
    const std::vector<Point> panel = in.points(4);
    const stay::Load on = load(in);
    const Point pivot = in.point();
    const std::vector<double> turns = in.numbers(3);
    const stay::Chosen c = stay::choose(body, panel, on, pivot, turns, 2, {in.number(), 0.0, 0.0, 0.0},
                                        static_cast<stay::Wish>(in.below(4)));
    fuzz::require(c.tried == c.feasible.size() + c.no_hold + c.too_much + c.too_lively + c.too_long + c.too_close);
    (void)stay::mismatch(in.number(), in.number(), in.number());
    (void)stay::stiffness(in.number(), in.number(), in.number());
}

void folding(fuzz::Bytes& in) {
    folding_stay::Wanted w;
    w.pins = pins(in);
    w.pivot = in.point();
    w.turn_deg = in.number();
    w.past_centre_deg = static_cast<double>(in.below(64));
    w.share = in.flag() ? 0.5 : in.number();
    w.left = in.flag();
    const folding_stay::FoldingStay made = folding_stay::folding_stay(w);
    fuzz::require(made.first > 0.0 && made.second > 0.0);
    const folding_stay::LinkMotion motion(
        w, in.flag() ? folding_stay::LinkMotion::Link::body : folding_stay::LinkMotion::Link::panel);
    const Point tip{motion.length(), 0.0};
    double from = 0.0;
    for (const double to : motion.breaks()) {
        fuzz::require(to > from && to < 1.0);
        fuzz::require(motion.stray({&tip, 1}, from, to) >= 0.0);
        from = to;
    }
}

void regions(fuzz::Bytes& in) {
    const Outline o = in.outline();
    const std::vector<Point> all = stay::grid({&o, 1}, in.number());
    for (const Point p : all) fuzz::require(locate(o, p) != Place::outside);
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    return fuzz::one_of(data, size, {straps, catches, choices, folding, regions});
}
