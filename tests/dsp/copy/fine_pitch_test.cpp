#include "dsp/copy/fine_pitch.h"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>

namespace skedlark::copy {
namespace {

constexpr double kBesideHz = 0.2;
constexpr double kTurn = 2.0 * std::numbers::pi * kBesideHz / 200.0;

tone::BasebandFrame frame_at(std::int64_t i) {
    tone::BasebandFrame frame;
    frame.z = std::complex<float>(std::polar(1.0, 1.0 + kTurn * static_cast<double>(i)));
    frame.pitch_hz = 700.0F;
    return frame;
}

// A loop of the first order: what is left after t of learning from a perfect measurement is
// exp(-t / T) of what there was (closed form), T = 15 s; and the frames then stand still.
TEST(FinePitch, LearnsAsALoopOfTheFirstOrder) {
    FinePitch fine;
    constexpr std::int64_t kHop = 50;
    std::int64_t i = 0;
    for (; i < 1200; ++i) {
        (void)fine.taken_out(frame_at(i));
        if (i % kHop == kHop - 1) fine.learn(kTurn - fine.turn_a_frame(), kHop);
    }
    EXPECT_NEAR((kTurn - fine.turn_a_frame()) / kTurn, std::exp(-6.0 / 15.0), 1e-9);
    for (; i < 60000; ++i) {
        (void)fine.taken_out(frame_at(i));
        if (i % kHop == kHop - 1) fine.learn(kTurn - fine.turn_a_frame(), kHop);
    }
    const tone::BasebandFrame one = fine.taken_out(frame_at(i));
    const tone::BasebandFrame later = fine.taken_out(frame_at(i + 1));
    EXPECT_NEAR(std::arg(later.z * std::conj(one.z)), 0.0, 1e-5);
    EXPECT_NEAR(static_cast<double>(later.pitch_hz), 700.0 + kBesideHz, 1e-3);
}

// Frames turned back afterwards and the frame that comes next are one tone.
TEST(FinePitch, GoesOnWhereFramesWereTurnedBack) {
    FinePitch fine;
    std::complex<double> last;
    constexpr int kFrames = 300;
    for (int i = 0; i < kFrames; ++i) last = fine.taken_out(frame_at(i)).z;
    fine.add(kTurn, kFrames);
    last *= std::polar(1.0, -kTurn * (kFrames - 1));
    const std::complex<double> next = fine.taken_out(frame_at(kFrames)).z;
    EXPECT_NEAR(std::arg(next * std::conj(last)), 0.0, 1e-4);
}

// What lies more than half a hertz beside is the follower's to find: the loop must not run off.
TEST(FinePitch, StaysNearThePitchFollowed) {
    FinePitch fine;
    for (int i = 0; i < 1000; ++i) fine.learn(0.1, 50);
    EXPECT_NEAR(fine.turn_a_frame(), 2.0 * std::numbers::pi * 0.5 / 200.0, 1e-12);
    fine.reset();
    EXPECT_EQ(fine.turn_a_frame(), 0.0);
}

}  // namespace
}  // namespace skedlark::copy
