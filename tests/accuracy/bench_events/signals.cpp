#include "tests/accuracy/bench_events/signals.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

namespace skedlark::accuracy {

synth::FilterConfig valve_filter() {
    synth::FilterConfig filter;
    filter.kind = synth::FilterKind::valve;
    filter.width_hz = 6000.0;
    return filter;
}

synth::FilterConfig band_filter() {
    synth::FilterConfig filter;
    filter.kind = synth::FilterKind::band;
    filter.low_hz = 300.0;
    filter.high_hz = 2700.0;
    return filter;
}

std::vector<float> bench_noise(const BenchNoise& config, std::vector<synth::Crash>* crashes) {
    synth::NoiseSource source(config.dirt, config.rms * std::sqrt(config.rate_hz / 8000.0),
                              config.rate_hz, config.seed);
    synth::ReceiverConfig set;
    set.filter = config.filter;
    synth::Receiver receiver(set, {}, 0.1, config.rate_hz);
    const auto frames = static_cast<std::size_t>(std::llround(config.seconds * config.rate_hz));
    std::vector<float> audio;
    audio.reserve(frames);
    std::vector<double> block;
    // A tenth of a second first, for the filter to settle.
    auto left = frames + static_cast<std::size_t>(0.1 * config.rate_hz);
    while (left > 0) {
        block.assign(std::min<std::size_t>(left, 65536), 0.0);
        source.add(block);
        receiver.process(block);
        left -= block.size();
        for (const double x : block) audio.push_back(static_cast<float>(x));
    }
    if (crashes != nullptr) {
        *crashes = source.crashes();
        for (synth::Crash& crash : *crashes) crash.at_s -= 0.1;
    }
    audio.erase(audio.begin(), audio.end() - static_cast<std::ptrdiff_t>(frames));
    return audio;
}

void add_tone(std::vector<float>& audio, double rate_hz, double amplitude, double phase,
              const std::function<double(double)>& pitch_hz_at) {
    for (std::size_t i = 0; i < audio.size(); ++i) {
        audio[i] += static_cast<float>(amplitude * std::cos(phase));
        // The pitch half a sample on: the mean over the step to second order.
        phase += 2.0 * std::numbers::pi * pitch_hz_at((static_cast<double>(i) + 0.5) / rate_hz) /
                 rate_hz;
        if (phase > 1e3) phase = std::fmod(phase, 2.0 * std::numbers::pi);
    }
}

void add_noise_for(std::vector<float>& audio, double rate_hz, double amplitude,
                   double snr_2400hz_db, std::uint64_t seed) {
    const double in_2400hz = 0.5 * amplitude * amplitude / std::pow(10.0, 0.1 * snr_2400hz_db);
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal(0.0, std::sqrt(in_2400hz * 0.5 * rate_hz / 2400.0));
    for (float& x : audio) x += static_cast<float>(normal(random));
}

void add_ringing(std::vector<float>& audio, double rate_hz, const RingSignal& ring,
                 std::uint64_t seed) {
    double power = 0.0;
    for (const float x : audio) power += static_cast<double>(x) * static_cast<double>(x);
    power /= static_cast<double>(audio.size());
    const double amplitude = std::sqrt(2.0 * power * std::pow(10.0, 0.1 * ring.over_noise_db));
    const double blow = std::sqrt(power * std::pow(10.0, 0.1 * ring.thump_db));
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> any_phase(0.0, 2.0 * std::numbers::pi);
    for (const double at_s : ring.at_s) {
        const double phase = any_phase(random);
        const auto from = static_cast<std::size_t>(at_s * rate_hz);
        for (std::size_t i = from; i < audio.size(); ++i) {
            const double t = static_cast<double>(i) / rate_hz - at_s;
            if (t > 12.0 * ring.decay_s) break;
            double x = amplitude * std::exp(-t / ring.decay_s) *
                       std::cos(2.0 * std::numbers::pi * ring.hz * t + phase);
            if (t < 0.002) x += blow * normal(random);
            audio[i] += static_cast<float>(x);
        }
    }
}

void apply_gates(std::vector<float>& audio, double rate_hz, const std::vector<Gate>& gates) {
    constexpr double kEdgeS = 0.0001;
    for (const Gate& gate : gates) {
        const double closed = std::pow(10.0, -gate.depth_db / 20.0);
        const auto from = static_cast<std::size_t>(std::max(0.0, (gate.at_s - kEdgeS) * rate_hz));
        const auto to =
            std::min(audio.size(),
                     static_cast<std::size_t>((gate.at_s + gate.length_s + kEdgeS) * rate_hz) + 1);
        for (std::size_t i = from; i < to; ++i) {
            const double t = static_cast<double>(i) / rate_hz;
            const double outside = std::max(gate.at_s - t, t - gate.at_s - gate.length_s);
            const double open = std::clamp(outside / kEdgeS, 0.0, 1.0);
            audio[i] *= static_cast<float>(closed + (1.0 - closed) * open);
        }
    }
}

}  // namespace skedlark::accuracy
