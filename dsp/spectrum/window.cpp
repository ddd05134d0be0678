#include "dsp/spectrum/window.h"

#include <cassert>
#include <cmath>
#include <numbers>
#include <span>

namespace skedlark::spectrum {
namespace {

// Terms a0, a1, ... of a0 - a1 cos(t) + a2 cos(2t) - ...
std::span<const double> cosine_terms(WindowKind kind) {
    static constexpr double kRectangular[] = {1.0};
    static constexpr double kHann[] = {0.5, 0.5};
    static constexpr double kHamming[] = {0.54, 0.46};
    static constexpr double kBlackman[] = {0.42, 0.5, 0.08};
    static constexpr double kBlackmanHarris[] = {0.35875, 0.48829, 0.14128, 0.01168};
    static constexpr double kFlatTop[] = {0.21557895, 0.41663158, 0.277263158, 0.083578947,
                                          0.006947368};
    switch (kind) {
        case WindowKind::rectangular:
            return kRectangular;
        case WindowKind::hann:
            return kHann;
        case WindowKind::hamming:
            return kHamming;
        case WindowKind::blackman:
            return kBlackman;
        case WindowKind::blackman_harris:
            return kBlackmanHarris;
        case WindowKind::flat_top:
            return kFlatTop;
    }
    return kRectangular;
}

}  // namespace

Window make_window(WindowKind kind, int size) {
    assert(size >= 1);
    const auto terms = cosine_terms(kind);
    Window window;
    window.weights.reserve(static_cast<std::size_t>(size));
    double sum = 0.0;
    double sum_squares = 0.0;
    for (int n = 0; n < size; ++n) {
        const double angle = 2.0 * std::numbers::pi * n / size;
        double weight = 0.0;
        double sign = 1.0;
        for (std::size_t term = 0; term < terms.size(); ++term) {
            weight += sign * terms[term] * std::cos(static_cast<double>(term) * angle);
            sign = -sign;
        }
        window.weights.push_back(static_cast<float>(weight));
        sum += weight;
        sum_squares += weight * weight;
    }
    window.coherent_gain = sum / size;
    window.enbw_bins = sum_squares * size / (sum * sum);
    return window;
}

}  // namespace skedlark::spectrum
