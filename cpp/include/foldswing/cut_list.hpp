#pragma once
/// \file cut_list.hpp  Blanks on stock sheets. Lengths: mm.
///
/// A sheet lies with its length along x and its width along y, its lower left corner in the origin. Blanks keep their
/// edges square to it. The layout is the best of many tries by rules of thumb (Jylanki 2010, "A thousand ways to pack
/// the bin": free rectangles, best fit); it is not proved the best there is.
#include <cstddef>
#include <foldswing/error.hpp>
#include <span>
#include <string>
#include <vector>

namespace foldswing::cut_list {

inline constexpr std::size_t kMostPieces = 500;

/// Along which of its sides the grain runs, or must run.
enum class Grain { any, along_length, along_width };

/// Sheets of one size, or one remnant.
struct Sheet {
    std::string name;
    double length = 0.0;
    double width = 0.0;
    std::size_t count = 0;              ///< how many there are, >= 1
    Grain grain = Grain::along_length;  ///< any: not known; then no blank that asks for a grain is laid on it
};

/// Blanks of one kind.
struct Blank {
    std::string name;
    double length = 0.0;
    double width = 0.0;
    std::size_t count = 1;
    Grain grain = Grain::any;  ///< any: may be laid either way
};

struct Options {
    double kerf = 0.0;       ///< what a cut takes away, >= 0; 0 for a shear
    double edge = 0.0;       ///< taken off all round every sheet before it is used, >= 0
    bool guillotine = true;  ///< every cut runs right across what is being cut
    double least_remnant =
        50.0;  ///< a remnant is listed when both its sides are at least this; common practice, no source
};

/// A rectangle on a sheet by its lower left corner.
struct Rectangle {
    double x = 0.0;
    double y = 0.0;
    double length = 0.0;
    double width = 0.0;
};

struct Placed {
    std::size_t blank = 0;  ///< which of the blanks
    std::size_t piece = 0;  ///< which of its count
    Rectangle at;
    bool turned = false;  ///< its length lies along the sheet's width
};

struct UsedSheet {
    std::size_t stock = 0;  ///< which of the sheets
    std::vector<Placed> pieces;
    std::vector<Rectangle> remnants;  ///< that do not overlap, the largest first
    double use = 0.0;                 ///< area of blanks / area of sheet
};

/// A blank that is on no sheet.
struct Left {
    std::size_t blank = 0;
    std::size_t pieces = 0;
    bool fits_none = false;  ///< on no sheet, even empty; else the sheets ran out
    std::string reason;
};

enum class Status {
    all,             ///< every blank is on a sheet
    short_of_stock,  ///< the sheets ran out
    too_large,       ///< a blank goes on no sheet there is
};

struct Layout {
    Status status = Status::all;
    std::vector<UsedSheet> sheets;
    std::vector<Left> left;
    double use = 0.0;  ///< of all sheets used
    std::string explanation;
};

/// \throws InvalidInput when there are no blanks or sheets, more than kMostPieces pieces, or a number breaks its rule
[[nodiscard]] Layout lay_out(std::span<const Blank> blanks, std::span<const Sheet> sheets, const Options& options = {});

}  // namespace foldswing::cut_list
