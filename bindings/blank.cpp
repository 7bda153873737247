#include "blank.hpp"

#include <foldswing/blank.hpp>

#include "batch.hpp"
#include "bend.hpp"
#include "blank_docs.hpp"
#include "topics.hpp"

namespace py = pybind11;
namespace blank = foldswing::blank;
using blank::Basis;
using blank::Bend;
using blank::Direction;
using blank::Flat;
using blank::Measured;
using blank::Notch;
using blank::Pan;
using blank::PanSize;
using blank::Profile;
using door::Kind;
using foldswing::InvalidInput;
using foldswing::Point;

namespace {

/// A result type of the front, by its fields.
template <class... Field>
py::object result(const char* type, Field&&... fields) {
    return py::module_::import("foldswing.blank").attr(type)(std::forward<Field>(fields)...);
}

constexpr std::array<const char*, 4> kSides{"left", "right", "bottom", "top"};

}  // namespace

namespace door {

std::string quoted(py::handle h) { return py::cast<std::string>(py::repr(h)).substr(0, 80); }

Direction direction(const std::string& word) {
    if (word == "up") return Direction::up;
    if (word == "down") return Direction::down;
    throw InvalidInput("direction", "'" + word + "'", "'up' or 'down'");
}
const char* direction_word(Direction d) noexcept { return d == Direction::up ? "up" : "down"; }

Notch notch(const std::string& word) {
    if (word == "centre") return Notch::centre;
    if (word == "tangent") return Notch::tangent;
    if (word == "gap") return Notch::gap;
    throw InvalidInput("notch", "'" + word + "'", "'centre', 'tangent' or 'gap'");
}
const char* notch_word(Notch n) noexcept {
    switch (n) {
        case Notch::centre:
            return "centre";
        case Notch::tangent:
            return "tangent";
        case Notch::gap:
            break;
    }
    return "gap";
}

blank::Part part(py::handle h, const std::string& name) {
    if (py::isinstance<Flat>(h)) return py::cast<Flat>(h);
    if (py::isinstance<Bend>(h)) return py::cast<Bend>(h);
    if (py::isinstance<py::dict>(h)) {
        const auto fields = py::cast<py::dict>(h);
        if (fields.contains("length")) return py::cast<Flat>(py::type::of<Flat>()(**fields));
        if (fields.contains("angle_deg")) return py::cast<Bend>(py::type::of<Bend>()(**fields));
    }
    throw InvalidInput(name, quoted(h), "a Flat or a Bend");
}

py::tuple parts_tuple(const std::vector<blank::Part>& parts) {
    py::tuple out(parts.size());
    for (std::size_t i = 0; i < parts.size(); ++i)
        out[i] = std::visit([](const auto& each) { return py::cast(each); }, parts[i]);
    return out;
}

py::object numbers(const std::vector<double>& values) {
    door::F64 a(static_cast<py::ssize_t>(values.size()));
    std::copy(values.begin(), values.end(), a.mutable_data());
    return door::freeze(std::move(a));
}

py::object bend_line(const blank::BendLine& line, double whole) {
    using py::literals::operator""_a;
    const blank::FromEnd end = line.from_end(whole);
    return result("BendLine", "part"_a = line.part, "angle_deg"_a = line.angle_deg, "radius"_a = line.radius,
                  "direction"_a = direction_word(line.direction), "allowance"_a = line.allowance,
                  "deduction"_a = line.deduction, "k_factor"_a = line.k_factor, "centre"_a = line.centre,
                  "tangent"_a = numbers({line.tangent[0], line.tangent[1]}),
                  "sight"_a = numbers({line.sight[0], line.sight[1]}), "centre_from_end"_a = end.centre,
                  "tangent_from_end"_a = numbers({end.tangent[0], end.tangent[1]}),
                  "sight_from_end"_a = numbers({end.sight[0], end.sight[1]}));
}

blank::Side side(const std::string& name, const std::string& word) {
    for (std::size_t i = 0; i < kSides.size(); ++i)
        if (word == kSides[i]) return static_cast<blank::Side>(i);
    throw InvalidInput(name, "'" + word + "'", "'left', 'right', 'bottom' or 'top'");
}

const char* side_word(blank::Side s) noexcept { return kSides[static_cast<std::size_t>(s)]; }

}  // namespace door

