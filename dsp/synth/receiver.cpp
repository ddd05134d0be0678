#include "dsp/synth/receiver.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::synth {
namespace {

constexpr double kPi = std::numbers::pi;

// Low sums of the mains seen on the bench of a valve receiver: heater leakage at f, the full-wave
// supply at 2f and its multiples as the Fourier series of the rectified sine has them (4f -13.98
// dB, 6f -21.34, 8f -26.44 below 2f). Levels of f and 3f are our choice, no source.
struct MainsLine {
    double multiple;
    double db;
};
constexpr auto kMainsLines = std::to_array<MainsLine>(
    {{1, -12.0}, {2, 0.0}, {3, -20.0}, {4, -13.98}, {6, -21.34}, {8, -26.44}});

constexpr double kMuteEdgeS = 0.005;

struct Coefficients {
    double b0, b1, b2, a1, a2;
};

// Second order with quality q; the bilinear transform keeps hz exact.
Coefficients low_pass(double hz, double q, double rate) {
    const double k = std::tan(kPi * hz / rate);
    const double n = 1.0 / (1.0 + k / q + k * k);
    return {k * k * n, 2.0 * k * k * n, k * k * n, 2.0 * (k * k - 1.0) * n,
            (1.0 - k / q + k * k) * n};
}

Coefficients high_pass(double hz, double q, double rate) {
    const double k = std::tan(kPi * hz / rate);
    const double n = 1.0 / (1.0 + k / q + k * k);
    return {n, -2.0 * n, n, 2.0 * (k * k - 1.0) * n, (1.0 - k / q + k * k) * n};
}

// Gain 1 at hz; the -3 dB points are width_hz apart.
Coefficients tuned_circuit(double hz, double width_hz, double rate) {
    const double b = std::tan(kPi * width_hz / rate);
    const double n = 1.0 / (1.0 + b);
    return {b * n, 0.0, -b * n, -2.0 * std::cos(2.0 * kPi * hz / rate) * n, (1.0 - b) * n};
}

Coefficients first_order_low_pass(double hz, double rate) {
    const double k = std::tan(kPi * hz / rate);
    const double n = 1.0 / (1.0 + k);
    return {k * n, k * n, 0.0, (k - 1.0) * n, 0.0};
}

Coefficients first_order_high_pass(double hz, double rate) {
    const double k = std::tan(kPi * hz / rate);
    const double n = 1.0 / (1.0 + k);
    return {n, -n, 0.0, (k - 1.0) * n, 0.0};
}

}  // namespace

Receiver::Receiver(const ReceiverConfig& config, const std::vector<OwnKeyed>& own,
                   double tone_amplitude, double sample_rate_hz)
    : config_(config), sample_rate_hz_(sample_rate_hz) {
    add_sections(config.filter);
    if (config.mains.on) add_lines(config.mains, tone_amplitude);
    limit_ = amplitude_from_db(config.limiter_dbfs);
    for (const OwnKeyed& one : own) {
        own_.push_back(
            {KeyingEdges(one.keyed.marks, EdgeShape::raised_cosine, 0.004, sample_rate_hz),
             one.config.mode, one.from_s * sample_rate_hz, one.to_s * sample_rate_hz,
             tone_amplitude * amplitude_from_db(one.config.level_db),
             2.0 * kPi * one.config.pitch_hz / sample_rate_hz,
             1.0 - std::exp(-1.0 / (one.config.recover_s * sample_rate_hz))});
    }
}

void Receiver::add_sections(const FilterConfig& filter) {
    const double rate = sample_rate_hz_;
    const auto add = [&](const Coefficients& c) {
        sections_.push_back({c.b0, c.b1, c.b2, c.a1, c.a2});
    };
    switch (filter.kind) {
        case FilterKind::flat:
            break;
        case FilterKind::band:
            add(high_pass(filter.low_hz, std::numbers::sqrt2 / 2.0, rate));
            add(low_pass(filter.high_hz, std::numbers::sqrt2 / 2.0, rate));
            break;
        case FilterKind::valve: {
            // Each tuned circuit is, about its centre, a first-order low-pass of half its width;
            // two of them are 6 dB down where one is 3 dB down. Beyond the audio band it makes no
            // odds.
            const double half_hz = 0.5 * filter.width_hz;
            if (half_hz < 0.45 * rate) {
                add(first_order_low_pass(half_hz, rate));
                add(first_order_low_pass(half_hz, rate));
            }
            add(first_order_high_pass(100.0, rate));
            break;
        }
        case FilterKind::peak:
            add(tuned_circuit(filter.centre_hz, filter.width_hz, rate));
            break;
    }
}

void Receiver::add_lines(const MainsConfig& mains, double tone_amplitude) {
    for (const MainsLine& line : kMainsLines) {
        const double hz = line.multiple * mains.mains_hz;
        const double amplitude = tone_amplitude * amplitude_from_db(mains.level_db + line.db);
        lines_.push_back({std::polar(1.0, 2.0 * kPi * hz / sample_rate_hz_),
                          std::polar(amplitude, line.multiple)});
    }
}

double Receiver::own_sending(double received, double& sidetone) {
    const auto now = static_cast<double>(frame_);
    const double margin = kMuteEdgeS * sample_rate_hz_;
    while (own_past_ < own_.size() && own_[own_past_].to_frame + margin < now &&
           own_[own_past_].gain > 0.999) {
        ++own_past_;
    }
    for (std::size_t i = own_past_; i < own_.size(); ++i) {
        Own& own = own_[i];
        float key = 0.0F;
        own.edges.fill({&key, 1});
        const bool during = now > own.from_frame - margin && now < own.to_frame + margin;
        if (own.mode == OwnSendingMode::overloaded) {
            own.gain =
                std::min(1.0 - static_cast<double>(key), own.gain + (1.0 - own.gain) * own.recover);
        } else {
            const double step = 1.0 / margin;
            own.gain = std::clamp(own.gain + (during ? -step : step), 0.0, 1.0);
        }
        received *= own.gain;
        if (own.mode != OwnSendingMode::muted) {
            sidetone += own.amplitude * static_cast<double>(key) * std::sin(own.phase);
            own.phase = std::fmod(own.phase + own.phase_step, 2.0 * kPi);
        }
    }
    return received;
}

void Receiver::process(std::span<double> audio) {
    for (double& sample : audio) {
        while (gain_past_ < config_.gain_steps.size() &&
               config_.gain_steps[gain_past_].at_s * sample_rate_hz_ <=
                   static_cast<double>(frame_)) {
            gain_ = amplitude_from_db(config_.gain_steps[gain_past_++].db);
        }
        double value = sample * gain_;
        for (Section& s : sections_) {
            const double in = value;
            value = s.b0 * in + s.z1;
            s.z1 = s.b1 * in - s.a1 * value + s.z2;
            s.z2 = s.b2 * in - s.a2 * value;
        }
        double added = 0.0;
        if (own_past_ < own_.size()) value = own_sending(value, added);
        for (Line& line : lines_) {
            added += line.state.real();
            line.state *= line.turn;
        }
        value += added;
        if (config_.limiter) value = limit_ * std::tanh(value / limit_);
        sample = value + config_.dc;
        ++frame_;
    }
}

}  // namespace skedlark::synth
