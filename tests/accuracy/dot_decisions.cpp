#include "tests/accuracy/dot_decisions.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <vector>

#include "dsp/synth/scene.h"
#include "dsp/tone/follower.h"
#include "tests/accuracy/grid_decoder.h"
#include "tests/accuracy/study.h"
#include "tests/support/on_off_error.h"

namespace skedlark::accuracy {
namespace {

constexpr double kPitchHz = 650.0;
constexpr double kFirstMarkS = 4.0;  // time for the follower to settle on pitch and noise

synth::SceneConfig scene_of_signal(const DotSignal& signal, std::uint64_t seed) {
    synth::SceneConfig scene =
        synth::one_text(letter_groups(signal.groups, seed), signal.speed_wpm, {},
                        signal.snr_2500hz_db, support::seed_for_part(seed, 1));
    scene.beat.pitch_hz = kPitchHz;
    scene.wanted.rise_s = 0.0;  // theory's dots are rectangular
    scene.wanted.transmissions.front().at_s = kFirstMarkS;
    return scene;
}

}  // namespace

double DotCounts::error_rate() const {
    if (marks == 0 || gaps == 0) return 0.0;
    return 0.5 * (static_cast<double>(missed) / static_cast<double>(marks) +
                  static_cast<double>(false_marks) / static_cast<double>(gaps));
}

DotCounts& DotCounts::operator+=(const DotCounts& other) {
    marks += other.marks;
    missed += other.missed;
    gaps += other.gaps;
    false_marks += other.false_marks;
    return *this;
}

Result<DotCounts> decide_dots(const DotSignal& signal, std::uint64_t seed) {
    const synth::SceneConfig config = scene_of_signal(signal, seed);
    const auto scene = synth::make_scene(config);
    if (!scene) return scene.error();
    auto follower = tone::Follower::create({.pitch_hz = kPitchHz, .pitch_error_hz = 0.5});
    if (!follower) return follower.error();
    std::vector<tone::BasebandFrame> frames;
    follower->process(scene->samples, frames);

    // Mean and noise of the sum over a dot, from the scene's own settings. A tone of peak A has
    // power A^2/2; the complex frames carry twice the power of the real band they stand for.
    const double amplitude = amplitude_from_db(config.level_dbfs);
    const double density =
        0.5 * amplitude * amplitude / (power_from_db(signal.snr_2500hz_db) * kReferenceBandwidthHz);
    const double dot_s = dit_s(signal.speed_wpm);
    const double frames_a_dot = dot_s * tone::kBasebandRateHz;
    const double axis_sigma = std::sqrt(frames_a_dot * density * tone::kBasebandRateHz);
    const double dot_energy = power_from_db(
        support::dot_energy_db(signal.snr_2500hz_db, kReferenceBandwidthHz, signal.speed_wpm));
    const double threshold = support::noncoherent_on_off(dot_energy).threshold * axis_sigma;

    DotCounts counts;
    std::size_t next = 0;
    const std::vector<bool> keys = keyed_grid(scene->truth.wanted.text);
    for (std::size_t dot = 0; dot < keys.size(); ++dot) {
        const FrameIndex from = frames_from_seconds(kFirstMarkS + static_cast<double>(dot) * dot_s);
        const FrameIndex to =
            frames_from_seconds(kFirstMarkS + static_cast<double>(dot + 1) * dot_s);
        std::complex<double> sum = 0.0;
        while (next < frames.size() && frames[next].at_frame < from) ++next;
        for (; next < frames.size() && frames[next].at_frame < to; ++next) {
            sum += std::complex<double>(frames[next].z);
        }
        const bool read_down = std::abs(sum) > threshold;
        if (keys[dot]) {
            ++counts.marks;
            if (!read_down) ++counts.missed;
        } else {
            ++counts.gaps;
            if (read_down) ++counts.false_marks;
        }
    }
    return counts;
}

double energy_db_for_error(double error_rate) {
    double low = -10.0;
    double high = 20.0;
    for (int step = 0; step < 50; ++step) {
        const double middle = 0.5 * (low + high);
        const bool too_many =
            support::noncoherent_on_off(power_from_db(middle)).mean() > error_rate;
        (too_many ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace skedlark::accuracy