namespace {

using door::bend_line;
using door::direction;
using door::direction_word;
using door::notch;
using door::notch_word;
using door::numbers;
using door::quoted;
using door::side;

Measured one_measured(py::handle h) {
    if (!py::isinstance<py::str>(h))
        throw InvalidInput("measured", quoted(h), "'outside', 'inside', 'flat' or 'overall', or a pair of them");
    return door::measured(py::cast<std::string>(h));
}

Flat make_flat(py::handle length, py::handle measured) {
    Flat flat{door::scalar(length, {"length", Kind::length})};
    const bool pair =
        (py::isinstance<py::tuple>(measured) || py::isinstance<py::list>(measured)) && py::len(measured) == 2;
    if (pair) {
        const auto both = py::cast<py::sequence>(measured);
        flat.start = one_measured(both[0]);
        flat.end = one_measured(both[1]);
    } else {
        flat.start = flat.end = one_measured(measured);
    }
    blank::require_valid(flat);
    return flat;
}

py::object flat_measured(const Flat& flat) {
    py::str start(door::measured_word(flat.start));
    if (flat.start == flat.end) return start;
    return py::make_tuple(start, door::measured_word(flat.end));
}

Bend make_bend(py::handle angle_deg, py::handle radius, const std::string& way, py::handle included_deg,
               py::handle k_factor, py::handle deduction, py::handle allowance, py::handle coupon) {
    const Bend bend{door::turned(angle_deg, included_deg), door::scalar(radius, {"radius", Kind::length}),
                    direction(way), door::basis(k_factor, deduction, allowance, coupon)};
    blank::require_valid(bend);
    return bend;
}

Profile make_profile(py::handle parts, py::handle thickness, py::handle k_factor, py::handle deduction,
                     py::handle allowance, py::handle coupon) {
    if (!py::isinstance<py::tuple>(parts) && !py::isinstance<py::list>(parts))
        throw InvalidInput("parts", quoted(parts), "a list of Flat and Bend");
    std::vector<blank::Part> all;
    for (const py::handle h : parts) all.push_back(door::part(h, "parts[" + std::to_string(all.size()) + "]"));
    return {std::move(all), door::scalar(thickness, {"thickness", Kind::length}),
            door::basis(k_factor, deduction, allowance, coupon)};
}

py::tuple profile_lines(const Profile& p) {
    py::tuple out(p.bend_lines().size());
    for (std::size_t i = 0; i < p.bend_lines().size(); ++i) out[i] = bend_line(p.bend_lines()[i], p.developed_length());
    return out;
}

py::object flat_spans(const Profile& p) {
    std::vector<Point> spans;
    for (const auto& f : p.flats()) spans.push_back({f.start, f.end});
    return door::points_array(spans);
}

py::object flat_lengths(const Profile& p) {
    std::vector<double> lengths;
    for (const auto& f : p.flats()) lengths.push_back(f.length);
    return numbers(lengths);
}

py::object folded(const Profile& p) {
    const blank::Folded f = p.folded();
    return result("Folded", f.outside, f.inside, f.outline, f.outside_is_lower ? "lower" : "upper");
}

Pan make_pan(py::handle length, py::handle width, py::handle depth, py::handle thickness, py::handle radius,
             py::handle k_factor, py::handle deduction, py::handle allowance, py::handle coupon, const std::string& way,
             const std::string& measured, const std::string& notch_to, py::handle corner_gap) {
    PanSize size;
    size.length = door::scalar(length, {"length", Kind::length});
    size.width = door::scalar(width, {"width", Kind::length});
    const door::F64 depths = door::array(depth, {"depth", Kind::length});
    if (depths.ndim() > 1 || (depths.ndim() == 1 && depths.size() != 4))
        throw InvalidInput("depth", std::to_string(depths.size()) + " lengths",
                           "one length or (left, right, bottom, top)");
    for (std::size_t i = 0; i < 4; ++i) size.depth[i] = depths.ndim() == 0 ? *depths.data() : depths.data()[i];
    size.thickness = door::scalar(thickness, {"thickness", Kind::length});
    size.radius = door::scalar(radius, {"radius", Kind::length});
    size.basis = door::basis(k_factor, deduction, allowance, coupon);
    size.direction = direction(way);
    size.measured = door::measured(measured);
    size.notch = notch(notch_to);
    size.corner_gap = door::scalar(corner_gap, {"corner_gap", Kind::length});
    return Pan(size);
}

py::object depths(const Pan& pan) {
    const auto& d = pan.size().depth;
    return numbers({d.begin(), d.end()});
}

py::object ends(const blank::PanLine& line, double position) {
    const auto both = line.ends(position);
    return door::points_array({both.begin(), both.end()});
}

py::tuple lines_of(const std::array<blank::PanLine, 4>& lines, double length, double width) {
    py::tuple out(4);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const auto& l = lines[i];
        const bool upright = i < 2;
        out[i] = result("PanLine", kSides[i], bend_line(l.line, upright ? length : width), ends(l, l.line.centre),
                        ends(l, l.line.tangent[0]), ends(l, l.line.tangent[1]), ends(l, l.line.sight[0]),
                        ends(l, l.line.sight[1]));
    }
    return out;
}

