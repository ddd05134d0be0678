#include "dsp/spectrum/window.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace skedlark::spectrum {
namespace {

constexpr int kSize = 4096;

// Magnitude of the window's transform at a fractional bin, over that at 0: plain sum in double.
double response(const Window& window, double bin) {
    std::complex<double> sum;
    double whole = 0.0;
    for (std::size_t n = 0; n < window.weights.size(); ++n) {
        const auto weight = static_cast<double>(window.weights[n]);
        sum += std::polar(weight, -2.0 * std::numbers::pi * bin * static_cast<double>(n) /
                                      static_cast<double>(window.weights.size()));
        whole += weight;
    }
    return std::abs(sum) / whole;
}

struct Row {
    WindowKind kind;
    double coherent_gain, enbw_bins, scallop_db, side_lobe_db;
    double lobe_from_bins;  // where the main lobe has ended
};

// Source: Harris, Proc. IEEE 66 (1978), Table 1; decimals and flat top computed from the
// coefficients by independent double-precision code (periodic form, 4096 points).
class WindowTable : public ::testing::TestWithParam<Row> {};

TEST_P(WindowTable, AgreesWithHarris) {
    const Row row = GetParam();
    const Window window = make_window(row.kind, kSize);
    ASSERT_EQ(window.weights.size(), static_cast<std::size_t>(kSize));
    EXPECT_NEAR(window.coherent_gain, row.coherent_gain, 1e-4);
    EXPECT_NEAR(window.enbw_bins, row.enbw_bins, 1e-4);
    EXPECT_NEAR(-20.0 * std::log10(response(window, 0.5)), row.scallop_db, 2e-3);
    double highest = 0.0;
    for (double bin = row.lobe_from_bins; bin < row.lobe_from_bins + 40.0; bin += 0.05)
        highest = std::max(highest, response(window, bin));
    EXPECT_NEAR(20.0 * std::log10(highest), row.side_lobe_db, 0.03);
}

INSTANTIATE_TEST_SUITE_P(
    Harris, WindowTable,
    ::testing::Values(Row{WindowKind::rectangular, 1.0, 1.0, 3.9224, -13.26, 1.0},
                      Row{WindowKind::hann, 0.5, 1.5, 1.4236, -31.47, 2.0},
                      Row{WindowKind::hamming, 0.54, 1.3628, 1.7514, -42.68, 2.0},
                      Row{WindowKind::blackman, 0.42, 1.7268, 1.0989, -58.11, 3.0},
                      Row{WindowKind::blackman_harris, 0.3588, 2.0044, 0.8256, -92.01, 4.0},
                      Row{WindowKind::flat_top, 0.2156, 3.7702, 0.0098, -93.03, 5.0}));

TEST(Window, IsPeriodicNotSymmetric) {
    const Window window = make_window(WindowKind::hann, 8);
    EXPECT_NEAR(window.weights[0], 0.0F, 1e-7F);
    EXPECT_NEAR(window.weights[4], 1.0F, 1e-7F);
    EXPECT_FLOAT_EQ(window.weights[1], window.weights[7]);
}

TEST(Window, OfOneSampleIsThatSample) {
    EXPECT_FLOAT_EQ(make_window(WindowKind::rectangular, 1).weights[0], 1.0F);
}

}  // namespace
}  // namespace skedlark::spectrum
