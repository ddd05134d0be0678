#include "dsp/tone/glide_finder.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/tone/glide_scale.h"
#include "dsp/tone/glide_settle.h"
#include "dsp/tone/glide_track.h"
#include "dsp/tone/glide_verdict.h"

namespace skedlark::tone {
namespace {

// Audio is taken in pieces of it at most, so that the time to judge comes as it would live.
constexpr std::size_t kPieceFrames = 4000;
// The pace may wobble below the slowest named.
constexpr double kWobble = 0.85;
constexpr int kMostStations = 60;  // in one window
// One station judged in two windows can differ by so much.
constexpr double kSameZeroBeatHz = 300.0;
// A path that follows a weak station joins some of its noise: how far that can move zero beat, where
// the evidence is kClearEvidence nepers; measured on tuning scenes of 300 to 5000 Hz/s.
constexpr double kLooseHz = 50.0;
constexpr double kClearEvidence = 25.0;
constexpr double kMostLoose = 1.5;

Status check(const GlideFinderConfig& config) {
    const auto octaves = glide_octaves();
    const auto wrong = [](const char* field, double value, double low, double high) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: {}, allowed {} to {}", field, value, low, high)};
    };
    const auto within = [](double value, double low, double high) {
        return value >= low && value <= high;
    };
    if (!within(config.high_hz, 100.0, 3900.0))
        return wrong("high_hz", config.high_hz, 100.0, 3900.0);
    if (!within(config.low_hz, 50.0, 0.5 * config.high_hz))
        return wrong("low_hz", config.low_hz, 50.0, 0.5 * config.high_hz);
    if (!within(config.fastest_hz_per_s, octaves.front(), 8000.0))
        return wrong("fastest_hz_per_s", config.fastest_hz_per_s, octaves.front(), 8000.0);
    if (!within(config.slowest_hz_per_s, octaves.front(), config.fastest_hz_per_s))
        return wrong("slowest_hz_per_s", config.slowest_hz_per_s, octaves.front(),
                     config.fastest_hz_per_s);
    if (!(config.false_alarms_per_hour > 0.0 && config.false_alarms_per_hour <= 1000.0))
        return wrong("false_alarms_per_hour", config.false_alarms_per_hour, 0.0, 1000.0);
    return Done{};
}

}  // namespace

struct GlideFinder::State {
    explicit State(const GlideFinderConfig& wanted)
        : config(wanted), block_s(wanted.high_hz / (kWobble * wanted.slowest_hz_per_s)) {
        const auto octaves = glide_octaves();
        for (std::size_t k = 0; k < octaves.size(); ++k) {
            // An octave only grazed is left to its neighbour, whose rates reach beyond its ends.
            const bool too_slow = 2.0 * octaves[k] <= 1.05 * config.slowest_hz_per_s;
            const bool too_fast = octaves[k] >= 0.95 * config.fastest_hz_per_s;
            if ((too_slow && k + 1 < octaves.size()) || (too_fast && !scales.empty())) continue;
            scales.emplace_back(config.low_hz, config.high_hz, k);
        }
    }

    [[nodiscard]] double false_per_hour(const GlideScale& scale, double score) const {
        return static_cast<double>(scales.size()) * scale.false_per_hour(score);
    }

    [[nodiscard]] double known_until_s() const {
        double until_s = 1e300;
        for (const GlideScale& scale : scales) until_s = std::min(until_s, scale.known_until_s());
        return until_s;
    }

    void take(std::span<const float> piece) {
        for (const float sample : piece) audio.push_back(std::isfinite(sample) ? sample : 0.0F);
        for (GlideScale& scale : scales) scale.process(piece);
        measure_noise();
        while (known_until_s() >= (static_cast<double>(block) + 2.0) * block_s) judge_block();
    }

    // By the fastest scale: its looks are the shortest.
    void measure_noise() {
        const GlideLooks& looks = scales.back().looks();
        while (looks.end_row() > noise_row) {
            const std::int64_t end = std::min(noise_row + GlideLooks::kBatchRows, looks.end_row());
            const double begins_s = noise.empty() ? 0.0 : noise.back().to_s;
            const double ends_s = looks.row_centre_s(end - 1) + 0.5 * looks.hop_s();
            noise.push_back(
                {begins_s, ends_s, looks.mean_noise_density(noise_row, end, config.low_hz)});
            noise_row = end;
        }
    }

    // The block's stations lie wholly within it and the blocks beside it.
    void judge_block() {
        const double begin_s = static_cast<double>(block) * block_s;
        if (!quiet(begin_s - block_s, begin_s + 2.0 * block_s)) {
            const auto found = settle_window(begin_s - block_s, begin_s + 2.0 * block_s);
            for (const GlideStation& one : found) {
                const double same_s = kSameZeroBeatHz / one.rate_hz_per_s;
                const bool here =
                    one.zero_beat_s >= begin_s - same_s && one.zero_beat_s < begin_s + block_s;
                if (here && !known(one)) stations.push_back(one);
            }
        }
        ++block;
        forget();
    }

