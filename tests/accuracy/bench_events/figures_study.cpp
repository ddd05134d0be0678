// Errors and true intervals of drift, ring and passband over many seeds.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <random>

#include "dsp/bench/passband.h"
#include "dsp/bench/pitch_second.h"
#include "dsp/bench/ring.h"
#include "tests/accuracy/bench_events/signals.h"
#include "tests/accuracy/bench_events/studies.h"
#include "tests/support/intervals.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

// Errors of one figure over many runs.
class Tally {
 public:
    void add(const bench::Figure& figure, double truth) {
        const double error = figure.value - truth;
        ++runs_;
        squares_ += error * error;
        sum_ += error;
        uncertainty_ += figure.uncertainty_95;
        if (std::abs(error) <= figure.uncertainty_95) ++inside_;
        errors_.push_back(std::abs(error));
    }
    void miss() { ++missed_; }
    void row(support::CsvTable& table, const std::string& what, const std::string& at, double scale,
             int digits) {
        const auto n = static_cast<double>(std::max(1L, runs_));
        std::sort(errors_.begin(), errors_.end());
        const double at_95 =
            errors_.empty()
                ? std::nan("")
                : errors_[static_cast<std::size_t>(0.95 * static_cast<double>(errors_.size() - 1))];
        const auto share = support::wilson_interval(inside_, runs_);
        table.add_row({what, at, support::cell(runs_), support::cell(missed_),
                       support::cell(scale * sum_ / n, digits),
                       support::cell(scale * std::sqrt(squares_ / n), digits),
                       support::cell(scale * at_95, digits),
                       support::cell(scale * uncertainty_ / n, digits),
                       support::cell(static_cast<double>(inside_) / n, 3),
                       support::cell(share.low, 3), support::cell(share.high, 3)});
    }

 private:
    long runs_ = 0, missed_ = 0, inside_ = 0;
    double squares_ = 0.0, sum_ = 0.0, uncertainty_ = 0.0;
    std::vector<double> errors_{};
};

support::CsvTable figures_table() {
    return support::CsvTable({"figure", "at", "runs", "missed", "bias", "rms", "error_95",
                              "stated_95", "inside_95", "inside_low", "inside_high"});
}

void drift_rows(const StudyOptions& options, support::CsvTable& table) {
    auto meter = bench::PitchMeter::create({});
    for (const double snr_db : {-10.0, 0.0, 10.0, 20.0, 40.0}) {
        for (const double slope : {0.0, 5.0, 30.0}) {
            Tally tally;
            for (int n = 0; n < options.seeds; ++n) {
                std::mt19937_64 random(
                    support::seed_for_part(options.first_seed + static_cast<std::uint64_t>(n), 11));
                const double hz = std::uniform_real_distribution<double>(200.0, 2800.0)(random);
                const double phase = std::uniform_real_distribution<double>(0.0, 6.28)(random);
                std::vector<float> audio(8000, 0.0F);
                add_tone(audio, 8000.0, 0.1, phase,
                         [&](double t) { return hz + slope * (t - 0.5); });
                add_noise_for(audio, 8000.0, 0.1, snr_db, random());
                const auto found = meter->measure(audio);
                if (found.state != bench::ToneState::one) {
                    tally.miss();
                    continue;
                }
                tally.add({found.pitch_hz, bench::expanded_95(found.sd_hz)}, hz);
            }
            tally.row(table, "pitch of a second, mHz",
                      fmt::format("{:g} dB {:g} Hz/s", snr_db, slope), 1000.0, 3);
        }
    }
}

