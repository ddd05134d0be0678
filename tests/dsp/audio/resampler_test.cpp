// Limits: libsoxr states 20 bits (about -120 dB) for its high quality; -100 dB is asked here, 10 dB
// under the noise of a 16-bit sound card (16-bit: -98 dB, by definition of the quantisation step).
#include "dsp/audio/resampler.h"

#include <sys/wait.h>

#include <algorithm>
#include <cstdio>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

using test::error_db;
using test::rms_db;
using test::sine;

constexpr double kRates[] = {8000.0,  11025.0, 12000.0, 16000.0, 22050.0,
                             32000.0, 44100.0, 48000.0, 96000.0, 192000.0};

Resampler made(double in_rate_hz) {
    auto resampler = Resampler::create(in_rate_hz);
    EXPECT_TRUE(resampler.ok());
    return *std::move(resampler);
}

std::vector<float> resampled(Resampler& resampler, const std::vector<float>& in,
                             std::uint64_t split_seed = 0) {
    std::mt19937_64 random(split_seed);
    std::vector<float> out;
    std::vector<float> block(777);
    std::size_t at = 0;
    while (at < in.size()) {
        std::size_t size = std::min<std::size_t>(in.size() - at, 1024);
        std::size_t room = block.size();
        if (split_seed != 0) {
            size = std::min<std::size_t>(in.size() - at, random() % 3000);
            room = random() % (block.size() + 1);
        }
        const auto progress =
            resampler.process(std::span(in).subspan(at, size), std::span(block).first(room));
        at += static_cast<std::size_t>(progress.taken);
        out.insert(out.end(), block.begin(), block.begin() + progress.written);
    }
    while (const int count = resampler.flush(block)) {
        out.insert(out.end(), block.begin(), block.begin() + count);
    }
    return out;
}

class EveryRate : public testing::TestWithParam<double> {};
INSTANTIATE_TEST_SUITE_P(Resampler, EveryRate, testing::ValuesIn(kRates));

// Definition: output frame n is the input's tone at n / 8000 s. A delay of a hundredth of a frame
// would leave -55 dB or more.
TEST_P(EveryRate, KeepsTimeAndLevelOfATone) {
    const double rate_hz = GetParam();
    for (const double tone_hz : {60.0, 700.0, 2000.0, 3400.0}) {
        Resampler resampler = made(rate_hz);
        const auto in = sine(tone_hz, rate_hz, static_cast<std::size_t>(2.0 * rate_hz));
        const auto out = resampled(resampler, in);
        ASSERT_EQ(out.size(), 16000U);
        // Up to 3 kHz the pass band is flat; at 3.4 kHz 0.01 dB of droop (-59 dB) is allowed.
        EXPECT_LT(error_db(out, sine(tone_hz, 8000.0, 16000), 1000, 15000),
                  tone_hz < 3100.0 ? -100.0 : -59.0)
            << tone_hz;
    }
}

// A tone above the new Nyquist frequency must not come back as an image.
TEST_P(EveryRate, LetsNoImageThrough) {
    const double rate_hz = GetParam();
    for (const double tone_hz : {4100.0, 4600.0, 7300.0, 9000.0, 15300.0, 23000.0}) {
        if (tone_hz > 0.48 * rate_hz) continue;
        Resampler resampler = made(rate_hz);
        const auto out = resampled(
            resampler, sine(tone_hz, rate_hz, static_cast<std::size_t>(2.0 * rate_hz), 1.0));
        EXPECT_LT(rms_db(out, 1000, 15000) + 3.01, -100.0) << tone_hz;
    }
}

TEST_P(EveryRate, SameForAnySplit) {
    const double rate_hz = GetParam();
    const auto in = test::noise(static_cast<std::size_t>(rate_hz) + 13);
    Resampler one = made(rate_hz);
    Resampler other = made(rate_hz);
    EXPECT_EQ(resampled(one, in), resampled(other, in, test::seed() | 1U));
}

TEST_P(EveryRate, GivesEveryFrameAndNoMore) {
    const double rate_hz = GetParam();
    for (const std::size_t frames : {0U, 1U, 2U, 5U, 6U, 7U, 100U, 4801U, 44101U}) {
        Resampler resampler = made(rate_hz);
        const auto out = resampled(resampler, std::vector<float>(frames, 0.25F));
        EXPECT_EQ(out.size(), static_cast<std::size_t>(
                                  std::ceil(static_cast<double>(frames) * 8000.0 / rate_hz - 1e-6)))
            << frames;
    }
}

