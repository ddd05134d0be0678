#include "tests/support/reliability.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace skedlark::support {

double Reliability::brier_skill() const {
    return brier_constant > 0.0 ? 1.0 - brier / brier_constant : 0.0;
}

Reliability reliability(std::vector<Judged> judged, int bins) {
    Reliability result;
    if (judged.empty() || bins < 1) return result;
    std::stable_sort(judged.begin(), judged.end(),
                     [](const Judged& a, const Judged& b) { return a.confidence < b.confidence; });
    const std::size_t n = judged.size();
    long wrong = 0;
    long wrong_below = 0;
    for (const Judged& one : judged) {
        const double miss = one.confidence - (one.right ? 1.0 : 0.0);
        result.brier += miss * miss;
        if (!one.right) {
            ++wrong;
            if (one.confidence < 0.8) ++wrong_below;
        }
    }
    const double count = static_cast<double>(n);
    result.count = static_cast<long>(n);
    result.share_right = 1.0 - static_cast<double>(wrong) / count;
    result.brier /= count;
    result.brier_constant = result.share_right * (1.0 - result.share_right);
    result.errors_below_0_8 =
        wrong > 0 ? static_cast<double>(wrong_below) / static_cast<double>(wrong) : 0.0;

    const std::size_t bin_count = std::min(n, static_cast<std::size_t>(bins));
    for (std::size_t b = 0; b < bin_count; ++b) {
        const std::size_t from = b * n / bin_count;
        const std::size_t to = (b + 1) * n / bin_count;
        ReliabilityBin bin;
        for (std::size_t i = from; i < to; ++i) {
            bin.mean_confidence += judged[i].confidence;
            bin.share_right += judged[i].right ? 1.0 : 0.0;
        }
        const double size = static_cast<double>(to - from);
        bin.count = static_cast<long>(to - from);
        result.calibration_error += std::abs(bin.mean_confidence - bin.share_right) / count;
        bin.mean_confidence /= size;
        bin.share_right /= size;
        result.bins.push_back(bin);
    }
    return result;
}

}  // namespace skedlark::support
