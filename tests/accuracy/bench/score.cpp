#include "tests/accuracy/bench/score.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace skedlark::accuracy {

void Score::add(const bench::Figure& figure, double truth) {
    errors_.push_back(figure.value - truth);
    uncertainties_.push_back(figure.uncertainty_95);
    if (std::abs(errors_.back()) <= figure.uncertainty_95) ++held_;
}

double Score::rms() const {
    double square = 0.0;
    for (const double e : errors_) square += e * e;
    return std::sqrt(square / static_cast<double>(errors_.size()));
}

std::string Score::line() const {
    if (errors_.empty()) return fmt::format("0,{},,,,,,", failed_);
    const auto count = static_cast<double>(errors_.size());
    std::vector<double> sizes;
    for (const double e : errors_) sizes.push_back(std::abs(e));
    std::sort(sizes.begin(), sizes.end());
    const auto at95 = static_cast<std::size_t>(std::ceil(0.95 * count)) - 1;
    return fmt::format("{},{},{:.5g},{:.4g},{:.4g},{:.4g},{:.3f},{:.4g}", errors_.size(), failed_,
                       std::accumulate(errors_.begin(), errors_.end(), 0.0) / count, rms(),
                       sizes[at95], sizes.back(), held_ / count,
                       std::accumulate(uncertainties_.begin(), uncertainties_.end(), 0.0) / count);
}

}  // namespace skedlark::accuracy
