#include "dsp/copy/level_tracker.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::amplitude_of;

struct Read {
    MarkEvidence evidence{8192};
    SampledPath path;
    double end = 0.0;
};

// Marks of 12 frames, gaps of 12, known to the frame; gain gives each mark's amplitude.
template <typename Gain>
Read read_marks(int marks, double expected, std::mt19937_64& random, const Gain& gain) {
    Read read;
    read.evidence.reset();
    std::vector<tone::BasebandFrame> frames;
    for (int m = 0; m < marks; ++m) {
        const std::int64_t from = 24 * m + 12;
        for (const double a : {0.0, gain()}) {
            const auto more = test::frames_of(std::vector<double>(12, a), random);
            frames.insert(frames.end(), more.begin(), more.end());
        }
        SampledCharacter character;
        character.node = 1;
        character.complete = true;
        character.before = GapKind::character;
        character.marks = {{from, from + 12, false}};
        read.path.push_back(character);
    }
    for (const auto& frame : frames) {
        read.evidence.append(frame, expected);
    }
    read.end = static_cast<double>(frames.size());
    return read;
}

// Known marks at +6 dB; a start 4 dB off is forgotten (memory 400 frames, 3600 learned in six
// turns). Standard error: noise of 400 frames at this level, 0.7 %; four of them.
TEST(LevelTracker, FindsTheAmplitudeOfKnownMarks) {
    std::mt19937_64 random(support::test_seed(61));
    const double a = amplitude_of(6.0);
    const Read read = read_marks(300, 0.63 * a, random, [&] { return a; });
    LevelTracker level;
    level.start(0.63 * a);
    for (int part = 0; part < 6; ++part) {
        level.learn({read.path}, read.evidence, read.end * part / 6.0, read.end * (part + 1) / 6.0);
    }
    EXPECT_NEAR(level.amplitude() / a, 1.0, 0.03);
    EXPECT_NEAR(level.snr_2500hz_db(), 6.0, 0.3);
}

// Key-down SNR in 2500 Hz is what the frames were made with. 3600 frames of marks; standard error
// of the mean power at -5 dB 1.5 %, 0.07 dB.
class SnrRead : public ::testing::TestWithParam<double> {};
TEST_P(SnrRead, WithinAThirdOfADecibel) {
    std::mt19937_64 random(support::test_seed(62));
    const double a = amplitude_of(GetParam());
    const Read read = read_marks(300, a, random, [&] { return a; });
    LevelTracker level;
    level.start(a);
    level.learn({read.path}, read.evidence, 0.0, read.end);
    EXPECT_NEAR(level.snr_2500hz_db(), GetParam(), 0.3);
}
INSTANTIATE_TEST_SUITE_P(Db, SnrRead, ::testing::Values(-10.0, -5.0, 0.0, 10.0));

// Gains that are complex Gaussian (Rayleigh sizes) are what the fading reading stands for; steady
// ones are not.
TEST(LevelTracker, SharesMoveToWhatTheMarksDo) {
    std::mt19937_64 random(support::test_seed(63));
    const double a = amplitude_of(6.0);
    const auto learn = [&](const auto& gain) {
        const Read read = read_marks(300, a, random, gain);
        LevelTracker level;
        level.start(a);
        for (int part = 0; part < 10; ++part) {
            level.learn({read.path}, read.evidence, read.end * part / 10.0,
                        read.end * (part + 1) / 10.0);
        }
        return level.mix();
    };
    const MarkMix steady = learn([&] { return a; });
    const MarkMix fading =
        learn([&] { return a * std::abs(std::complex<double>(test::noise(random))); });
    EXPECT_GT(steady.steady, 0.7);
    // With nothing foreseen the gain that is carried may be any as well.
    EXPECT_GT(fading.fading + fading.carried, 0.7);
    for (const MarkMix& mix : {steady, fading}) {
        EXPECT_NEAR(mix.steady + mix.fading + mix.turning + mix.rough + mix.torn + mix.carried, 1.0,
                    1e-9);
    }
}

