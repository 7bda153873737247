#pragma once
// Turns a fuzzer's bytes into the arguments of the library: mostly plausible shop numbers, sometimes any double at all.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <foldswing/plane.hpp>
#include <initializer_list>
#include <limits>
#include <vector>

namespace fuzz {

class Bytes {
  public:
    Bytes(const std::uint8_t* data, std::size_t size) : data_(data), size_(size) {}

    /// Are there bytes left? After the last one every byte reads as 0.
    [[nodiscard]] bool left() const { return at_ < size_; }
    std::uint8_t byte() { return left() ? data_[at_++] : std::uint8_t{0}; }
    std::size_t below(std::size_t n) { return byte() % n; }
    bool flag() { return (byte() & 1U) != 0; }

    double number() {
        switch (below(8)) {
            case 0:
                return any_double();
            case 1:
                return special();
            case 2:
                return std::ldexp(signed_word(), static_cast<int>(below(64)) - 48);
            case 3:
                return 15.0 * (static_cast<double>(below(64)) - 32.0);  // a turn of the protractor
            default:
                return signed_word() / 64.0;  // -512 to 512 in steps of 1/64
        }
    }
    foldswing::Point point() {
        const double x = number();
        return {x, number()};
    }
    std::vector<foldswing::Point> points(std::size_t most) {
        std::vector<foldswing::Point> out(below(most + 1));
        for (auto& p : out) p = point();
        return out;
    }
    std::vector<double> numbers(std::size_t most) {
        std::vector<double> out(below(most + 1));
        for (auto& x : out) x = number();
        return out;
    }
    /// Any ring: a box or a star about a centre (often valid), or loose points (seldom valid).
    foldswing::Ring ring() {
        const std::size_t kind = below(4);
        if (kind == 0) return points(12);
        const foldswing::Point c{signed_word() / 64.0, signed_word() / 64.0};
        if (kind == 1) {
            const double w = 1.0 + byte();
            const double h = 1.0 + byte();
            return {c, c + foldswing::Point{w, 0.0}, c + foldswing::Point{w, h}, c + foldswing::Point{0.0, h}};
        }
        const std::size_t n = 3 + below(10);
        foldswing::Ring out;
        for (std::size_t i = 0; i < n; ++i) {
            const double a = 2.0 * 3.141592653589793 * static_cast<double>(i) / static_cast<double>(n);
            const double r = 0.25 + byte();
            out.push_back(c + foldswing::Point{r * std::cos(a), r * std::sin(a)});
        }
        return out;
    }
    foldswing::Outline outline() {
        foldswing::Ring corners = ring();
        std::vector<foldswing::Ring> holes;
        if (below(4) == 0) holes.push_back(ring());
        return foldswing::Outline(std::move(corners), std::move(holes));
    }
    foldswing::Pose pose() {
        const foldswing::Point p = point();
        return {p.x, p.y, number()};
    }

  private:
    double signed_word() {
        const int hi = byte();
        return static_cast<double>(hi * 256 + byte()) - 32768.0;
    }
    double any_double() {
        std::uint64_t bits = 0;
        for (int i = 0; i < 8; ++i) bits = bits << 8U | byte();
        double out = 0.0;
        std::memcpy(&out, &bits, sizeof out);
        return out;
    }
    double special() {
        using limits = std::numeric_limits<double>;
        const double all[] = {0.0,
                              -0.0,
                              1.0,
                              -1.0,
                              90.0,
                              180.0,
                              360.0,
                              1e-9,
                              1e-300,
                              1e300,
                              limits::infinity(),
                              -limits::infinity(),
                              limits::quiet_NaN(),
                              limits::denorm_min(),
                              limits::max(),
                              limits::epsilon()};
        return all[below(std::size(all))];
    }

    const std::uint8_t* data_;
    std::size_t size_;
    std::size_t at_ = 0;
};

/// Stops the run where a promise of the library is broken.
inline void require(bool kept) {
    if (!kept) std::abort();
}

/// Calls f; bad input must be reported as InvalidInput and in no other way.
template <class F>
void call(F f) {
    try {
        f();
    } catch (const foldswing::InvalidInput&) {  // the documented answer
    }
}

/// The first byte chooses which entry points are called, the others are their arguments.
inline int one_of(const std::uint8_t* data, std::size_t size, std::initializer_list<void (*)(Bytes&)> entries) {
    Bytes in(data, size);
    const auto entry = entries.begin()[in.below(entries.size())];
    call([&] { entry(in); });
    return 0;
}

}  // namespace fuzz