TEST_P(EveryRate, ConstantStaysConstantAndSilenceSilent) {
    const double rate_hz = GetParam();
    const auto frames = static_cast<std::size_t>(rate_hz);
    Resampler resampler = made(rate_hz);
    const auto constant = resampled(resampler, std::vector<float>(frames, 0.25F));
    for (std::size_t i = 1000; i < 7000; ++i) ASSERT_NEAR(constant[i], 0.25F, 2.5e-6F);
    resampler.reset();
    for (const float x : resampled(resampler, std::vector<float>(frames, 0.0F))) ASSERT_EQ(x, 0.0F);
}

TEST_P(EveryRate, ResetIsAsNew) {
    const auto in = test::noise(static_cast<std::size_t>(GetParam()));
    Resampler resampler = made(GetParam());
    const auto first = resampled(resampler, in);
    resampler.reset();
    EXPECT_EQ(resampled(resampler, in), first);
}

// Live copy waits for this lag, so it is limited.
TEST_P(EveryRate, LagsLittle) {
    const double rate_hz = GetParam();
    Resampler resampler = made(rate_hz);
    const std::vector<float> block(static_cast<std::size_t>(rate_hz / 100.0), 0.1F);
    std::vector<float> out(8000);
    double taken_s = 0.0;
    double given_s = 0.0;
    double worst_s = 0.0;
    for (int i = 0; i < 500; ++i) {
        const auto progress = resampler.process(block, out);
        taken_s += progress.taken / rate_hz;
        given_s += progress.written / 8000.0;
        worst_s = std::max(worst_s, taken_s - given_s);
    }
    RecordProperty("worst_lag_ms", static_cast<int>(1000.0 * worst_s));
    EXPECT_LT(worst_s, Resampler::kMaxLagS);
}

TEST(Resampler, RefusesRatesOutOfRange) {
    for (const double rate_hz : {1.0, 7999.0, 192001.0, 1e7, -48000.0, std::nan("")}) {
        const auto resampler = Resampler::create(rate_hz);
        ASSERT_FALSE(resampler.ok());
        EXPECT_EQ(resampler.error().code, ErrorCode::invalid_value);
        EXPECT_NE(resampler.error().message.find("8000 to 192000"), std::string::npos);
    }
}

// Second opinion: scipy.signal.resample_poly with a long Kaiser filter, on noise below 2.7 kHz.
// The filter asked of SciPy reaches -100 dB, so the two agree to -90 dB.
TEST(Resampler, AgreesWithScipy) {
    test::TempFolder folder;
    const std::string script = R"(
import sys, numpy as np
from scipy import signal
folder, seed = sys.argv[1], int(sys.argv[2])
for rate, up, down in ((48000, 1, 6), (44100, 80, 441), (96000, 1, 12), (11025, 320, 441)):
    noise = np.random.default_rng(seed).standard_normal(2 * rate) * 0.1
    low = signal.firwin(4001, 2700, window=('kaiser', 12.0), fs=rate)
    x = signal.fftconvolve(noise, low, 'same').astype(np.float32)
    taps = signal.firwin(2 * 160 * max(up, down) + 1, 3600, window=('kaiser', 10.0), fs=rate * up)
    y = signal.resample_poly(x.astype(np.float64), up, down, window=taps).astype(np.float32)
    x.tofile(f'{folder}/{rate}.in'); y.tofile(f'{folder}/{rate}.out')
)";
    test::write_bytes(folder.file("make.py"), script);
    const std::string command = "/usr/bin/python3 " + folder.file("make.py") + " " +
                                folder.path().string() + " " +
                                std::to_string(test::seed() % 1000000);
    ASSERT_EQ(std::system(command.c_str()), 0) << "needs /usr/bin/python3 with python3-scipy";
    const auto floats = [](const std::string& path) {
        const std::string bytes = test::read_bytes(path);
        std::vector<float> out(bytes.size() / sizeof(float));
        std::copy_n(bytes.data(), out.size() * sizeof(float), reinterpret_cast<char*>(out.data()));
        return out;
    };
    for (const int rate : {48000, 44100, 96000, 11025}) {
        const auto in = floats(folder.file(std::to_string(rate) + ".in"));
        const auto theirs = floats(folder.file(std::to_string(rate) + ".out"));
        Resampler resampler = made(rate);
        const auto ours = resampled(resampler, in);
        ASSERT_EQ(ours.size(), theirs.size()) << rate;
        const double apart_db = error_db(ours, theirs, 1000, ours.size() - 1000);
        std::printf("%d Hz: apart from SciPy by %.1f dB\n", rate, apart_db);
        EXPECT_LT(apart_db, -90.0) << rate;
    }
}

}  // namespace
}  // namespace skedlark::audio
