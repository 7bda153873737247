#pragma once
/// \file carry.hpp  Points, holes and outlines carried between the folded section and its blank, and back. Lengths: mm.
///
/// On a flat the blank is the metal itself. Through a bend the neutral line keeps its length: a place so far through
/// the bend allowance lies as far, in the same share, through the bend's angle; no approximation is made.
#include <array>
#include <cstddef>
#include <foldswing/blank.hpp>
#include <foldswing/plane.hpp>
#include <vector>

namespace foldswing::blank {

/// A face of the metal, as the blank lies on the bench.
enum class Face { lower, upper };

/// One flat or bend of a section: where it lies on the blank, along either face, and folded.
struct Stretch {
    std::size_t part = 0;  ///< its place among the profile's parts
    double from = 0.0;     ///< on the blank
    double to = 0.0;
    std::array<double, 2> face_from{};  ///< along the lower and the upper face, from the start of the blank
    std::array<double, 2> face_to{};
    std::array<Point, 2> start{};  ///< of the lower and the upper face, folded
    double heading_deg = 0.0;      ///< of the lower face at its start
    double turn_deg = 0.0;         ///< counter-clockwise; 0 for a flat
    Point centre;                  ///< of a bend
    std::array<double, 2> radius{};
};

/// A place of the blank, found from a folded point.
struct BlankPlace {
    double along = 0.0;    ///< from the start of the blank
    double miss = 0.0;     ///< how far the point lies off the face
    std::size_t part = 0;  ///< flat or bend it lies on
};

/// The flats as their lengths were given, laid on the blank: from and to where each is measured, its mould points where
/// it was measured outside. Spans of neighbours overlap by what their bend takes.
[[nodiscard]] std::vector<FlatSpan> measured_spans(const Profile& profile);

/// A folded section and its blank, place by place.
class FoldMap {
  public:
    /// \param held the flat that stays where it lay on the bench: there folded and blank coordinates agree on the lower
    ///             face. 0 gives the coordinates of Profile::folded
    /// \throws InvalidInput when there is no such flat
    explicit FoldMap(const Profile& profile, std::size_t held = 0);

    [[nodiscard]] double developed_length() const noexcept { return length_; }
    [[nodiscard]] const std::vector<Stretch>& stretches() const noexcept { return stretches_; }
    /// Length of a face from cut edge to cut edge.
    [[nodiscard]] double face_length(Face face) const noexcept;

    /// A place of the blank on a face of the folded section. \throws InvalidInput when it lies off the blank
    [[nodiscard]] Point to_folded(double along, Face face) const;
    /// Unit normal there, out of the upper face.
    [[nodiscard]] Point upward(double along) const;
    /// Every place of the blank that the folded point lies on, within `within` of the face: more than one where the
    /// section touches itself, none where there is no metal. In order along the blank. On a face bent without a radius
    /// the whole allowance lies at one point: its middle is given, where no flat beside it is met.
    /// \throws InvalidInput when a coordinate is not finite or within is negative
    [[nodiscard]] std::vector<BlankPlace> to_blank(Point at, Face face, double within) const;

    /// From along the blank to along a face, a tape laid round the bends, and back.
    /// \throws InvalidInput when the place lies off the blank
    [[nodiscard]] double to_face(double along, Face face) const;
    [[nodiscard]] double from_face(double along_face, Face face) const;

    /// A path drawn on a face (x along the face from the start of the blank, y across the part) on the blank (x along
    /// the blank). On flats lines stay lines and arcs arcs; lines are split at the bends. Arcs through a bend become
    /// arcs of ellipses: their points lie on these exactly, chords stray by at most sagitta.
    /// \throws InvalidInput when a place lies off the blank, or sagitta is not > 0
    [[nodiscard]] Path path_from_face(const Path& path, Face face, double sagitta) const;
    /// A path of the blank as it shows on a face of the folded part, laid out along the face.
    [[nodiscard]] Path path_to_face(const Path& path, Face face, double sagitta) const;

  private:
    double length_ = 0.0;
    std::vector<Stretch> stretches_;
};

}  // namespace foldswing::blank
