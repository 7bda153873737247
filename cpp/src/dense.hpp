// Decompositions of matrices of any size, compiled once in dense.cpp: they take Eigen's users longer to compile than
// all else together.
#pragma once

#include <Eigen/Core>
#include <Eigen/SVD>

extern template class Eigen::JacobiSVD<Eigen::MatrixXd>;

namespace foldswing::detail {

/// Upper triangular factor of m = Q R by Householder's method, square; rows that m lacks count as zeros.
[[nodiscard]] Eigen::MatrixXd triangle(const Eigen::MatrixXd& m);

struct LeastSquares {
    Eigen::VectorXd x;
    Eigen::Index rank = 0;
};

/// The x of least |a x - b|, by Householder's method with columns pivoted.
[[nodiscard]] LeastSquares least_squares(const Eigen::MatrixXd& a, const Eigen::VectorXd& b);

/// Eigenvectors of a symmetric matrix as columns, by rising eigenvalue.
[[nodiscard]] Eigen::MatrixXd eigenvectors(const Eigen::MatrixXd& symmetric);

}  // namespace foldswing::detail