py::tuple pan_lines(const Pan& pan) { return lines_of(pan.bend_lines(), pan.blank_length(), pan.blank_width()); }

py::object with_ears(const Pan& pan, const py::sequence& ears) {
    std::vector<blank::PinEar> all;
    for (const py::handle h : ears) {
        const std::string at = "ears[" + std::to_string(all.size()) + "].";
        const auto get = [&](const char* field) {
            return door::scalar(h.attr(field), {(at + field).c_str(), Kind::length});
        };
        all.push_back({side(at + "side", py::cast<std::string>(h.attr("side"))),
                       side(at + "from_side", py::cast<std::string>(h.attr("from_side"))), get("along"), get("behind"),
                       get("radius"), get("pin_diameter")});
    }
    const blank::EaredBlank made = blank::with_ears(pan, all);
    std::vector<Point> at;
    std::vector<double> diameters;
    std::vector<double> clear;
    for (const auto& pin : made.pins) {
        at.push_back(pin.at);
        diameters.push_back(pin.diameter);
        clear.push_back(pin.clear_of_bend);
    }
    return result("EaredBlank", made.outline, made.length, made.width, numbers({made.past.begin(), made.past.end()}),
                  lines_of(made.bend_lines, made.length, made.width), door::points_array(at), numbers(diameters),
                  numbers(clear));
}

template <class Class, class Get>
void basis_properties(Class& cls, Get get) {
    cls.def_property_readonly(
           "k_factor",
           [get](const typename Class::type& v) { return door::basis_value(get(v), Basis::Kind::k_factor); })
        .def_property_readonly(
            "deduction",
            [get](const typename Class::type& v) { return door::basis_value(get(v), Basis::Kind::deduction); })
        .def_property_readonly("allowance", [get](const typename Class::type& v) {
            return door::basis_value(get(v), Basis::Kind::allowance);
        });
}

