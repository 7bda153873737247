#include <foldswing/seam.hpp>

#include "batch.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace seam = foldswing::seam;
using door::Kind;
using foldswing::Path;

namespace {

py::tuple place(const seam::Place& p) { return py::make_tuple(p.at, p.gap); }

/// The fields of Seam in order.
py::tuple seam_tuple(const seam::Seam& s) {
    std::vector<foldswing::Point> places;
    for (const seam::Place& p : s.places) places.push_back({p.at, p.gap});
    py::list stretches;
    for (const seam::Stretch& t : s.stretches)
        stretches.append(py::make_tuple(t.from.at, t.from.gap, t.to.at, t.to.gap, t.taper_per_metre));
    py::list spots;
    for (const seam::Spot& t : s.spots) spots.append(py::make_tuple(t.from, t.to, t.worst.at, t.worst.gap, t.off));
    return py::make_tuple(seam::word(s.kind), s.kept, door::points_array(places), place(s.smallest), place(s.largest),
                          s.mean, s.rms, s.taper_per_metre, place(s.line_from), place(s.line_to), stretches, spots,
                          s.explanation);
}

}  // namespace

void bind_seam(py::module_& m) {
    auto topic = m.def_submodule("seam");
    topic.def(
        "along",
        [](py::handle at, py::handle gap, py::handle wanted, py::handle allowed) {
            door::Columns in;
            const auto places = in.column(at, {"at", Kind::length});
            const auto gaps = in.column(gap, {"gap", Kind::length});
            std::vector<seam::Place> all;
            for (std::size_t i = 0; i < in.size().size(); ++i)
                all.push_back({door::Columns::get(places, i), door::Columns::get(gaps, i)});
            return seam_tuple(seam::along(all, door::scalar(wanted, {"wanted", Kind::length}),
                                          door::scalar(allowed, {"allowed", Kind::length})));
        },
        py::arg("at"), py::arg("gap"), py::arg("wanted"), py::arg("allowed"));
    topic.def(
        "between",
        [](const Path& panel_edge, const Path& body_edge, py::handle wanted, py::handle allowed) {
            return seam_tuple(seam::between(panel_edge, body_edge, door::scalar(wanted, {"wanted", Kind::length}),
                                            door::scalar(allowed, {"allowed", Kind::length})));
        },
        py::arg("panel_edge"), py::arg("body_edge"), py::arg("wanted"), py::arg("allowed"));
}
