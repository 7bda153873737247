#include <algorithm>
#include <array>
#include <cmath>
#include <foldswing/cut_list.hpp>
#include <numeric>
#include <random>
#include <tuple>

#include "check.hpp"
#include "words.hpp"

namespace foldswing::cut_list {
namespace {

// Every blank is laid out with one kerf more on its right and upper side, on sheets that are one kerf larger: then
// neighbours stand a kerf apart and the last cut may run off the sheet.

constexpr double kRoundingRel = 1e-12;      // of the sheet: sums of sizes that fit on paper fit
constexpr std::size_t kMostShuffles = 200;  // tries in chance orders beside those by size
constexpr std::size_t kPlacings = 20000;    // fewer tries where there are many pieces

struct Piece {
    std::size_t blank;
    std::size_t number;
    double length;
    double width;
    Grain grain;
};

enum class Fit { short_side, area, low };
enum class Split { shorter, longer, larger };
struct Rules {
    Fit fit;
    Split split;
    bool guillotine;
    bool smallest_sheet;  // a new sheet: the smallest that takes the piece, or the largest
};

bool holds(const Rectangle& outer, const Rectangle& inner) noexcept {
    return inner.x >= outer.x && inner.y >= outer.y && inner.x + inner.length <= outer.x + outer.length &&
           inner.y + inner.width <= outer.y + outer.width;
}

/// What is free on one sheet. Guillotine: rectangles that do not overlap. Else every largest free rectangle.
class Free {
  public:
    Free(const Rectangle& whole, bool guillotine)
        : rectangles_{whole}, guillotine_(guillotine), hair_(kRoundingRel * (whole.length + whole.width)) {}

    struct Spot {
        std::size_t index = 0;
        double x = 0.0;
        double y = 0.0;
        bool turned = false;
        std::array<double, 2> score{};
        bool found = false;
    };
    /// The best place for a piece, either way round where allowed.
    [[nodiscard]] Spot best(double length, double width, bool straight, bool turned, Fit fit) const {
        Spot out;
        for (std::size_t i = 0; i < rectangles_.size(); ++i) {
            const Rectangle& r = rectangles_[i];
            for (const bool turn : {false, true}) {
                if (turn ? !turned : !straight) continue;
                const double across = r.length - (turn ? width : length);
                const double up = r.width - (turn ? length : width);
                if (across < -hair_ || up < -hair_) continue;
                const double small = std::min(across, up);
                const double large = std::max(across, up);
                std::array<double, 2> score{small, large};
                if (fit == Fit::area) score = {r.length * r.width, small};
                if (fit == Fit::low) score = {r.y + (turn ? length : width), r.x};
                if (!out.found || score < out.score) out = {i, r.x, r.y, turn, score, true};
            }
        }
        return out;
    }

    void take(const Rectangle& used, std::size_t index, Split split) {
        if (guillotine_)
            cut(used, index, split);
        else
            carve(used);
    }

    /// What is left in rectangles that do not overlap, the largest first.
    [[nodiscard]] std::vector<Rectangle> apart() const {
        const auto larger = [](const Rectangle& a, const Rectangle& b) {
            return a.length * a.width > b.length * b.width;
        };
        std::vector<Rectangle> out;
        if (guillotine_) {
            out = rectangles_;
            std::ranges::stable_sort(out, larger);
            return out;
        }
        Free rest = *this;
        while (!rest.rectangles_.empty()) {
            const Rectangle most = *std::ranges::min_element(rest.rectangles_, larger);
            out.push_back(most);
            rest.carve(most);
        }
        return out;
    }