/// Rows of lengths, angles and radii broadcast together; one developed length for each row.
py::object developed_length(py::handle lengths, py::handle angles_deg, py::handle radii, py::handle thickness,
                            py::handle k_factor, const std::string& measured, const std::string& invalid) {
    const bool nan = door::nan_wanted(invalid);
    const Measured how = door::measured(measured);
    const auto np = py::module_::import("numpy");
    const door::F64 l = door::array(lengths, {"lengths", Kind::length});
    const door::F64 a = door::array(angles_deg, {"angles_deg", Kind::angle});
    const door::F64 r = door::array(radii, {"radii", Kind::length});
    const door::F64 t = door::array(thickness, {"thickness", Kind::length});
    const door::F64 k = door::array(k_factor, {"k_factor", Kind::number});
    if (l.ndim() == 0 || l.shape(l.ndim() - 1) < 1)
        throw InvalidInput("lengths", "no list", "the flats' lengths, (..., n + 1)");
    const py::ssize_t flats = l.shape(l.ndim() - 1);
    const auto rows = [&](const door::F64& x, py::ssize_t wanted, const char* name) {
        if (x.ndim() > 0 && x.shape(x.ndim() - 1) != wanted && !(x.shape(x.ndim() - 1) == 1 && wanted > 0))
            throw InvalidInput(name, std::to_string(x.shape(x.ndim() - 1)) + " values",
                               "one for each bend (" + std::to_string(wanted) + ")");
        const py::tuple shape = x.attr("shape");
        return py::tuple(shape[py::slice(0, std::max<py::ssize_t>(0, x.ndim() - 1), 1)]);
    };
    py::tuple batch;
    try {
        batch = np.attr("broadcast_shapes")(rows(l, flats, "lengths"), rows(a, flats - 1, "angles_deg"),
                                            rows(r, flats - 1, "radii"), t.attr("shape"), k.attr("shape"));
    } catch (const py::error_already_set& e) {
        throw InvalidInput("shapes", e.what(), "arrays that broadcast together");
    }
    const auto spread = [&](const door::F64& x, py::ssize_t last) {
        py::object shape = last < 0 ? py::object(batch) : py::object(batch + py::make_tuple(last));
        return py::cast<door::F64>(np.attr("ascontiguousarray")(np.attr("broadcast_to")(x, shape)));
    };
    const door::F64 ls = spread(l, flats);
    const door::F64 as = spread(a, flats - 1);
    const door::F64 rs = spread(r, flats - 1);
    const door::F64 ts = spread(t, -1);
    const door::F64 ks = spread(k, -1);
    const auto shape = py::cast<std::vector<py::ssize_t>>(batch);
    door::F64 out(shape);
    double* to = out.mutable_data();
    const double* lengths_at = ls.data();
    const double* angles_at = as.data();
    const double* radii_at = rs.data();
    const double* t_at = ts.data();
    const double* k_at = ks.data();
    const auto n = static_cast<std::size_t>(out.size());
    const auto n_flats = static_cast<std::size_t>(flats);
    {
        const py::gil_scoped_release nogil;  // raw pointers only below: no Python object is touched
        for (std::size_t i = 0; i < n; ++i) {
            const std::size_t b = i * (n_flats - 1);
            try {
                to[i] = blank::developed_length({lengths_at + i * n_flats, n_flats}, {angles_at + b, n_flats - 1},
                                                {radii_at + b, n_flats - 1}, t_at[i], k_at[i], how);
            } catch (const InvalidInput& e) {
                if (!nan) {
                    if (shape.empty()) throw;
                    throw e.at(door::index_text(i, shape));
                }
                to[i] = std::numeric_limits<double>::quiet_NaN();
            }
        }
    }
    if (shape.empty()) return py::float_(*out.data());
    return out;
}

}  // namespace