void ring_rows(const StudyOptions& options, support::CsvTable& table) {
    for (const double over_db : {10.0, 20.0, 30.0}) {
        for (const double decay_s : {0.02, 0.06, 0.2}) {
            Tally pitch, decay;
            for (int n = 0; n < options.seeds; ++n) {
                std::mt19937_64 random(
                    support::seed_for_part(options.first_seed + static_cast<std::uint64_t>(n), 12));
                BenchNoise noise;
                noise.rate_hz = 16000.0;
                noise.seconds = 6.0;
                noise.filter = valve_filter();
                noise.rms = 0.005;
                noise.seed = random();
                auto audio = bench_noise(noise);
                RingSignal ring;
                ring.hz = std::uniform_real_distribution<double>(250.0, 1500.0)(random);
                ring.decay_s = decay_s;
                ring.over_noise_db = over_db;
                for (int t = 0; t < 5; ++t) ring.at_s.push_back(0.5 + 1.1 * t);
                add_ringing(audio, noise.rate_hz, ring, random());
                bench::RingConfig config;
                config.sample_rate_hz = noise.rate_hz;
                const auto found = bench::measure_ring(audio, config);
                if (!found || !found->frequency_hz) {
                    pitch.miss();
                    continue;
                }
                const bench::Figure hz{100.0 * found->frequency_hz->value / ring.hz,
                                       100.0 * found->frequency_hz->uncertainty_95 / ring.hz};
                const bench::Figure s{100.0 * found->decay_s->value / decay_s,
                                      100.0 * found->decay_s->uncertainty_95 / decay_s};
                pitch.add(hz, 100.0);
                decay.add(s, 100.0);
            }
            const std::string at =
                fmt::format("{:g} dB {:g} ms, 5 taps", over_db, 1000.0 * decay_s);
            pitch.row(table, "ringing pitch, %", at, 1.0, 3);
            decay.row(table, "ringing decay, %", at, 1.0, 2);
        }
    }
}

// A receiver of two tuned circuits about a middle off zero beat; its audio is the product's level.
double set_db(double offset_hz, double width_hz, double centre_hz) {
    return -20.0 * std::log10(1.0 + std::pow(2.0 * (offset_hz - centre_hz) / width_hz, 2));
}

// Noise bandwidth of a single circuit carried over by the bilinear transform, whose far skirt is drawn in to half
// the sample rate.
double circuit_area_hz(double centre_hz, double width_hz, double rate_hz) {
    double area = 0.0;
    for (double f = 0.5; f < 0.5 * rate_hz; f += 1.0) {
        const double analogue =
            std::tan(std::numbers::pi * f / rate_hz) * rate_hz / std::numbers::pi;
        const double off = (centre_hz * centre_hz - analogue * analogue) / (width_hz * analogue);
        area += 1.0 / (1.0 + off * off);
    }
    return area;
}

