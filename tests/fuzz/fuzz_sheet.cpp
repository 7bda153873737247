// Arcs, bends and blanks: bad input is InvalidInput, everything else gives numbers.
#include <foldswing/arc.hpp>

#include "bytes.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace foldswing;
    fuzz::Bytes in(data, size);
    fuzz::call([&] {
        const double chord = in.number();
        fuzz::require(arc::radius(chord, in.number()) >= 0.0);
    });
    return 0;
}
