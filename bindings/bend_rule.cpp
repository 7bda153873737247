// The part of bend that deals with rules by name, and with test strips read with errors.
#include "bend_rule.hpp"

#include <foldswing/bend_rule.hpp>
#include <foldswing/calibration.hpp>
#include <span>

#include "bend.hpp"
#include "door.hpp"

namespace py = pybind11;
namespace bend = foldswing::bend;
using bend::Rule;
using door::Kind;

namespace {

constexpr door::Arg angle{"angle_deg", Kind::angle};
constexpr door::Arg radius{"radius", Kind::length};
constexpr door::Arg thickness{"thickness", Kind::length};

// A closed form takes numbers only, so each rule is a function of its own; the front picks by the word.
template <Rule R>
double k_factor(double radius_in, double thickness_in) {
    return bend::k_factor_by_rule(R, radius_in, thickness_in);
}
template <Rule R>
double range_code(double angle_deg, double radius_in, double thickness_in) {
    return static_cast<double>(bend::range(R, angle_deg, radius_in, thickness_in));
}

template <std::size_t... I>
void bind_rules(py::module_& topic, std::index_sequence<I...>) {
    (door::closed_form(topic, (std::string("k_factor_") + bend::facts(bend::kRules[I]).word).c_str(),
                       &k_factor<bend::kRules[I]>, {{radius, thickness}}),
     ...);
    (door::closed_form(topic, (std::string("range_") + bend::facts(bend::kRules[I]).word).c_str(),
                       &range_code<bend::kRules[I]>, {{angle, radius, thickness}}),
     ...);
}

Rule rule_named(const std::string& word) {
    for (const Rule rule : bend::kRules)
        if (word == bend::facts(rule).word) return rule;
    throw foldswing::InvalidInput("rule", "'" + word.substr(0, 80) + "'", "the name of a rule in print");
}

/// k-factors of arrays, and how many bends lie below, above and near a jump of the rule.
py::tuple k_factors(const std::string& word, py::handle radii, py::handle thicknesses) {
    const Rule rule = rule_named(word);
    door::F64 r = door::array(radii, radius);
    door::F64 t = door::array(thicknesses, thickness);
    if (r.size() != 1 && t.size() != 1 && !py::tuple(r.attr("shape")).equal(py::tuple(t.attr("shape")))) {
        py::object both;
        try {
            both = py::module_::import("numpy").attr("broadcast_arrays")(r, t);
        } catch (const py::error_already_set& e) {
            throw foldswing::InvalidInput("shapes", e.what(), "arrays that broadcast together");
        }
        r = py::cast<door::F64>(both[py::int_(0)]);  // the cast makes it contiguous
        t = py::cast<door::F64>(both[py::int_(1)]);
    }
    const door::F64& larger = r.ndim() > t.ndim() || (r.ndim() == t.ndim() && r.size() >= t.size()) ? r : t;
    door::F64 out(std::vector<py::ssize_t>(larger.shape(), larger.shape() + larger.ndim()));
    const auto span = [](const door::F64& a) { return std::span(a.data(), static_cast<std::size_t>(a.size())); };
    const std::span<double> to(out.mutable_data(), static_cast<std::size_t>(out.size()));
    bend::RangeCounts counts;
    {
        const py::gil_scoped_release nogil;  // raw pointers only: no Python object is touched
        counts = bend::k_factors_by_rule(rule, span(r), span(t), to);
    }
    return py::make_tuple(out, counts.below, counts.above, counts.near_jump);
}

/// The fields of RuleFacts in order, for every rule.
py::list rule_facts() {
    py::list out;
    for (const Rule rule : bend::kRules) {
        const bend::RuleFacts& f = bend::facts(rule);
        out.append(
            py::make_tuple(f.word, f.formula, f.source, f.angle_from_deg, f.angle_to_deg, f.ratio_from, f.ratio_to));
    }
    return out;
}

/// Rows of (rule, range code, k-factor, allowance, deduction), then shortest, longest and spread.
py::tuple spread(py::handle angle_deg, py::handle radius_in, py::handle thickness_in) {
    const bend::Spread s = bend::spread(door::scalar(angle_deg, angle), door::scalar(radius_in, radius),
                                        door::scalar(thickness_in, thickness));
    py::list rows;
    for (const auto& b : s.bends)
        rows.append(
            py::make_tuple(bend::facts(b.rule).word, static_cast<int>(b.range), b.k_factor, b.allowance, b.deduction));
    return py::make_tuple(py::tuple(rows), s.shortest, s.longest, s.spread);
}

std::vector<double> numbers(py::handle h, door::Arg arg) {
    const door::F64 a = door::array(h, arg);
    return {a.data(), a.data() + a.size()};
}

/// k-factor and range code by the shop's own table, over radii and thicknesses of one shape.
py::tuple by_table(py::handle ratios, py::handle k_factors, py::handle radii, py::handle thicknesses) {
    const bend::KTable table(numbers(ratios, {"ratios", Kind::number}),
                             numbers(k_factors, {"k_factors", Kind::number}));
    py::object both;
    try {
        both = py::module_::import("numpy").attr("broadcast_arrays")(door::array(radii, radius),
                                                                     door::array(thicknesses, thickness));
    } catch (const py::error_already_set& e) {
        throw foldswing::InvalidInput("shapes", e.what(), "arrays that broadcast together");
    }
    const auto r = py::cast<door::F64>(both[py::int_(0)]);  // the cast makes it contiguous
    const auto t = py::cast<door::F64>(both[py::int_(1)]);
    const std::vector<py::ssize_t> shape(r.shape(), r.shape() + r.ndim());
    door::F64 k(shape);
    door::F64 code(shape);
    double* const k_to = k.mutable_data();
    double* const code_to = code.mutable_data();
    {
        const py::gil_scoped_release nogil;  // raw pointers only below: no Python object is touched
        for (py::ssize_t i = 0; i < r.size(); ++i) {
            try {
                k_to[i] = table.k_factor(r.data()[i], t.data()[i]);
                code_to[i] = static_cast<double>(table.range(r.data()[i], t.data()[i]));
            } catch (const foldswing::InvalidInput& e) {
                if (shape.empty()) throw;
                throw e.at(door::index_text(static_cast<std::size_t>(i), shape));
            }
        }
    }
    return py::make_tuple(k, code);
}

py::tuple calibrate(py::handle flat_length, py::handle leg_a, py::handle leg_b, py::handle radii,
                    py::handle thicknesses, py::handle angles_deg, const std::string& measured, py::handle length_error,
                    py::handle radius_error, py::handle thickness_error, py::handle angle_error_deg, bool curve) {
    py::object given;
    try {
        given = py::module_::import("numpy").attr("broadcast_arrays")(
            door::array(flat_length, {"flat_length", Kind::length}), door::array(leg_a, {"leg_a", Kind::length}),
            door::array(leg_b, {"leg_b", Kind::length}), door::array(radii, radius),
            door::array(thicknesses, thickness), door::array(angles_deg, angle));
    } catch (const py::error_already_set& e) {
        throw foldswing::InvalidInput("shapes", e.what(), "arrays that broadcast together");
    }
    std::array<std::vector<double>, 6> columns;
    for (std::size_t i = 0; i < columns.size(); ++i) columns[i] = numbers(given[py::int_(i)], {"strips", Kind::number});
    const bend::Measured how = door::measured(measured);
    std::vector<bend::Coupon> strips(columns[0].size());
    for (std::size_t i = 0; i < strips.size(); ++i)
        strips[i] = {columns[0][i], columns[1][i], columns[2][i], columns[3][i], columns[4][i], columns[5][i], how};
    const bend::ReadingErrors errors{door::scalar(length_error, {"length_error", Kind::length}),
                                     door::scalar(radius_error, {"radius_error", Kind::length}),
                                     door::scalar(thickness_error, {"thickness_error", Kind::length}),
                                     door::scalar(angle_error_deg, {"angle_error_deg", Kind::angle})};
    const bend::Calibration c = bend::calibrate(strips, errors, curve);
    py::list rows;
    for (const auto& s : c.strips) rows.append(py::make_tuple(s.k_factor, s.k_error, s.ratio, s.residual));
    return py::make_tuple(py::tuple(rows), c.curve, c.middle, c.level, c.slope, c.level_error, c.slope_error,
                          c.ratio_from, c.ratio_to, c.chi_squared, c.spare, c.worse_by_chance, c.deduction,
                          c.deduction_error);
}

/// (k-factor, error, low, high) of a calibration given by its level, slope and errors.
py::tuple estimate(bool curve, double middle, double level, double slope, double level_error, double slope_error,
                   py::handle radius_in, py::handle thickness_in) {
    bend::Calibration c;
    c.curve = curve;
    c.middle = middle;
    c.level = level;
    c.slope = slope;
    c.level_error = level_error;
    c.slope_error = slope_error;
    const bend::KEstimate k = c.at(door::scalar(radius_in, radius), door::scalar(thickness_in, thickness));
    return py::make_tuple(k.k_factor, k.error, k.low, k.high);
}

}  // namespace

