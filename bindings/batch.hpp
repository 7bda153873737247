#pragma once
// A bound value that may stand for one thing or for a batch of them: where a field was given as an array, every field
// is handed out as an array, and functions that take the value answer with a batch axis first.
#include <algorithm>
#include <cstdint>
#include <initializer_list>

#include "door.hpp"

namespace door {

template <class T>
struct Batch {
    std::vector<T> items;
    bool batched = false;
    [[nodiscard]] std::size_t size() const noexcept { return items.size(); }
    /// Item i of a batch; the single one for every i where there is no batch.
    [[nodiscard]] const T& at(std::size_t i) const { return batched ? items[i] : items.front(); }
};

/// One dimension for all: 1 and n mix, n and m do not.
class BatchSize {
  public:
    void take(std::size_t n, bool batched, const char* name) {
        if (!batched) return;
        if (batched_ && n != n_)
            throw foldswing::InvalidInput(name, std::to_string(n) + " values",
                                          "as long as the other arrays (" + std::to_string(n_) + ")");
        n_ = n;
        batched_ = true;
    }
    [[nodiscard]] std::size_t size() const noexcept { return batched_ ? n_ : 1; }
    [[nodiscard]] bool batched() const noexcept { return batched_; }

  private:
    std::size_t n_ = 1;
    bool batched_ = false;
};

/// Fields as scalars or 1-d arrays of one length.
class Columns {
  public:
    F64 column(py::handle h, Arg arg) {
        F64 a = array(h, arg);
        if (a.ndim() > 1)
            throw foldswing::InvalidInput(arg.name, std::to_string(a.ndim()) + " axes", "a number or one axis");
        size_.take(static_cast<std::size_t>(a.size()), a.ndim() == 1, arg.name);
        return a;
    }
    /// (2,) or (n, 2).
    F64 point_column(py::handle h, const char* name) {
        F64 a = array(h, {name, Kind::length});
        const bool one = a.ndim() == 1 && a.shape(0) == 2;
        if (!one && (a.ndim() != 2 || a.shape(1) != 2))
            throw foldswing::InvalidInput(name, "shape " + py::cast<std::string>(py::str(a.attr("shape"))),
                                          "(x, y) or (n, 2)");
        size_.take(static_cast<std::size_t>(a.size() / 2), !one, name);
        return a;
    }
    [[nodiscard]] const BatchSize& size() const noexcept { return size_; }
    static double get(const F64& a, std::size_t i) { return a.ndim() == 0 ? *a.data() : a.data()[i]; }
    static foldswing::Point get_point(const F64& a, std::size_t i) {
        const double* p = a.data() + (a.ndim() == 1 ? 0 : 2 * i);
        return {p[0], p[1]};
    }

  private:
    BatchSize size_;
};

/// Builds the batch; an error in item i of a batch names i.
template <class T, class Make>
Batch<T> make_batch(const BatchSize& size, Make make) {
    Batch<T> out;
    out.batched = size.batched();
    out.items.reserve(size.size());
    for (std::size_t i = 0; i < size.size(); ++i) {
        try {
            out.items.push_back(make(i));
        } catch (const foldswing::InvalidInput& e) {
            if (!size.batched()) throw;
            throw e.at(std::to_string(i));
        }
    }
    return out;
}

/// A field of every item: a float, or a read-only (n,) array.
template <class T, class Get>
py::object field(const Batch<T>& batch, Get get) {
    if (!batch.batched) return py::float_(get(batch.items.front()));
    F64 a(static_cast<py::ssize_t>(batch.size()));
    std::transform(batch.items.begin(), batch.items.end(), a.mutable_data(), get);
    return freeze(std::move(a));
}

/// A point of every item: a read-only (2,) or (n, 2) array.
template <class T, class Get>
py::object point_field(const Batch<T>& batch, Get get) {
    if (!batch.batched) return point_array(get(batch.items.front()));
    std::vector<foldswing::Point> all(batch.size());
    std::transform(batch.items.begin(), batch.items.end(), all.begin(), get);
    return points_array(all);
}

/// A status of every item: its word, or a read-only (n,) int8 array of codes.
template <class T, class Get>
py::object status_field(const Batch<T>& batch, Get get) {
    if (!batch.batched) return py::str(word(get(batch.items.front())));
    py::array_t<std::int8_t> a(static_cast<py::ssize_t>(batch.size()));
    std::transform(batch.items.begin(), batch.items.end(), a.mutable_data(),
                   [&](const T& item) { return static_cast<std::int8_t>(get(item)); });
    return freeze(std::move(a));
}

/// Equality, hash, repr that evaluates, pickling, copying, to_dict and from_dict, all from the constructor's own names.
template <class Class>
void finish_value(Class& cls, std::initializer_list<const char*> fields) {
    py::list names;
    for (const char* f : fields) names.append(f);
    py::module_::import("foldswing._values").attr("attach")(cls, py::tuple(names));
}

}  // namespace door