// A tone that was steady and begins to fade is read as fading within some 60 marks, a dozen
// characters: no share sinks so low that it could not come back.
TEST(LevelTracker, AShareThatWasNotNeededComesBack) {
    std::mt19937_64 random(support::test_seed(65));
    const double a = amplitude_of(6.0);
    int mark = 0;
    const Read read = read_marks(260, a, random, [&] {
        return ++mark <= 200 ? a : a * std::abs(std::complex<double>(test::noise(random)));
    });
    LevelTracker level;
    level.start(a);
    for (int part = 0; part < 26; ++part) {
        if (part == 20) {
            EXPECT_LT(level.mix().fading + level.mix().carried, 0.3);
        }
        level.learn({read.path}, read.evidence, read.end * part / 26.0,
                    read.end * (part + 1) / 26.0);
    }
    EXPECT_GT(level.mix().fading + level.mix().carried, 0.5);
}

TEST(LevelTracker, NothingReadChangesNothing) {
    std::mt19937_64 random(support::test_seed(64));
    const Read read = read_marks(20, 1.0, random, [] { return 1.0; });
    LevelTracker level;
    level.start(2.0);
    level.learn({read.path}, read.evidence, read.end, read.end + 100.0);
    level.learn({SampledPath{}}, read.evidence, 0.0, read.end);
    EXPECT_DOUBLE_EQ(level.amplitude(), 2.0);
    EXPECT_DOUBLE_EQ(level.mix().steady, MarkMix{}.steady);
    level.learn({read.path}, read.evidence, 0.0, read.end);
    level.reset();
    level.start(2.0);
    EXPECT_DOUBLE_EQ(level.amplitude(), 2.0);
    EXPECT_LT(level.snr_2500hz_db(), -50.0) << "no marks yet";
}

// Noise and a tone: mean excess power over the share of time that the key is closed in PARIS, 22 of
// 50 units. 44 % of frames at a^2: standard error under 3 %.
TEST(LevelTracker, ExcessAmplitudeIsTheKeyDownLevel) {
    std::mt19937_64 random(support::test_seed(65));
    const double a = amplitude_of(0.0);
    std::vector<double> amplitudes(4000, 0.0);
    for (std::size_t i = 0; i < amplitudes.size(); ++i) {
        amplitudes[i] = i % 25 < 11 ? a : 0.0;
    }
    auto frames = test::frames_of(amplitudes, random);
    for (std::size_t i = 1000; i < 1200; ++i) {
        frames[i].lost = true;
        frames[i].z = {1e4F, 0.0F};
    }
    MarkEvidence evidence(4096);
    evidence.reset();
    for (const auto& frame : frames) {
        evidence.append(frame, 1.0);
    }
    EXPECT_NEAR(excess_amplitude(evidence, 0, 4000) / a, 1.0, 0.03);
    EXPECT_EQ(excess_amplitude(evidence, 1000, 1200), 0.0) << "nothing heard";
}

// Before a mark was learned the level is the one it was started with, however far under the noise
// of other sets that is; and one mark in a crash of static does not lift it.
TEST(LevelTracker, KeepsTheLevelItStartedWithAndMindsNoCrash) {
    LevelTracker level;
    level.start(0.004);
    EXPECT_NEAR(level.amplitude(), 0.004, 1e-12);
    std::mt19937_64 random(support::test_seed(64));
    const double a = amplitude_of(6.0);
    Read read = read_marks(40, a, random, [&] { return a; });
    level.start(a);
    level.learn({read.path}, read.evidence, 0.0, read.end);
    const double before = level.amplitude();
    Read crash = read_marks(1, a, random, [&] { return a; });
    std::vector<tone::BasebandFrame> frames;
    for (std::int64_t i = 0; i < crash.evidence.size(); ++i) {
        frames.push_back(crash.evidence.frame(i));
        frames.back().noise_variance *= 1e4F;
    }
    crash.evidence.reset();
    for (const auto& frame : frames) {
        crash.evidence.append(frame, a);
    }
    level.learn({crash.path}, crash.evidence, 0.0, crash.end);
    EXPECT_LT(level.amplitude(), 1.2 * before);
}

}  // namespace
}  // namespace skedlark::copy
