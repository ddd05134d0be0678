// Against Rayleigh theory and the Rice formula (both for a 2-sigma spread B = 1 Hz), and the table
// of ITU-R F.1487 Annex 3.
#include "dsp/synth/channel.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

// Sampled at 100 Hz: 50,000 s hold some 50,000 independent values.
constexpr double kRate = 100.0;
constexpr std::size_t kSamples = 5'000'000;

const std::vector<std::complex<float>>& gains() {
    static const auto made = [] {
        FadingGain gain(1.0, kRate, probe::test_seed());
        std::vector<std::complex<float>> out(kSamples);
        for (auto& value : out) value = std::complex<float>(gain.next());
        return out;
    }();
    return made;
}

double power(std::complex<float> gain) { return static_cast<double>(std::norm(gain)); }

// Median -1.59 dB and mean envelope -1.05 dB re rms; below -10 dB 9.52 %, below -20 dB 1.00 %
// (theory).
TEST(FadingGain, RayleighLevels) {
    std::vector<double> powers;
    double mean = 0.0;
    double envelope = 0.0;
    for (const auto& gain : gains()) {
        powers.push_back(power(gain));
        mean += powers.back() / kSamples;
        envelope += std::sqrt(powers.back()) / kSamples;
    }
    // Standard error of the mean power: 1 / sqrt(50,000 x 1.1) or so, 0.45 %.
    EXPECT_NEAR(mean, 1.0, 0.025);
    EXPECT_NEAR(20.0 * std::log10(envelope), -1.05, 0.12);
    std::nth_element(powers.begin(), powers.begin() + kSamples / 2, powers.end());
    EXPECT_NEAR(probe::db(powers[kSamples / 2]), -1.59, 0.12);
    const auto share_below = [&](double level) {
        return static_cast<double>(std::count_if(powers.begin(), powers.end(),
                                                 [&](double p) { return p < level; })) /
               kSamples;
    };
    EXPECT_NEAR(share_below(0.1), 0.0952, 0.006);
    EXPECT_NEAR(share_below(0.01), 0.0100, 0.0015);
}

// Rice: crossings per second 0 dB .652, -10 dB .507, -20 dB .1755; mean fade .969 s, .1876 s, 56.7
// ms.
TEST(FadingGain, CrossingRatesAndFades) {
    struct Row {
        double level_db, rate, fade_s, limit;
    };
    for (const Row& row : {Row{0.0, 0.652, 0.969, 0.03}, Row{-10.0, 0.507, 0.1876, 0.04},
                           Row{-20.0, 0.1755, 0.0567, 0.07}}) {
        const double level = std::pow(10.0, row.level_db / 10.0);
        std::size_t crossings = 0;
        std::size_t below = 0;
        bool was_below = power(gains().front()) < level;
        for (const auto& gain : gains()) {
            const bool is_below = power(gain) < level;
            if (is_below && !was_below) ++crossings;
            if (is_below) ++below;
            was_below = is_below;
        }
        const double seconds = kSamples / kRate;
        EXPECT_NEAR(static_cast<double>(crossings) / seconds, row.rate, row.limit * row.rate);
        EXPECT_NEAR(static_cast<double>(below) / kRate / static_cast<double>(crossings), row.fade_s,
                    1.5 * row.limit * row.fade_s);
    }
}

// Gaussian Doppler spectrum: correlation exp(-(pi B t)^2 / 2): 1/e at .450/B s, half at .375/B s.
TEST(FadingGain, TapMemory) {
    const auto correlation = [&](std::size_t lag) {
        std::complex<double> sum;
        for (std::size_t i = 0; i + lag < kSamples; ++i) {
            sum += std::complex<double>(gains()[i + lag]) *
                   std::conj(std::complex<double>(gains()[i]));
        }
        return sum / static_cast<double>(kSamples - lag);
    };
    EXPECT_NEAR(correlation(45).real(), std::exp(-1.0), 0.025);
    EXPECT_NEAR(0.5 * (correlation(37).real() + correlation(38).real()), 0.5, 0.025);
    EXPECT_NEAR(correlation(90).real(), std::exp(-4.0), 0.025);
    EXPECT_NEAR(correlation(45).imag(), 0.0, 0.025);  // no shift
}

// The rate of samples must not matter: 10 Hz spread at 8000 Hz falls to 1/e in 45 ms.
TEST(FadingGain, FastFadingAtAudioRate) {
    FadingGain gain(10.0, 8000.0, probe::test_seed());
    std::vector<std::complex<double>> values(4'000'000);
    for (auto& value : values) value = gain.next();
    double mean = 0.0;
    double product = 0.0;
    for (std::size_t i = 0; i + 360 < values.size(); ++i) {
        mean += std::norm(values[i]);
        product += (values[i + 360] * std::conj(values[i])).real();
    }
    EXPECT_NEAR(product / mean, std::exp(-1.0), 0.06);
    EXPECT_NEAR(mean / static_cast<double>(values.size() - 360), 1.0, 0.08);
}

TEST(FadingGain, NoSpreadStandsStill) {
    FadingGain gain(0.0, 8000.0, 9);
    const auto first = gain.next();
    EXPECT_NEAR(std::abs(first), 1.0, 1e-12);
    for (int i = 0; i < 1000; ++i) ASSERT_EQ(gain.next(), first);
}

TEST(NamedChannels, TableOfF1487) {
    struct Row {
        const char* name;
        double delay_ms, spread_hz;
    };
    for (const Row& row :
         {Row{"low-quiet", 0.5, 0.5}, Row{"low-moderate", 2, 1.5}, Row{"low-disturbed", 6, 10},
          Row{"mid-quiet", 0.5, 0.1}, Row{"mid-moderate", 1, 0.5}, Row{"mid-disturbed", 2, 1},
          Row{"mid-vertical", 7, 1}, Row{"high-quiet", 1, 0.5}, Row{"high-moderate", 3, 10},
          Row{"high-disturbed", 7, 30}, Row{"flutter", 0.5, 10}}) {
        const auto channel = channel_by_name(row.name);
        ASSERT_TRUE(channel) << row.name;
        EXPECT_EQ(channel->paths, 2);
        EXPECT_DOUBLE_EQ(channel->spread_hz, row.spread_hz) << row.name;
        EXPECT_DOUBLE_EQ(channel->delay_s * 1000.0, row.delay_ms) << row.name;
    }
    EXPECT_FALSE(channel_by_name("mid"));
}

}  // namespace
}  // namespace skedlark::synth