  private:
    /// The free rectangle is cut right through along the piece: which of the two rests keeps the corner is the split.
    void cut(const Rectangle& used, std::size_t index, Split split) {
        const Rectangle r = rectangles_[index];
        rectangles_.erase(rectangles_.begin() + static_cast<std::ptrdiff_t>(index));
        const double across = r.length - used.length;
        const double up = r.width - used.width;
        bool level = false;  // the first cut runs along the length
        switch (split) {
            case Split::shorter:
                level = across < up;
                break;
            case Split::longer:
                level = across >= up;
                break;
            case Split::larger:
                level = std::max(r.length * up, across * used.width) >= std::max(across * r.width, used.length * up);
                break;
        }
        keep({r.x + used.length, r.y, across, level ? used.width : r.width});
        keep({r.x, r.y + used.width, level ? r.length : used.length, up});
    }
    void carve(const Rectangle& used) {
        std::vector<Rectangle> next;
        for (const Rectangle& r : rectangles_) {
            const double right = used.x + used.length;
            const double top = used.y + used.width;
            if (used.x >= r.x + r.length - hair_ || right <= r.x + hair_ || used.y >= r.y + r.width - hair_ ||
                top <= r.y + hair_) {
                next.push_back(r);
                continue;
            }
            const auto add = [&](const Rectangle& part) {
                if (part.length > hair_ && part.width > hair_) next.push_back(part);
            };
            add({r.x, r.y, used.x - r.x, r.width});
            add({right, r.y, r.x + r.length - right, r.width});
            add({r.x, r.y, r.length, used.y - r.y});
            add({r.x, top, r.length, r.y + r.width - top});
        }
        rectangles_.clear();
        for (std::size_t i = 0; i < next.size(); ++i) {
            bool inside = false;
            for (std::size_t j = 0; j < next.size() && !inside; ++j)
                inside = i != j && holds(next[j], next[i]) && (!holds(next[i], next[j]) || j < i);
            if (!inside) rectangles_.push_back(next[i]);
        }
    }
    void keep(const Rectangle& r) {
        if (r.length > hair_ && r.width > hair_) rectangles_.push_back(r);
    }