    [[nodiscard]] bool quiet(double from_s, double to_s) const {
        return std::none_of(scales.begin(), scales.end(), [&](const GlideScale& scale) {
            return false_per_hour(scale, scale.best_score(from_s, to_s)) <=
                   config.false_alarms_per_hour;
        });
    }

    [[nodiscard]] bool known(const GlideStation& one) const {
        return std::any_of(stations.begin(), stations.end(), [&](const GlideStation& other) {
            return std::abs(other.zero_beat_s - one.zero_beat_s) <
                   kSameZeroBeatHz / one.rate_hz_per_s;
        });
    }

    // Strongest first: what it explains is taken out before the next is looked for.
    std::vector<GlideStation> settle_window(double from_s, double to_s) {
        std::vector<GlideMask> masks;
        for (const GlideScale& scale : scales) masks.push_back(scale.make_mask(from_s, to_s));
        std::vector<GlidePath> paths(scales.size());
        std::vector<bool> stale(scales.size(), true);
        GlideSettle settle(config.low_hz, config.high_hz);
        for (int round = 0; round < kMostStations; ++round) {
            std::size_t best = scales.size();
            double least = config.false_alarms_per_hour;
            for (std::size_t k = 0; k < scales.size(); ++k) {
                if (stale[k]) paths[k] = scales[k].best_path(from_s, to_s, masks[k]);
                stale[k] = false;
                if (paths[k].points.size() < 2) continue;
                const double expected = false_per_hour(scales[k], paths[k].score);
                if (expected > least) continue;
                least = expected;
                best = k;
            }
            if (best == scales.size()) break;
            const GlideFind find = look_closely(scales[best], paths[best], least);
            settle.add(find);
            mask_path(paths[best], masks[best]);
            for (std::size_t k = 0; k < scales.size(); ++k) {
                mask_find(find, scales[k], masks[k]);
                // Masking lowers other paths only: one it does not touch is still the best.
                stale[k] = touched(paths[k], masks[k]);
            }
        }
        return settle.stations();
    }

    GlideFind look_closely(const GlideScale& scale, const GlidePath& path, double expected) {
        const GlideLooks& looks = scale.looks();
        std::vector<GlideMeasurement> measured;
        double rates = 0.0;
        for (const GlidePoint& point : path.points) {
            rates += scale.rate_hz_per_s(point.rate);
            const double sd_hz = looks.cell_hz() * (point.score > 0.5F ? 1.5 : 8.0);
            if (std::abs(point.cell) * looks.cell_hz() < config.low_hz) continue;
            measured.push_back(
                {looks.row_centre_s(point.row), point.cell * looks.cell_hz(), sd_hz});
        }
        const double rate = rates / static_cast<double>(path.points.size());
        const GlideAudio heard{
            audio, audio_first_s(), config.low_hz, config.high_hz,
            [&looks](double at_s, double pitch_hz) { return density(looks, at_s, pitch_hz); }};
        GlideTrack track(measured, rate);
        GlideVerdict verdict = judge_glide(heard, track);
        if (verdict.measured.size() >= 2) {
            track = GlideTrack(verdict.measured, rate);
            verdict = judge_glide(heard, track);
            if (verdict.measured.size() >= 2) track = GlideTrack(verdict.measured, rate);
        }
        GlideFind find{{},
                       track,
                       verdict,
                       path.score,
                       glide_contrast(looks, path),
                       side_likeness(looks, track, config.low_hz, config.high_hz)};
        find.station.zero_beat_s = track.zero_beat_s();
        const double loose = std::min(kMostLoose, kClearEvidence / std::max(1.0, verdict.evidence));
        find.station.zero_beat_sd_s =
            std::hypot(track.zero_beat_sd_s(), kLooseHz * loose / track.rate_hz_per_s());
        find.station.rate_hz_per_s = track.rate_hz_per_s();
        find.station.snr_2500hz_db = verdict.snr_2500hz_db;
        find.station.keyed = verdict.keyed;
        find.station.false_alarm_odds = -std::expm1(-expected);
        find.station.from_s = track.from_s();
        find.station.to_s = track.to_s();
        return find;
    }

    static double density(const GlideLooks& looks, double at_s, double pitch_hz) {
        const double row = std::round((at_s - looks.row_centre_s(0)) / looks.hop_s());
        return looks.noise_density(
            std::clamp(static_cast<std::int64_t>(row), looks.first_row(), looks.end_row() - 1),
            std::min(static_cast<int>(std::lround(pitch_hz / looks.cell_hz())), looks.cells() - 1));
    }

