// Made-up audio of a receiver on the bench, every fault in it known. Shares no code with what it tries.
//
// Stage:   tests. Out: mono audio.
// Units:   seconds, hertz, dB; audio 1.0 = full scale; SNR of a tone in 2400 Hz.
// Shape:   any length.
// Errors:  none.
// Threads: pure; the same seed gives the same audio.
// Checked: tests/accuracy/bench_events/signals_test.cpp
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "dsp/synth/noise.h"
#include "dsp/synth/receiver.h"

namespace skedlark::accuracy {

struct BenchNoise {
    double rate_hz = 48000.0;
    double seconds = 10.0;
    double rms = 0.03;  // of the white noise in the band to 4 kHz, before the filter
    synth::FilterConfig filter{};
    synth::NoiseConfig dirt{};
    std::uint64_t seed = 1;
};
// crashes: where static was put in.
[[nodiscard]] std::vector<float> bench_noise(const BenchNoise& config,
                                             std::vector<synth::Crash>* crashes = nullptr);
// The valve receiver: 6 kHz wide, so the noise falls by 6 dB at 3 kHz.
[[nodiscard]] synth::FilterConfig valve_filter();
// 300 to 2700 Hz.
[[nodiscard]] synth::FilterConfig band_filter();

// A tone whose phase is the sum of its pitch, sample by sample.
void add_tone(std::vector<float>& audio, double rate_hz, double amplitude, double phase,
              const std::function<double(double)>& pitch_hz_at);
// White noise such that a tone of this amplitude stands so far over it in 2400 Hz.
void add_noise_for(std::vector<float>& audio, double rate_hz, double amplitude,
                   double snr_2400hz_db, std::uint64_t seed);

// Blows of 2 ms that ring: the ringing begins at `over_noise_db` over the noise that is in the audio.
struct RingSignal {
    std::vector<double> at_s{};
    double hz = 400.0;
    double decay_s = 0.05;
    double over_noise_db = 20.0;
    double thump_db = 30.0;  // the blow over the noise
};
void add_ringing(std::vector<float>& audio, double rate_hz, const RingSignal& ring,
                 std::uint64_t seed);

struct Gate {
    double at_s = 0.0;
    double length_s = 0.002;
    double depth_db = 20.0;
};
// Edges of 0.1 ms.
void apply_gates(std::vector<float>& audio, double rate_hz, const std::vector<Gate>& gates);

}  // namespace skedlark::accuracy
