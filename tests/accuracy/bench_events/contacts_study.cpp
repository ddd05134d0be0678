// Dropouts found and invented, in noise, static and tones.
#include <fmt/format.h>

#include <cmath>
#include <random>

#include "dsp/bench/contacts.h"
#include "tests/accuracy/bench_events/signals.h"
#include "tests/accuracy/bench_events/studies.h"
#include "tests/support/intervals.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

struct Ground {
    std::string name;
    std::vector<float> audio;
};

std::vector<float> ground(const std::string& name, double rate_hz, double seconds,
                          std::uint64_t seed, std::vector<synth::Crash>* crashes = nullptr) {
    BenchNoise noise;
    noise.rate_hz = rate_hz;
    noise.seconds = seconds;
    noise.seed = seed;
    noise.filter = name.find("band") == 0 ? band_filter() : valve_filter();
    if (name.find("static") == 0) {
        noise.dirt.crashes_per_s = 6.0;
        noise.dirt.crash_level_db = 20.0;
        noise.dirt.crash_spread_db = 6.0;
    }
    if (name.find("heavy") == 0) noise.dirt.vd_db = 3.0;
    std::vector<float> audio = bench_noise(noise, crashes);
    if (const auto at = name.find("tone"); at != std::string::npos) {
        const double snr_db = std::stod(name.substr(at + 4));
        double power = 0.0;
        for (const float x : audio) power += static_cast<double>(x) * static_cast<double>(x);
        power /= static_cast<double>(audio.size());
        add_tone(audio, rate_hz, std::sqrt(2.0 * power * std::pow(10.0, 0.1 * snr_db)), 1.0,
                 [](double t) { return 740.0 + 0.3 * t; });
    }
    return audio;
}

bool hidden_by(const std::vector<synth::Crash>& crashes, const Gate& gate) {
    for (const synth::Crash& crash : crashes) {
        if (crash.at_s < gate.at_s + gate.length_s + 0.001 &&
            crash.at_s + crash.length_s + 0.001 > gate.at_s)
            return true;
    }
    return false;
}

// Gates a second apart in 62 s; an event counts as found where it overlaps the gate.
void found_row(const StudyOptions& options, const std::string& name, double length_s,
               double depth_db, support::CsvTable& table) {
    long found = 0, gates_made = 0, others = 0, inside = 0;
    double length_error = 0.0, depth_error = 0.0;
    for (int n = 0; n < options.seeds; ++n) {
        const std::uint64_t seed = options.first_seed + static_cast<std::uint64_t>(n);
        std::vector<synth::Crash> crashes;
        auto audio = ground(name, options.rate_hz, 62.0, support::seed_for_part(seed, 1), &crashes);
        std::mt19937_64 random(support::seed_for_part(seed, 2));
        std::uniform_real_distribution<double> shift(-0.4, 0.4);
        std::vector<Gate> gates;
        for (int g = 1; g <= 60; ++g) {
            const Gate gate{g + 0.5 + shift(random), length_s, depth_db};
            // A dropout in the middle of a crash cannot be seen against the noise; "static all" has those too.
            if (name == "static" && hidden_by(crashes, gate)) continue;
            gates.push_back(gate);
        }
        apply_gates(audio, options.rate_hz, gates);
        bench::ContactsConfig config;
        config.sample_rate_hz = options.rate_hz;
        const auto result = bench::measure_contacts(audio, config);
        if (!result) {
            fmt::print(stderr, "{}\n", result.error().message);
            return;
        }
        gates_made += static_cast<long>(gates.size());
        std::vector<bool> hit(gates.size(), false);
        for (const auto& e : result->events) {
            if (e.kind != bench::ContactKind::dropout) continue;
            bool at_gate = false;
            for (std::size_t g = 0; g < gates.size(); ++g) {
                if (e.at_s < gates[g].at_s + gates[g].length_s &&
                    e.at_s + e.length_s > gates[g].at_s) {
                    at_gate = true;
                    if (hit[g]) continue;
                    hit[g] = true;
                    ++found;
                    length_error += std::abs(e.length_s - length_s);
                    depth_error += e.depth_db.value - depth_db;
                    if (std::abs(e.depth_db.value - depth_db) <= e.depth_db.uncertainty_95)
                        ++inside;
                }
            }
            if (!at_gate) ++others;
        }
    }
    const auto chance = support::wilson_interval(found, gates_made);
    const auto count = static_cast<double>(std::max(1L, found));
    table.add_row({name, support::cell(1000.0 * length_s, 1), support::cell(depth_db, 0),
                   support::cell(gates_made),
                   support::cell(static_cast<double>(found) / static_cast<double>(gates_made), 4),
                   support::cell(chance.low, 4), support::cell(chance.high, 4),
                   support::cell(others), support::cell(1000.0 * length_error / count, 2),
                   support::cell(depth_error / count, 2),
                   support::cell(static_cast<double>(inside) / count, 3)});
}

void false_row(const StudyOptions& options, const std::string& name, support::CsvTable& table) {
    long dropouts = 0, crackles = 0;
    for (int n = 0; n < options.hours * 6; ++n) {
        const std::uint64_t seed = options.first_seed + static_cast<std::uint64_t>(n);
        const auto audio = ground(name, options.rate_hz, 600.0, support::seed_for_part(seed, 3));
        bench::ContactsConfig config;
        config.sample_rate_hz = options.rate_hz;
        const auto result = bench::measure_contacts(audio, config);
        if (!result) {
            fmt::print(stderr, "{}\n", result.error().message);
            return;
        }
        for (const auto& e : result->events) {
            (e.kind == bench::ContactKind::dropout ? dropouts : crackles) += 1;
            if (options.verbose && e.kind == bench::ContactKind::dropout) {
                fmt::print(stderr, "{} {:.4f} s {:.2f} ms {:.1f} dB\n", name, e.at_s,
                           1000 * e.length_s, e.depth_db.value);
            }
        }
    }
    const long runs = std::lround(options.hours * 6);
    const auto rate = bench::event_rate(dropouts, static_cast<double>(runs));
    table.add_row({name, support::cell(10 * runs), support::cell(dropouts),
                   support::cell(rate.per_s, 3), support::cell(rate.low_per_s, 3),
                   support::cell(rate.high_per_s, 3), support::cell(crackles)});
}

}  // namespace

void contacts_study(const StudyOptions& options) {
    support::CsvTable found({"ground", "length_ms", "depth_db", "gates", "found", "found_low",
                             "found_high", "other_dropouts", "length_error_ms", "depth_bias_db",
                             "depth_inside_95"});
    const std::vector<std::string> grounds =
        options.rows.empty()
            ? std::vector<std::string>{"valve",       "band",         "static",
                                       "valve tone0", "valve tone10", "valve tone20"}
            : options.rows;
    for (const auto& name : grounds) {
        for (const double length_ms : {1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 30.0, 100.0}) {
            for (const double depth_db : {3.0, 6.0, 10.0, 15.0, 20.0, 30.0, 40.0}) {
                if (options.quick && (length_ms != 2.0 || depth_db != 20.0)) continue;
                found_row(options, name, 0.001 * length_ms, depth_db, found);
            }
        }
    }
    deliver(found, options, "contacts_found.csv");
    if (options.hours <= 0.0) return;
    support::CsvTable invented({"ground", "minutes", "dropouts", "per_10_min", "per_10_min_low",
                                "per_10_min_high", "crackles"});
    for (const auto& name : grounds) false_row(options, name, invented);
    deliver(invented, options, "contacts_false.csv");
}

}  // namespace skedlark::accuracy
