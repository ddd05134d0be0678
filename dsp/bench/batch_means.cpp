#include "dsp/bench/batch_means.h"

#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numeric>

namespace skedlark::bench {

double student_95(double degrees_of_freedom) {
    return boost::math::quantile(boost::math::students_t(degrees_of_freedom), 0.975);
}

Figure mean_of(std::span<const double> values) {
    const auto count = static_cast<double>(values.size());
    const double mean = std::accumulate(values.begin(), values.end(), 0.0) / count;
    double square = 0.0;
    for (const double v : values) square += (v - mean) * (v - mean);
    const double sd = std::sqrt(square / (count - 1.0) / count);
    return {mean, student_95(count - 1.0) * sd};
}

std::vector<double> batch_means(std::span<const double> values, int batches) {
    const std::size_t length = values.size() / static_cast<std::size_t>(batches);
    std::vector<double> means(static_cast<std::size_t>(batches));
    for (std::size_t b = 0; b < means.size(); ++b) {
        const auto batch = values.subspan(b * length, length);
        means[b] =
            std::accumulate(batch.begin(), batch.end(), 0.0) / static_cast<double>(batch.size());
    }
    return means;
}

}  // namespace skedlark::bench
