#include "dsp/synth/programme.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace skedlark::synth {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kSoundingRms = 0.316;  // mean square 0.1

}  // namespace

Programme::Programme(ProgrammeKind kind, double sample_rate_hz, std::uint64_t seed)
    : kind_(kind), sample_rate_hz_(sample_rate_hz), random_(seed) {}

// Two poles at the centre; unit gain in power for white noise at the input.
void Programme::tune(Resonance& resonance, double centre_hz, double width_hz) const {
    const double r = std::exp(-std::numbers::pi * width_hz / sample_rate_hz_);
    const double angle = kTwoPi * centre_hz / sample_rate_hz_;
    resonance.a1 = 2.0 * r * std::cos(angle);
    resonance.a2 = -r * r;
    const double a1 = -resonance.a1;
    const double a2 = -resonance.a2;
    // Variance of an autoregression of second order driven by unit noise (Box and Jenkins).
    const double variance = (1.0 + a2) / ((1.0 - a2) * ((1.0 + a2) * (1.0 + a2) - a1 * a1));
    resonance.gain = 1.0 / std::sqrt(variance);
}

void Programme::begin_syllable() {
    const bool pause = random_.uniform() < 0.12;
    const double length_s = pause ? random_.uniform(0.15, 0.8) : random_.uniform(0.06, 0.28);
    next_event_ = frame_ + static_cast<std::int64_t>(length_s * sample_rate_hz_);
    loudness_ = pause ? 0.0 : random_.uniform(0.4, 1.6);
    voiced_ = random_.uniform() < 0.75;
    voice_hz_ = random_.uniform(95.0, 210.0);
    if (voiced_) {
        tune(mouth_[0], random_.uniform(280.0, 800.0), random_.uniform(60.0, 120.0));
        tune(mouth_[1], random_.uniform(900.0, 2300.0), random_.uniform(80.0, 180.0));
    } else {
        tune(mouth_[0], random_.uniform(1500.0, 2800.0), random_.uniform(500.0, 1200.0));
        tune(mouth_[1], random_.uniform(2200.0, 3200.0), random_.uniform(400.0, 900.0));
    }
}

double Programme::speech() {
    if (frame_ >= next_event_) begin_syllable();
    level_ += (loudness_ - level_) * std::min(1.0, 80.0 / sample_rate_hz_);
    double drive = random_.normal();
    if (voiced_) {
        voice_phase_ += voice_hz_ / sample_rate_hz_;
        // A pulse each period of the voice, of the same power as the noise, and a little breath.
        drive *= 0.15;
        if (voice_phase_ >= 1.0) {
            voice_phase_ -= 1.0;
            drive += std::sqrt(sample_rate_hz_ / voice_hz_);
        }
    }
    double sum = 0.0;
    double weight = 0.8;
    for (Resonance& one : mouth_) {
        const double y = one.gain * drive + one.a1 * one.y1 + one.a2 * one.y2;
        one.y2 = one.y1;
        one.y1 = y;
        sum += weight * y;
        weight = 0.45;
    }
    return level_ * sum;
}

void Programme::begin_note(Note& note) {
    // Equal temperament about 440 Hz, over three octaves.
    const double hz = 440.0 * std::exp2((random_.below(37) - 21) / 12.0);
    note.step = kTwoPi * hz / sample_rate_hz_;
    note.level = random_.uniform(0.4, 1.2);
    note.keep = std::exp(-1.0 / (random_.uniform(0.3, 1.5) * sample_rate_hz_));
}

double Programme::music() {
    if (frame_ >= next_event_) {
        begin_note(notes_[next_note_]);
        next_note_ = (next_note_ + 1) % notes_.size();
        next_event_ =
            frame_ + static_cast<std::int64_t>(random_.uniform(0.08, 0.5) * sample_rate_hz_);
    }
    double sum = 0.0;
    for (Note& note : notes_) {
        note.phase = std::fmod(note.phase + note.step, kTwoPi);
        note.level *= note.keep;
        sum += note.level * (std::sin(note.phase) + 0.5 * std::sin(2.0 * note.phase) +
                             0.25 * std::sin(3.0 * note.phase));
    }
    return sum;
}

double Programme::next() {
    double value = 0.0;
    if (kind_ == ProgrammeKind::speech) value = speech();
    if (kind_ == ProgrammeKind::music) value = music();
    ++frame_;
    return std::clamp(kSoundingRms * value, -1.0, 1.0);
}

}  // namespace skedlark::synth
