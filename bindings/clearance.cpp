#include <foldswing/clearance.hpp>

#include "motion.hpp"
#include "topics.hpp"

namespace py = pybind11;
using door::Kind;
using foldswing::Outline;
using foldswing::clearance::Gap;

namespace {

/// One outline in place, or copies of many.
class Outlines {
  public:
    Outlines(py::handle h, const char* name) {
        if (py::isinstance<Outline>(h)) {
            one_ = &py::cast<const Outline&>(h);
            return;
        }
        if (!py::isinstance<py::sequence>(h) || py::isinstance<py::str>(h))
            throw foldswing::InvalidInput(name, py::cast<std::string>(py::repr(h)), "an Outline or a list of them");
        for (const py::object item : py::reinterpret_borrow<py::sequence>(h)) {  // keeps what an array makes on the way
            if (!py::isinstance<Outline>(item))
                throw foldswing::InvalidInput(name, py::cast<std::string>(py::repr(item)), "an Outline")
                    .at(std::to_string(many_.size()));
            many_.push_back(py::cast<const Outline&>(item));
        }
    }
    [[nodiscard]] std::span<const Outline> get() const {
        return one_ != nullptr ? std::span<const Outline>(one_, 1) : std::span<const Outline>(many_);
    }

  private:
    const Outline* one_ = nullptr;
    std::vector<Outline> many_;
};

template <class Get>
py::object column(const door::Batch<Gap>& gaps, Get get) {
    return door::field(gaps, get);
}

/// The fields of Gap in order.
py::tuple minimum_gap(py::handle panel, py::handle fixed, py::handle given, py::handle tolerance) {
    const MotionBatch& motion = motion_of(given);
    const Outlines moving(panel, "panel");
    const Outlines still(fixed, "fixed");
    const double close = door::scalar(tolerance, {"tolerance", Kind::length});
    door::Batch<Gap> gaps;
    gaps.batched = motion.batched;
    gaps.items.resize(motion.size());
    {
        const py::gil_scoped_release nogil;  // outlines and motions are immutable and held by the caller's references
        foldswing::clearance::minimum_gaps(moving.get(), still.get(), motion.items, gaps.items, close);
    }
    py::object body = py::int_(gaps.batched || gaps.items.empty() ? 0 : gaps.items.front().body);
    if (gaps.batched) {
        py::array_t<py::ssize_t> bodies(static_cast<py::ssize_t>(gaps.size()));
        for (std::size_t i = 0; i < gaps.size(); ++i)
            bodies.mutable_data()[i] = static_cast<py::ssize_t>(gaps.items[i].body);
        body = door::freeze(std::move(bodies));
    }
    return py::make_tuple(
        column(gaps, [](const Gap& g) { return g.gap; }), column(gaps, [](const Gap& g) { return g.lower_bound; }),
        column(gaps, [](const Gap& g) { return g.at; }), column(gaps, [](const Gap& g) { return g.clear_until; }),
        column(gaps, [](const Gap& g) { return g.angle_deg; }),
        door::point_field(gaps, [](const Gap& g) { return g.panel_point; }),
        door::point_field(gaps, [](const Gap& g) { return g.fixed_point; }), body);
}

std::vector<foldswing::clearance::Body> bodies_of(const py::dict& fixed) {
    std::vector<foldswing::clearance::Body> out;
    for (const auto& [name, outlines] : fixed) {
        if (!py::isinstance<py::str>(name))
            throw foldswing::InvalidInput("fixed", py::cast<std::string>(py::repr(name)), "a dict of names");
        const auto text = py::cast<std::string>(name);
        const Outlines given(outlines, ("fixed['" + text + "']").c_str());
        out.push_back({text, {given.get().begin(), given.get().end()}});
    }
    return out;
}

std::vector<foldswing::clearance::Stop> stops_of(py::handle given) {
    const auto refuse = [](py::handle h) {
        return foldswing::InvalidInput("stops", py::cast<std::string>(py::repr(h)), "a list of (name, s)");
    };
    std::vector<foldswing::clearance::Stop> out;
    if (!py::isinstance<py::sequence>(given) || py::isinstance<py::str>(given)) throw refuse(given);
    for (const py::object stop : py::reinterpret_borrow<py::sequence>(given)) {
        if (!py::isinstance<py::sequence>(stop) || py::len(stop) != 2) throw refuse(stop);
        const auto pair = py::reinterpret_borrow<py::sequence>(stop);
        const py::object name = pair[0];
        if (!py::isinstance<py::str>(name)) throw refuse(stop);
        out.push_back({py::cast<std::string>(name), door::scalar(py::object(pair[1]), {"stops", Kind::number})});
    }
    return out;
}

/// Rows of the fields of Approach in order.
py::list closest_approaches(py::handle panel, const py::dict& fixed, py::handle motion, py::handle stops,
                            py::handle tolerance) {
    const Outlines moving(panel, "panel");
    const auto bodies = bodies_of(fixed);
    const foldswing::Motion& one = the_motion(motion);
    const auto legs = stops_of(stops);
    const double close = door::scalar(tolerance, {"tolerance", Kind::length});
    std::vector<foldswing::clearance::Approach> rows;
    {
        const py::gil_scoped_release nogil;  // outlines and motions are immutable and held by the caller's references
        rows = foldswing::clearance::closest_approaches(moving.get(), bodies, one, legs, close);
    }
    py::list out;
    for (const auto& r : rows)
        out.append(py::make_tuple(r.body, r.leg, r.gap.gap, r.gap.lower_bound, r.depth, r.gap.at, r.gap.clear_until,
                                  r.gap.angle_deg, door::point_array(r.gap.panel_point),
                                  door::point_array(r.gap.fixed_point), r.deepest_at, r.deepest_angle_deg));
    return out;
}

py::tuple swept_outline(py::handle panel, py::handle motion, py::handle sagitta) {
    const Outlines moving(panel, "panel");
    const foldswing::Motion& one = the_motion(motion);
    const double close = door::scalar(sagitta, {"sagitta", Kind::length});
    std::vector<Outline> swept;
    {
        const py::gil_scoped_release nogil;  // outlines and motions are immutable and held by the caller's references
        swept = foldswing::clearance::swept_outline(moving.get(), one, close);
    }
    py::tuple out(swept.size());
    for (std::size_t i = 0; i < swept.size(); ++i) out[i] = py::cast(std::move(swept[i]));
    return out;
}

}  // namespace

void bind_clearance(py::module_& m) {
    auto topic = m.def_submodule("clearance");
    topic.def("minimum_gap", &minimum_gap, py::arg("panel"), py::arg("fixed"), py::arg("motion"), py::arg("tolerance"));
    topic.def("closest_approaches", &closest_approaches, py::arg("panel"), py::arg("fixed"), py::arg("motion"),
              py::arg("stops"), py::arg("tolerance"));
    topic.def("swept_outline", &swept_outline, py::arg("panel"), py::arg("motion"), py::arg("sagitta"));
}
