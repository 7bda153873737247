#include "motion.hpp"

#include "topics.hpp"

namespace py = pybind11;
using door::Batch;
using door::Kind;
using foldswing::Pose;
using foldswing::Tabulated;

namespace {

/// A motion that was given by knots; never a batch.
struct TabulatedMotion : MotionBatch {
    std::shared_ptr<const Tabulated> motion;
};

const foldswing::Motion& the_one(const MotionBatch& m) {
    if (m.batched) throw foldswing::InvalidInput("motion", std::to_string(m.size()) + " motions", "one motion");
    return *m.items.front();
}

/// One motion takes one s or many, a batch one s for all or one for each.
Batch<Pose> poses(const MotionBatch& motion, py::handle s) {
    const auto in = door::array(s, {"s", Kind::number});
    if (in.ndim() > 1) throw foldswing::InvalidInput("s", std::to_string(in.ndim()) + " axes", "a number or one axis");
    door::BatchSize size;
    size.take(motion.size(), motion.batched, "motion");
    size.take(static_cast<std::size_t>(in.size()), in.ndim() == 1, "s");
    const auto pose = [&](std::size_t i) {
        const double at = door::Columns::get(in, i);
        if (!(at >= 0.0 && at <= 1.0)) throw foldswing::InvalidInput("s", at, "from 0 to 1");
        Pose p;
        motion.at(i)->poses({&at, 1}, {&p, 1});
        return p;
    };
    return door::make_batch<Pose>(size, pose);
}

double stray(const MotionBatch& motion, py::handle points, py::handle s0, py::handle s1) {
    const auto corners = door::points(points, "points");
    const double from = door::scalar(s0, {"s0", Kind::number});
    const double to = door::scalar(s1, {"s1", Kind::number});
    for (const auto& p : corners)
        for (const double v : {p.x, p.y})
            if (!std::isfinite(v)) throw foldswing::InvalidInput("points", v, "finite");
    if (!(from >= 0.0 && from <= 1.0)) throw foldswing::InvalidInput("s0", from, "from 0 to 1");
    if (!(to >= from && to <= 1.0)) throw foldswing::InvalidInput("s1", to, "from s0 to 1");
    for (const double b : the_one(motion).breaks())
        if (b > from && b < to) throw foldswing::InvalidInput("s1", to, "within one piece: the motion breaks between");
    return the_one(motion).stray(corners, from, to);
}

/// Poses as one batch, or one after the other.
std::vector<Pose> knots(py::handle given) {
    if (py::isinstance<Batch<Pose>>(given)) return py::cast<const Batch<Pose>&>(given).items;
    if (py::isinstance<py::dict>(given))  // what to_dict gives
        return py::cast<const Batch<Pose>&>(py::type::of<Batch<Pose>>().attr("from_dict")(given)).items;
    std::vector<Pose> out;
    if (!py::isinstance<py::sequence>(given) || py::isinstance<py::str>(given))
        throw foldswing::InvalidInput("poses", py::cast<std::string>(py::repr(given)),
                                      "a Pose of arrays, or a list of poses");
    for (const py::object h : py::reinterpret_borrow<py::sequence>(given)) {
        if (!py::isinstance<Batch<Pose>>(h))
            throw foldswing::InvalidInput("poses", py::cast<std::string>(py::repr(h)), "a Pose")
                .at(std::to_string(out.size()));
        const auto& one = py::cast<const Batch<Pose>&>(h).items;
        out.insert(out.end(), one.begin(), one.end());
    }
    return out;
}

TabulatedMotion make_tabulated(py::handle s, py::handle poses, py::handle stray) {
    const auto at = door::array(s, {"s", Kind::number});
    if (at.ndim() != 1) throw foldswing::InvalidInput("s", std::to_string(at.ndim()) + " axes", "one axis of numbers");
    TabulatedMotion out;
    out.motion = std::make_shared<const Tabulated>(std::vector<double>(at.data(), at.data() + at.size()), knots(poses),
                                                   door::scalar(stray, {"stray", Kind::length}));
    out.items.push_back(out.motion);
    return out;
}

py::object numbers(const std::vector<double>& v) {
    return door::freeze(door::F64(static_cast<py::ssize_t>(v.size()), v.data()));
}

}  // namespace

void bind_motion(py::module_& m) {
    auto topic = m.def_submodule("motion");
    py::class_<MotionBatch>(topic, "Motion",
                            "What a hinge gives: a pose of the panel for each s from 0 (start) to 1 (end).")
        .def("poses", &poses, py::arg("s"), "Pose at s: one, or a batch for an array of s or a batch of motions.")
        .def_property_readonly(
            "breaks", [](const MotionBatch& b) { return numbers(the_one(b).breaks()); },
            "Values of s at which the motion changes its law; `stray` holds between them.")
        .def("stray", &stray, py::arg("points"), py::arg("s0"), py::arg("s1"),
             "Bound, mm, on how far any of the panel's points is, anywhere from s0 to s1, from where it is half way.");

    py::class_<TabulatedMotion, MotionBatch> tabulated(
        topic, "Tabulated",
        "A motion given by poses at knots s, ascending from 0 to 1; x, y and angle are linear between them.\n\n"
        "`stray` says how far, mm, any panel point of the real motion may be from there: it is taken off every lower\n"
        "bound on a gap. The values are kept as .s, .knots and .departure.");
    tabulated.def(py::init(&make_tabulated), py::arg("s"), py::arg("poses"), py::arg("stray") = 0.0)
        .def_property_readonly("s", [](const TabulatedMotion& t) { return numbers(t.motion->s()); })
        .def_property_readonly("knots",
                               [](const TabulatedMotion& t) {
                                   return Batch<Pose>{t.motion->knots(), true};
                               })
        .def_property_readonly("departure", [](const TabulatedMotion& t) { return t.motion->departure(); });
    door::finish_value(tabulated, {"s", "poses", "stray"});
    py::dict kept;
    kept["poses"] = "knots";
    kept["stray"] = "departure";
    tabulated.attr("_kept_as") = kept;
}
