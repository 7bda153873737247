#include "dense.hpp"

#include <Eigen/Eigenvalues>
#include <Eigen/QR>
#include <algorithm>

template class Eigen::JacobiSVD<Eigen::MatrixXd>;

namespace foldswing::detail {

Eigen::MatrixXd triangle(const Eigen::MatrixXd& m) {
    const Eigen::Index k = m.cols();
    Eigen::MatrixXd padded = Eigen::MatrixXd::Zero(std::max(m.rows(), k), k);
    padded.topRows(m.rows()) = m;
    return Eigen::HouseholderQR<Eigen::MatrixXd>(padded).matrixQR().topRows(k).triangularView<Eigen::Upper>();
}

LeastSquares least_squares(const Eigen::MatrixXd& a, const Eigen::VectorXd& b) {
    const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(a);
    return {qr.solve(b), qr.rank()};
}

Eigen::MatrixXd eigenvectors(const Eigen::MatrixXd& symmetric) {
    return Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(symmetric).eigenvectors();
}

}  // namespace foldswing::detail