void bind_blank(py::module_& m) {
    auto topic = m.def_submodule("blank");
    const py::none none;

    py::class_<Flat> flat(topic, "Flat", flat_doc);
    flat.def(py::init(&make_flat), py::arg("length"), py::arg("measured") = "outside")
        .def_readonly("length", &Flat::length)
        .def_property_readonly("measured", &flat_measured);
    door::finish_value(flat, {"length", "measured"});

    py::class_<Bend> bend(topic, "Bend", bend_doc);
    bend.def(py::init(&make_bend), py::arg("angle_deg") = none, py::arg("radius") = none, py::arg("direction") = "up",
             py::kw_only(), py::arg("included_deg") = none, py::arg("k_factor") = none, py::arg("deduction") = none,
             py::arg("allowance") = none, py::arg("coupon") = none)
        .def_readonly("angle_deg", &Bend::angle_deg)
        .def_readonly("radius", &Bend::radius)
        .def_property_readonly("direction", [](const Bend& b) { return direction_word(b.direction); });
    basis_properties(bend, [](const Bend& b) { return b.basis; });
    door::finish_value(bend, {"angle_deg", "radius", "direction", "k_factor", "deduction", "allowance"});

    py::class_<Profile> profile(topic, "Profile", profile_doc);
    profile
        .def(py::init(&make_profile), py::arg("parts"), py::arg("thickness"), py::kw_only(), py::arg("k_factor") = none,
             py::arg("deduction") = none, py::arg("allowance") = none, py::arg("coupon") = none)
        .def_property_readonly("parts", [](const Profile& p) { return door::parts_tuple(p.parts()); })
        .def_property_readonly("thickness", &Profile::thickness)
        .def_property_readonly("developed_length", &Profile::developed_length)
        .def_property_readonly("flats", &flat_spans)
        .def_property_readonly("flat_lengths", &flat_lengths)
        .def_property_readonly("bend_lines", &profile_lines)
        .def_property_readonly("folded", &folded)
        .def_property_readonly("remeasured", [](const Profile& p) { return numbers(p.remeasured()); });
    basis_properties(profile, [](const Profile& p) { return p.basis(); });
    door::finish_value(profile, {"parts", "thickness", "k_factor", "deduction", "allowance"});

    py::class_<Pan> pan(topic, "Pan", pan_doc);
    pan.def(py::init(&make_pan), py::arg("length"), py::arg("width"), py::arg("depth"), py::kw_only(),
            py::arg("thickness"), py::arg("radius"), py::arg("k_factor") = none, py::arg("deduction") = none,
            py::arg("allowance") = none, py::arg("coupon") = none, py::arg("direction") = "up",
            py::arg("measured") = "outside", py::arg("notch") = "centre", py::arg("corner_gap") = PanSize{}.corner_gap)
        .def_property_readonly("length", [](const Pan& p) { return p.size().length; })
        .def_property_readonly("width", [](const Pan& p) { return p.size().width; })
        .def_property_readonly("depth", &depths)
        .def_property_readonly("thickness", [](const Pan& p) { return p.size().thickness; })
        .def_property_readonly("radius", [](const Pan& p) { return p.size().radius; })
        .def_property_readonly("direction", [](const Pan& p) { return direction_word(p.size().direction); })
        .def_property_readonly("measured", [](const Pan& p) { return door::measured_word(p.size().measured); })
        .def_property_readonly("notch", [](const Pan& p) { return notch_word(p.size().notch); })
        .def_property_readonly("corner_gap", [](const Pan& p) { return p.size().corner_gap; })
        .def_property_readonly("blank_length", &Pan::blank_length)
        .def_property_readonly("blank_width", &Pan::blank_width)
        .def_property_readonly("notches",
                               [](const Pan& p) {
                                   return numbers({p.notch().begin(), p.notch().end()});
                               })
        .def_property_readonly("outline", &Pan::outline)
        .def_property_readonly("bend_lines", &pan_lines)
        .def_property_readonly("lengthwise", [](const Pan& p) { return p.lengthwise(); })
        .def_property_readonly("crosswise", [](const Pan& p) { return p.crosswise(); })
        .def_property_readonly("flange_end_gap", &Pan::flange_end_gap)
        .def_property_readonly("flange_end_overlap", &Pan::flange_end_overlap)
        .def_property_readonly("explanation", &Pan::explanation);
    basis_properties(pan, [](const Pan& p) { return p.size().basis; });
    door::finish_value(pan, {"length", "width", "depth", "thickness", "radius", "k_factor", "deduction", "allowance",
                             "direction", "measured", "notch", "corner_gap"});

    topic.def("with_ears", &with_ears, py::arg("pan"), py::arg("ears"));
    topic.def("developed_length", &developed_length, py::arg("lengths"), py::arg("angles_deg"), py::arg("radii"),
              py::arg("thickness"), py::arg("k_factor"), py::kw_only(), py::arg("measured") = "outside",
              py::arg("invalid") = "raise");
}