void passband_rows(const StudyOptions& options, support::CsvTable& table) {
    constexpr double kRate = 16000.0, kWidth = 2500.0, kCentre = 200.0;
    // Closed form: each circuit 3.0103 dB down at half its width; both 6 dB at width / 2 sqrt(10^0.3 - 1).
    const double exact = kWidth * std::sqrt(std::pow(10.0, 0.3) - 1.0);
    Tally stepped, centre, swept, from_noise, area;
    for (int n = 0; n < options.seeds; ++n) {
        std::mt19937_64 random(
            support::seed_for_part(options.first_seed + static_cast<std::uint64_t>(n), 13));
        // Steps of 100 Hz, half a second each, from -3 to 3 kHz; 30 dB in 2.4 kHz at the highest.
        std::vector<float> audio;
        std::vector<bench::GeneratorStep> steps;
        for (double offset = -3000.0; offset <= 3000.0; offset += 100.0) {
            if (std::abs(offset) < 90.0) continue;
            const double real = offset + std::uniform_real_distribution<double>(-5.0, 5.0)(random);
            std::vector<float> tone(static_cast<std::size_t>(0.5 * kRate), 0.0F);
            add_tone(tone, kRate, 0.1 * std::pow(10.0, 0.05 * set_db(real, kWidth, kCentre)), 0.1,
                     [&](double) { return std::abs(real); });
            const double from_s = static_cast<double>(audio.size()) / kRate;
            audio.insert(audio.end(), tone.begin(), tone.end());
            steps.push_back({{from_s, from_s + 0.5},
                             0.0,
                             offset > 0.0 ? bench::BeatSide::above : bench::BeatSide::below,
                             0.0});
        }
        add_noise_for(audio, kRate, 0.1, 30.0, random());
        if (const auto points = bench::step_points(audio, kRate, steps)) {
            const auto band = bench::read_passband(*points, {});
            if (band && band->at_6_db.width_hz) {
                stepped.add(*band->at_6_db.width_hz, exact);
                centre.add(*band->centre_hz, kCentre);
            } else {
                stepped.miss();
            }
        } else {
            stepped.miss();
        }
        // Swept at 100 Hz/s through zero beat.
        std::vector<float> sweep(static_cast<std::size_t>(60.0 * kRate), 0.0F);
        double phase = 0.3;
        for (std::size_t i = 0; i < sweep.size(); ++i) {
            const double offset = 3000.0 - 100.0 * static_cast<double>(i) / kRate;
            sweep[i] = static_cast<float>(
                0.1 * std::pow(10.0, 0.05 * set_db(offset, kWidth, kCentre)) * std::cos(phase));
            phase += 2.0 * std::numbers::pi * offset / kRate;
        }
        add_noise_for(sweep, kRate, 0.1, 30.0, random());
        if (const auto points =
                bench::sweep_points(sweep, kRate, {0.0, 60.0}, bench::BeatSide::above)) {
            const auto band = bench::read_passband(*points, {});
            band && band->at_6_db.width_hz ? swept.add(*band->at_6_db.width_hz, exact)
                                           : swept.miss();
        } else {
            swept.miss();
        }
        // A minute of noise through one tuned circuit: 6 dB at sqrt(10^0.6 - 1) times its 3 dB width.
        BenchNoise noise;
        noise.rate_hz = 48000.0;
        noise.seconds = 60.0;
        noise.filter.kind = synth::FilterKind::peak;
        noise.filter.centre_hz = 1500.0;
        noise.filter.width_hz = 800.0;
        noise.seed = random();
        if (const auto points = bench::noise_points(bench_noise(noise), noise.rate_hz)) {
            const auto band = bench::read_passband(*points, {});
            if (band && band->at_6_db.width_hz)
                from_noise.add(*band->at_6_db.width_hz,
                               800.0 * std::sqrt(std::pow(10.0, 0.6) - 1.0));
            if (band && band->noise_bandwidth_hz)
                area.add(*band->noise_bandwidth_hz, circuit_area_hz(1500.0, 800.0, noise.rate_hz));
        }
    }
    const std::string exact_text = fmt::format("truth {:.1f} Hz", exact);
    stepped.row(table, "width at 6 dB, stepped, Hz", exact_text, 1.0, 2);
    centre.row(table, "middle of the filter, stepped, Hz", "truth 200 Hz", 1.0, 2);
    swept.row(table, "width at 6 dB, swept, Hz", exact_text, 1.0, 2);
    from_noise.row(table, "width at 6 dB, noise 60 s, Hz", "truth 1380.9 Hz", 1.0, 2);
    area.row(table, "noise bandwidth, noise 60 s, Hz",
             fmt::format("truth {:.1f} Hz", circuit_area_hz(1500.0, 800.0, 48000.0)), 1.0, 2);
}

}  // namespace

void drift_study(const StudyOptions& options) {
    auto table = figures_table();
    drift_rows(options, table);
    deliver(table, options, "drift.csv");
}
void ring_study(const StudyOptions& options) {
    auto table = figures_table();
    ring_rows(options, table);
    deliver(table, options, "ring.csv");
}
void passband_study(const StudyOptions& options) {
    auto table = figures_table();
    passband_rows(options, table);
    deliver(table, options, "passband.csv");
}

}  // namespace skedlark::accuracy