    void mask_find(const GlideFind& find, const GlideScale& scale, GlideMask& mask) const {
        const GlideLooks& looks = scale.looks();
        for (std::int64_t row = looks.first_row(); row < looks.end_row(); ++row) {
            const double at_s = looks.row_centre_s(row);
            if (at_s < find.track.from_s() - 0.3 || at_s > find.track.to_s() + 0.3) continue;
            const double pitch_hz = find.track.pitch_hz(at_s);
            const double reach_hz = spill_reach_hz(find, looks, scale);
            mask.take(row, static_cast<int>(std::lround(pitch_hz / looks.cell_hz())),
                      static_cast<int>(std::ceil(reach_hz / looks.cell_hz())));
        }
    }

    // A line through a Hann window falls by 18 dB an octave; where the rate is not the look's own,
    // it is drawn out as well.
    static double spill_reach_hz(const GlideFind& find, const GlideLooks& looks,
                                 const GlideScale& scale) {
        const double window_s = 2.0 * looks.hop_s();
        const double power = std::max(
            1.0, power_from_db(find.station.snr_2500hz_db) * kReferenceBandwidthHz * window_s);
        const double skirt_hz = 1.5 * std::pow(power, 1.0 / 6.0) / window_s;
        const double away = std::max(scale.rate_hz_per_s(11) - find.station.rate_hz_per_s,
                                     find.station.rate_hz_per_s - scale.rate_hz_per_s(0));
        return skirt_hz + 0.5 * std::abs(away) * window_s;
    }

    static bool touched(const GlidePath& path, const GlideMask& mask) {
        return std::any_of(path.points.begin(), path.points.end(), [&](const GlidePoint& point) {
            return mask.taken(point.row, point.cell);
        });
    }

    static void mask_path(const GlidePath& path, GlideMask& mask) {
        for (const GlidePoint& point : path.points) mask.take(point.row, point.cell, 3);
    }

    [[nodiscard]] double audio_first_s() const {
        return static_cast<double>(audio_first) / kWorkRateHz;
    }

    void forget() {
        const double keep_s = (static_cast<double>(block) - 1.0) * block_s - 1.0;
        for (GlideScale& scale : scales) scale.forget_before(keep_s);
        const auto gone = static_cast<std::ptrdiff_t>(
            std::min(std::max(0.0, (keep_s - audio_first_s()) * kWorkRateHz),
                     static_cast<double>(audio.size())));
        audio.erase(audio.begin(), audio.begin() + gone);
        audio_first += gone;
    }

    void finish() {
        for (GlideScale& scale : scales) scale.finish();
        measure_noise();
        const double end_s = audio_first_s() + static_cast<double>(audio.size()) / kWorkRateHz;
        while (static_cast<double>(block) * block_s < end_s + block_s) judge_block();
    }

    GlideFinderConfig config;
    double block_s;
    std::vector<GlideScale> scales;
    std::vector<float> audio;
    std::int64_t audio_first = 0;
    std::int64_t block = 0;
    std::vector<float> rest;  // of a piece
    std::vector<GlideStation> stations;
    std::int64_t noise_row = 0;
    std::vector<GlideNoise> noise;
};

Result<GlideFinder> GlideFinder::create(const GlideFinderConfig& config) {
    if (const Status status = check(config); !status) return status.error();
    return GlideFinder(std::make_unique<State>(config));
}

GlideFinder::GlideFinder(std::unique_ptr<State> state) : state_(std::move(state)) {}
GlideFinder::GlideFinder(GlideFinder&&) noexcept = default;
GlideFinder& GlideFinder::operator=(GlideFinder&&) noexcept = default;
GlideFinder::~GlideFinder() = default;

void GlideFinder::process(std::span<const float> audio) {
    State& state = *state_;
    while (!audio.empty()) {
        const std::size_t taken = std::min(audio.size(), kPieceFrames - state.rest.size());
        state.rest.insert(state.rest.end(), audio.begin(),
                          audio.begin() + static_cast<std::ptrdiff_t>(taken));
        audio = audio.subspan(taken);
        if (state.rest.size() < kPieceFrames) continue;
        state.take(state.rest);
        state.rest.clear();
    }
}

void GlideFinder::finish() {
    state_->take(state_->rest);
    state_->rest.clear();
    state_->finish();
}

const std::vector<GlideStation>& GlideFinder::stations() const { return state_->stations; }

const std::vector<GlideNoise>& GlideFinder::noise() const { return state_->noise; }

double GlideFinder::latency_s() const {
    double batch_s = 0.0;
    for (const GlideScale& scale : state_->scales) batch_s = std::max(batch_s, scale.batch_s());
    return 2.0 * state_->block_s + batch_s + static_cast<double>(kPieceFrames) / kWorkRateHz;
}

}  // namespace skedlark::tone