    std::vector<Rectangle> rectangles_;
    bool guillotine_;
    double hair_;
};

struct Ways {
    bool straight;
    bool turned;
};
Ways ways(Grain blank, Grain sheet) noexcept {
    if (blank == Grain::any) return {true, true};
    if (sheet == Grain::any) return {false, false};
    return {blank == sheet, blank != sheet};
}

Rectangle usable(const Sheet& sheet, const Options& options) noexcept {
    return {options.edge, options.edge, sheet.length - 2.0 * options.edge + options.kerf,
            sheet.width - 2.0 * options.edge + options.kerf};
}

struct Try {
    std::vector<UsedSheet> sheets;
    std::vector<Free> free;
    std::vector<std::size_t> left;  // pieces
    double sheet_area = 0.0;
    double best_remnant = 0.0;
};

Try attempt(const std::vector<Piece>& pieces, const std::vector<std::size_t>& order, std::span<const Sheet> stock,
            const Options& options, const Rules& rules) {
    Try out;
    std::vector<std::size_t> used(stock.size(), 0);
    for (const std::size_t p : order) {
        const Piece& piece = pieces[p];
        const double length = piece.length + options.kerf;
        const double width = piece.width + options.kerf;
        std::size_t sheet = 0;
        Free::Spot spot;
        for (std::size_t i = 0; i < out.sheets.size(); ++i) {
            const Ways way = ways(piece.grain, stock[out.sheets[i].stock].grain);
            const auto here = out.free[i].best(length, width, way.straight, way.turned, rules.fit);
            if (!here.found || (spot.found && !(here.score < spot.score))) continue;
            spot = here;
            sheet = i;
        }
        if (!spot.found) {
            std::size_t chosen = stock.size();
            Free::Spot first;
            for (std::size_t i = 0; i < stock.size(); ++i) {
                if (used[i] == stock[i].count) continue;
                const Ways way = ways(piece.grain, stock[i].grain);
                const Free empty(usable(stock[i], options), rules.guillotine);
                const auto here = empty.best(length, width, way.straight, way.turned, rules.fit);
                if (!here.found) continue;
                const auto size = [&](std::size_t s) { return stock[s].length * stock[s].width; };
                if (chosen < stock.size() && !(rules.smallest_sheet ? size(i) < size(chosen) : size(i) > size(chosen)))
                    continue;
                chosen = i;
                first = here;
            }
            if (chosen == stock.size()) {
                out.left.push_back(p);
                continue;
            }
            ++used[chosen];
            sheet = out.sheets.size();
            out.sheets.push_back({chosen, {}, {}, 0.0});
            out.free.emplace_back(usable(stock[chosen], options), rules.guillotine);
            out.sheet_area += stock[chosen].length * stock[chosen].width;
            spot = first;
        }
        const Rectangle taken{spot.x, spot.y, spot.turned ? width : length, spot.turned ? length : width};
        out.free[sheet].take(taken, spot.index, rules.split);
        out.sheets[sheet].pieces.push_back(
            {piece.blank,
             piece.number,
             {spot.x, spot.y, spot.turned ? piece.width : piece.length, spot.turned ? piece.length : piece.width},
             spot.turned});
    }
    for (const Free& free : out.free)
        for (const Rectangle& r : free.apart()) out.best_remnant = std::max(out.best_remnant, r.length * r.width);
    return out;
}

double left_area(const Try& t, const std::vector<Piece>& pieces) {
    return std::accumulate(t.left.begin(), t.left.end(), 0.0,
                           [&](double sum, std::size_t p) { return sum + pieces[p].length * pieces[p].width; });
}

void check(std::span<const Blank> blanks, std::span<const Sheet> sheets, const Options& options) {
    if (blanks.empty()) throw InvalidInput("blanks", "none", "at least one blank");
    if (sheets.empty()) throw InvalidInput("sheets", "none", "at least one sheet");
    detail::require_not_negative("kerf", options.kerf);
    detail::require_not_negative("edge", options.edge);
    detail::require_not_negative("least_remnant", options.least_remnant);
    std::size_t all = 0;
    for (std::size_t i = 0; i < blanks.size(); ++i) {
        const std::string at = "blanks[" + std::to_string(i) + "]";
        detail::require_positive((at + ".length").c_str(), blanks[i].length);
        detail::require_positive((at + ".width").c_str(), blanks[i].width);
        if (blanks[i].count == 0 || blanks[i].count > kMostPieces)
            throw InvalidInput(at + ".count", static_cast<double>(blanks[i].count), "1 to 500");
        all += blanks[i].count;
    }
    if (all > kMostPieces) throw InvalidInput("blanks", static_cast<double>(all), "at most 500 pieces in all");
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        const std::string at = "sheets[" + std::to_string(i) + "]";
        detail::require_positive((at + ".length").c_str(), sheets[i].length);
        detail::require_positive((at + ".width").c_str(), sheets[i].width);
        detail::require(2.0 * options.edge < std::min(sheets[i].length, sheets[i].width), "edge", options.edge,
                        "less than half of every sheet");
        if (sheets[i].count == 0) throw InvalidInput(at + ".count", 0.0, "at least 1");
    }
}

std::string by(double length, double width) { return detail::mm(length) + " by " + detail::mm(width) + " mm"; }

/// Why a blank goes on no sheet, even an empty one; empty where it goes on one.
std::string goes_on_none(const Blank& blank, std::span<const Sheet> sheets, const Options& options) {
    const Sheet* largest = nullptr;
    bool other_way = false;
    bool unknown = false;
    for (const Sheet& sheet : sheets) {
        const Free empty(usable(sheet, options), true);
        const double length = blank.length + options.kerf;
        const double width = blank.width + options.kerf;
        const Ways way = ways(blank.grain, sheet.grain);
        if (empty.best(length, width, way.straight, way.turned, Fit::area).found) return "";
        if (empty.best(length, width, true, true, Fit::area).found)
            (way.straight || way.turned ? other_way : unknown) = true;
        if (largest == nullptr || sheet.length * sheet.width > largest->length * largest->width) largest = &sheet;
    }
    const std::string size = blank.name + ", " + by(blank.length, blank.width) + ", ";
    if (other_way)
        return size + "fits a sheet only with its grain the wrong way: allow the other grain, or get a longer sheet";
    if (unknown) return size + "asks for a grain, and the sheets it fits have none said: mark the grain on them";
    return size + "is larger than every sheet: the largest, " + largest->name + ", is " +
           by(largest->length, largest->width) +
           (options.edge > 0.0 ? " less " + detail::mm(options.edge) + " mm all round" : std::string()) +
           "; join it from two parts or get a larger sheet";
}

}  // namespace