void bind_bend_rule(py::module_& topic) {
    bind_rules(topic, std::make_index_sequence<bend::kRules.size()>{});
    topic.attr("two_sided_95") = bend::kTwoSided95;
    topic.def("rule_facts", &rule_facts);
    topic.def("k_factors", &k_factors, py::arg("rule"), py::arg("radius"), py::arg("thickness"));
    topic.def("spread", &spread, py::arg("angle_deg"), py::arg("radius"), py::arg("thickness"));
    topic.def("two_step_jump", &bend::two_step_jump, py::arg("angle_deg"), py::arg("thickness"));
    topic.def("by_table", &by_table, py::arg("ratios"), py::arg("k_factors"), py::arg("radius"), py::arg("thickness"));
    topic.def("calibrate", &calibrate, py::arg("flat_length"), py::arg("leg_a"), py::arg("leg_b"), py::arg("radius"),
              py::arg("thickness"), py::arg("angle_deg"), py::arg("measured"), py::arg("length_error"),
              py::arg("radius_error"), py::arg("thickness_error"), py::arg("angle_error_deg"), py::arg("curve"));
    topic.def("estimate", &estimate, py::arg("curve"), py::arg("middle"), py::arg("level"), py::arg("slope"),
              py::arg("level_error"), py::arg("slope_error"), py::arg("radius"), py::arg("thickness"));
}