Layout lay_out(std::span<const Blank> blanks, std::span<const Sheet> sheets, const Options& options) {
    check(blanks, sheets, options);
    Layout out;
    std::vector<Piece> pieces;
    double wanted = 0.0;
    for (std::size_t b = 0; b < blanks.size(); ++b) {
        const std::string why = goes_on_none(blanks[b], sheets, options);
        if (!why.empty()) {
            out.left.push_back({b, blanks[b].count, true, why});
            continue;
        }
        for (std::size_t n = 0; n < blanks[b].count; ++n)
            pieces.push_back({b, n, blanks[b].length, blanks[b].width, blanks[b].grain});
    }

    std::vector<std::vector<std::size_t>> orders;
    std::vector<std::size_t> plain(pieces.size());
    std::iota(plain.begin(), plain.end(), std::size_t{0});
    const auto add = [&](auto size) {
        auto order = plain;
        std::ranges::stable_sort(order,
                                 [&](std::size_t a, std::size_t b) { return size(pieces[a]) > size(pieces[b]); });
        orders.push_back(std::move(order));
    };
    add([](const Piece& p) { return p.length * p.width; });
    add([](const Piece& p) { return std::max(p.length, p.width); });
    add([](const Piece& p) { return std::min(p.length, p.width); });
    add([](const Piece& p) { return p.length + p.width; });
    std::mt19937_64 chance(1);  // the same input gives the same layout
    const std::size_t shuffles = std::min(kMostShuffles, kPlacings / std::max<std::size_t>(1, pieces.size()));
    for (std::size_t i = 0; i < shuffles; ++i) {
        auto order = orders[i % 4];
        for (std::size_t k = 0; k + 1 < order.size(); ++k)  // near its place by size
            if (chance() % 3 == 0) std::swap(order[k], order[k + 1]);
        orders.push_back(std::move(order));
    }
    Try best;
    bool any = false;
    const auto rank = [&](const Try& t) {
        return std::tuple(left_area(t, pieces), t.sheet_area, t.sheets.size(), -t.best_remnant);
    };
    for (const auto& order : orders)
        for (const Fit fit : {Fit::short_side, Fit::area, Fit::low})
            for (const Split split : {Split::shorter, Split::longer, Split::larger})
                for (const bool smallest : {true, false})
                    for (const bool guillotine : {true, false}) {
                        if (!guillotine && (options.guillotine || split != Split::shorter)) continue;
                        if (!smallest && sheets.size() == 1) continue;
                        Try t = attempt(pieces, order, sheets, options, {fit, split, guillotine, smallest});
                        if (any && !(rank(t) < rank(best))) continue;
                        best = std::move(t);
                        any = true;
                    }

    for (std::size_t i = 0; i < best.sheets.size(); ++i) {
        UsedSheet& sheet = best.sheets[i];
        double area = 0.0;
        for (const Placed& p : sheet.pieces) area += p.at.length * p.at.width;
        const Sheet& stock = sheets[sheet.stock];
        sheet.use = area / (stock.length * stock.width);
        wanted += area;
        for (Rectangle r : best.free[i].apart()) {
            r.length -= options.kerf;  // the sheet was taken a kerf larger, and so was what is left of it
            r.width -= options.kerf;
            if (r.length >= options.least_remnant && r.width >= options.least_remnant && r.length > 0.0 &&
                r.width > 0.0)
                sheet.remnants.push_back(r);
        }
    }
    out.sheets = std::move(best.sheets);
    out.use = best.sheet_area > 0.0 ? wanted / best.sheet_area : 0.0;
    std::vector<std::size_t> missing(blanks.size(), 0);
    for (const std::size_t p : best.left) ++missing[pieces[p].blank];
    for (std::size_t b = 0; b < blanks.size(); ++b)
        if (missing[b] > 0)
            out.left.push_back({b, missing[b], false,
                                blanks[b].name + ": " + std::to_string(missing[b]) + " of " +
                                    std::to_string(blanks[b].count) + " left, the sheets ran out"});
    if (!out.left.empty())
        out.status = std::ranges::any_of(out.left, &Left::fits_none) ? Status::too_large : Status::short_of_stock;
    const std::size_t laid = std::accumulate(out.sheets.begin(), out.sheets.end(), std::size_t{0},
                                             [](std::size_t sum, const UsedSheet& s) { return sum + s.pieces.size(); });
    out.explanation = std::to_string(laid) + (laid == 1 ? " blank on " : " blanks on ") +
                      std::to_string(out.sheets.size()) + (out.sheets.size() == 1 ? " sheet, " : " sheets, ") +
                      detail::fixed(100.0 * out.use, 0) + " % used; the best of many tries, not proved the best.";
    for (const Left& l : out.left) out.explanation += " " + l.reason + ".";
    return out;
}

}  // namespace foldswing::cut_list
