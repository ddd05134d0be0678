#include "dsp/tone/finder.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "dsp/spectrum/noise_floor.h"
#include "dsp/spectrum/stft.h"
#include "dsp/tone/keying_test.h"
#include "dsp/tone/line_search.h"
#include "dsp/tone/static_meter.h"
#include "dsp/tone/tone_list.h"

namespace skedlark::tone {
namespace {

constexpr int kFloorSpan = 512;
constexpr int kFloorHop = 256;
constexpr double kFloorBinHz = kWorkRateHz / kFloorSpan;
// The static factor is renewed each 5 ms, from the 8 ms around the middle of those.
constexpr int kWeightHop = 40;
constexpr int kWeightDelay = kStaticSpan / 2 + kWeightHop / 2;
constexpr double kNoPitch_hz = -1e6;
// Keying is judged on up to this much audio.
constexpr int kJudged = 160000;
// Eight rows of 4.5 s, each 2.2 s on, end just before 20 s; sixteen reach 37.5 s.
constexpr int kSlowWindow = 36000;
constexpr int kSlowHop = 17600;
constexpr int kSlowLevels = 5;
constexpr double kSlowRate_hz_per_s = 0.02;
// Rows of 1 s bear 1 Hz/s; 32 of them reach 16.9 s.
constexpr int kFastWindow = 8192;
constexpr int kFastHop = 4096;
constexpr int kFastLevels = 6;
constexpr double kFastRate_hz_per_s = 1.0;
// Share of the false alarms that the fast search may make.
constexpr double kFastShare = 0.25;
// Share of time the key is down in standard text (PARIS 22 of 50, random groups 30 of 60), where
// nothing better is known.
constexpr double kUsualShare = 0.47;
// How far a mirror image may be off, in widths of a cell of the spectrum.
constexpr double kMirrorSlack = 1.5;
constexpr double kHeardChance = 1e-4;
// A verdict gives way to one on more audio or a surer one. One of so many nepers is not taken back
// to unknown, but a new one as sure replaces it: a sender may go from tuning up to keying.
constexpr double kTurnAround = 6.0;
constexpr double kStrongCarrier_hz = 2500.0;
constexpr int kJudgedTonesPerRow = 8;

Error out_of_range(const char* field, double value, const char* allowed) {
    return {ErrorCode::invalid_value,
            std::string(field) + " is " + std::to_string(value) + ", allowed " + allowed};
}

}  // namespace

struct Finder::State {
    State(const FinderConfig& settings, LineSearch slow_search, LineSearch fast_search,
          spectrum::Stft stft, spectrum::NoiseFloor noise, StaticMeter meter)
        : config(settings),
          slow(std::move(slow_search)),
          fast(std::move(fast_search)),
          rows(std::move(stft)),
          floor(std::move(noise)),
          static_meter(std::move(meter)),
          first(settings.start_frame),
          recent(kStaticSpan + kWeightHop),
          heard(kStaticSpan + kWeightHop),
          audio(2 * kJudged),
          weights(2 * kJudged) {}

    void take(std::span<const float> samples, bool lost, std::vector<Event>& out);
    void weigh(std::vector<Event>& out);
    void keep(std::span<const float> samples, std::span<const float> sample_weights);
    void look(const LineSearch& search, std::vector<Event>& out);
    void judge_all(std::vector<Event>& out);
    void judge(ListedTone& tone, std::vector<Event>& out);
    void measure(ListedTone& tone, double share) const;
    void publish();
    [[nodiscard]] FrameIndex now() const { return first + count - kWeightDelay; }
    [[nodiscard]] double density_at(const ListedTone& tone) const;

    FinderConfig config;
    LineSearch slow, fast;
    spectrum::Stft rows;
    spectrum::NoiseFloor floor;
    StaticMeter static_meter;
    KeyingTest keying{seconds_from_frames(kJudged)};
    ToneList list;
    std::vector<FoundTone> published;

    FrameIndex first;
    FrameIndex count = 0;
    FrameIndex last_lost = -kJudged;
    std::vector<float> recent;          // the newest samples, oldest first
    std::vector<float> heard;           // 1 for each of them that was not lost
    std::vector<float> audio, weights;  // weighed; the last kJudged end at `filled`
    std::size_t filled = 0;
    std::size_t next_judged = 0;
};

// No more than up to the next kWeightHop.
void Finder::State::take(std::span<const float> samples, bool lost, std::vector<Event>& out) {
    const auto slot = static_cast<std::size_t>(count % kWeightHop) + kStaticSpan;
    const auto fresh = std::span(recent).subspan(slot, samples.size());
    std::transform(samples.begin(), samples.end(), fresh.begin(),
                   [lost](float sample) { return std::isfinite(sample) && !lost ? sample : 0.0F; });
    std::fill_n(heard.begin() + static_cast<std::ptrdiff_t>(slot), samples.size(),
                lost ? 0.0F : 1.0F);
    count += static_cast<FrameIndex>(samples.size());
    if (lost) last_lost = count - 1;
    rows.process(fresh, [this](std::span<const float> row) {
        if (rows.row_centre_frame() - kFloorSpan / 2 <= last_lost) return;
        floor.add(row);
    });
    if (count % kWeightHop == 0) {
        weigh(out);
        std::copy(recent.begin() + kWeightHop, recent.end(), recent.begin());
        std::copy(heard.begin() + kWeightHop, heard.end(), heard.begin());
    }
}

// recent holds kStaticSpan + kWeightHop samples; the newest kStaticSpan of them are looked at, and
// the kWeightHop in their middle go on with that weight.
void Finder::State::weigh(std::vector<Event>& out) {
    const std::span<const float> newest(recent.data() + kWeightHop, kStaticSpan);
    float weight = 1.0F;
    if (count - kStaticSpan > last_lost) weight = 1.0F / static_meter.factor(newest, kNoPitch_hz);
    constexpr std::size_t kFrom = kWeightHop + (kStaticSpan - kWeightHop) / 2;
    const auto density = floor.ready() ? floor.density() : std::span<const float>{};
    std::array<float, kWeightHop> all_weights;
    for (std::size_t n = 0; n < kWeightHop; ++n) all_weights[n] = weight * heard[kFrom + n];
    std::span<const float> samples = std::span(recent).subspan(kFrom, kWeightHop);
    std::span<const float> sample_weights = all_weights;
    while (!samples.empty()) {
        const std::size_t taken =
            std::min({samples.size(), fast.samples_to_row(), slow.samples_to_row()});
        const auto some = samples.first(taken);
        const auto some_weights = sample_weights.first(taken);
        keep(some, some_weights);
        if (fast.push(some, some_weights, density, kFloorBinHz)) look(fast, out);
        if (slow.push(some, some_weights, density, kFloorBinHz)) {
            look(slow, out);
            judge_all(out);
        }
        samples = samples.subspan(taken);
        sample_weights = sample_weights.subspan(taken);
    }
}

void Finder::State::keep(std::span<const float> samples, std::span<const float> sample_weights) {
    if (filled + samples.size() > audio.size()) {
        std::copy_n(audio.begin() + static_cast<std::ptrdiff_t>(filled - kJudged), kJudged,
                    audio.begin());
        std::copy_n(weights.begin() + static_cast<std::ptrdiff_t>(filled - kJudged), kJudged,
                    weights.begin());
        filled = kJudged;
    }
    for (std::size_t n = 0; n < samples.size(); ++n) {
        audio[filled + n] = samples[n] * sample_weights[n];
        weights[filled + n] = sample_weights[n];
    }
    filled += samples.size();
}

void Finder::State::look(const LineSearch& search, std::vector<Event>& out) {
    for (const LineCandidate& candidate : search.candidates()) {
        const double length_s = search.window_s() + (candidate.rows - 1) * search.hop_s();
        Line line;
        line.pitch_hz = candidate.pitch_hz + candidate.rate_hz_per_s * search.window_s() / 2.0;
        line.rate_hz_per_s = candidate.rate_hz_per_s;
        line.carrier_power = candidate.carrier_power;
        line.ratio = candidate.ratio;
        line.window_s = search.window_s();
        line.odds = -std::expm1(-candidate.expected_false_per_hour * length_s / 3600.0);
        line.at_frame = now();
        line.from_frame = std::max(first, now() - frames_from_seconds(length_s));
        const auto ratio_at = [&](double hz, double rate_hz_per_s) -> std::optional<double> {
            if (hz < config.low_hz || hz > config.high_hz) return std::nullopt;
            return search.ratio_near(hz, rate_hz_per_s, kMirrorSlack / search.window_s(),
                                     candidate.rows);
        };
        ListedTone* tone = list.take(line, ratio_at);
        if (tone != nullptr && !tone->told) judge(*tone, out);
    }
    list.forget_before(now() - frames_from_seconds(config.forget_s));
    publish();
}

// Tones that are there now are judged again, a few each time where there are many.
void Finder::State::judge_all(std::vector<Event>& out) {
    auto& tones = list.tones();
    const std::size_t turns = std::min<std::size_t>(tones.size(), kJudgedTonesPerRow);
    for (std::size_t n = 0; n < turns; ++n) {
        ListedTone& tone = tones[next_judged++ % tones.size()];
        const int window_rows = 4;
        const double ratio =
            slow.ratio_near(tone.found.event.pitch_hz, tone.found.rate_hz_per_s, 1.0, window_rows);
        if (slow.noise_chance(ratio, std::min(window_rows, slow.rows_seen())) > kHeardChance)
            continue;
        tone.found.event.at_frame = now();
        judge(tone, out);
    }
    publish();
}

void Finder::State::judge(ListedTone& tone, std::vector<Event>& out) {
    ToneEvent& event = tone.found.event;
    const auto length = std::min<std::size_t>(filled, kJudged);
    const KeyingVerdict verdict =
        keying.judge(std::span<const float>(audio).subspan(filled - length, length),
                     std::span<const float>(weights).subspan(filled - length, length),
                     event.pitch_hz, tone.found.rate_hz_per_s, density_at(tone));
    const std::optional<bool> before = event.keyed;
    const double heard_s = static_cast<double>(length) / kWorkRateHz;
    const double odds = std::abs(verdict.log_odds_keyed);
    const bool known = verdict.keyed.has_value();
    const bool longer = heard_s > tone.verdict_s && (known || tone.verdict_odds < kTurnAround);
    const bool surer = known && (odds > tone.verdict_odds || odds > kTurnAround);
    if (longer || surer) {
        event.keyed = verdict.keyed;
        tone.verdict_odds = odds;
        tone.verdict_s = heard_s;
    }
    // The share of time the key is down is known only where two levels stand out; else take the
    // usual.
    const bool share_known = verdict.share < 1.0 && verdict.log_odds_two_levels > kTurnAround;
    const double share = share_known ? verdict.share : kUsualShare;
    measure(tone, event.keyed.value_or(true) ? share : 1.0);
    if (tone.told && event.keyed == before) return;
    tone.told = true;
    out.emplace_back(event);
}

void Finder::State::measure(ListedTone& tone, double share) const {
    const double power = tone.carrier_power / (share * share);
    const double noise = std::max(density_at(tone) * kReferenceBandwidthHz, 1e-30);
    tone.found.event.snr_2500hz_db = db_from_power(std::max(power / noise, 1e-10));
}

// Beside a strong tone its keying would be read for noise: look further off.
double Finder::State::density_at(const ListedTone& tone) const {
    const double bin = tone.found.event.pitch_hz / kFloorBinHz;
    double density = floor.beside(bin, 3, 12);
    for (const int near : {7, 20}) {
        if (tone.carrier_power > kStrongCarrier_hz * density)
            density = std::min(density, floor.beside(bin, near, near + 12));
    }
    return density;
}

void Finder::State::publish() {
    published.clear();
    for (const ListedTone& tone : list.tones())
        if (tone.told) published.push_back(tone.found);
}

Result<Finder> Finder::create(const FinderConfig& config) {
    if (!(config.high_hz > 20.0 && config.high_hz <= 3980.0))
        return out_of_range("high_hz", config.high_hz, "above 20 to 3980");
    if (!(config.low_hz >= 20.0 && config.low_hz < config.high_hz))
        return out_of_range("low_hz", config.low_hz, "20 to below high_hz");
    if (!(config.false_alarms_per_hour > 0.0 && config.false_alarms_per_hour <= 1000.0))
        return out_of_range("false_alarms_per_hour", config.false_alarms_per_hour,
                            "above 0 to 1000");
    if (!(config.forget_s >= 5.0 && config.forget_s <= 3600.0))
        return out_of_range("forget_s", config.forget_s, "5 to 3600");
    auto slow = LineSearch::create(
        {.low_hz = config.low_hz,
         .high_hz = config.high_hz,
         .window = kSlowWindow,
         .hop = kSlowHop,
         .transform = 65536,
         .levels = kSlowLevels,
         .max_rate_hz_per_s = kSlowRate_hz_per_s,
         .false_alarms_per_hour = (1.0 - kFastShare) * config.false_alarms_per_hour});
    if (!slow) return slow.error();
    auto fast =
        LineSearch::create({.low_hz = config.low_hz,
                            .high_hz = config.high_hz,
                            .window = kFastWindow,
                            .hop = kFastHop,
                            .transform = kFastWindow,
                            .levels = kFastLevels,
                            .max_rate_hz_per_s = kFastRate_hz_per_s,
                            .false_alarms_per_hour = kFastShare * config.false_alarms_per_hour});
    if (!fast) return fast.error();
    auto stft = spectrum::Stft::create({.size = kFloorSpan, .hop = kFloorHop});
    if (!stft) return stft.error();
    auto floor = spectrum::NoiseFloor::create(
        {.bins = kFloorSpan / 2 + 1, .history_rows = 256, .update_every_rows = 128});
    if (!floor) return floor.error();
    auto meter = StaticMeter::create();
    if (!meter) return meter.error();
    return Finder(std::make_unique<State>(config, std::move(*slow), std::move(*fast),
                                          std::move(*stft), std::move(*floor), std::move(*meter)));
}

Finder::Finder(std::unique_ptr<State> state) : state_(std::move(state)) {}
Finder::Finder(Finder&&) noexcept = default;
Finder& Finder::operator=(Finder&&) noexcept = default;
Finder::~Finder() = default;

void Finder::process(std::span<const float> audio, std::vector<Event>& out, bool lost) {
    while (!audio.empty()) {
        const auto to_hop = static_cast<std::size_t>(kWeightHop - state_->count % kWeightHop);
        const std::size_t taken = std::min(audio.size(), to_hop);
        state_->take(audio.first(taken), lost, out);
        audio = audio.subspan(taken);
    }
}

const std::vector<FoundTone>& Finder::tones() const { return state_->published; }
FrameIndex Finder::next_frame() const { return state_->first + state_->count; }

void Finder::reset(FrameIndex start_frame) {
    State& state = *state_;
    state.slow.reset();
    state.fast.reset();
    state.rows.reset();
    state.floor.reset();
    state.static_meter.reset();
    state.list.clear();
    state.published.clear();
    state.first = start_frame;
    state.count = 0;
    state.last_lost = -kJudged;
    state.filled = 0;
    std::fill(state.recent.begin(), state.recent.end(), 0.0F);
    std::fill(state.heard.begin(), state.heard.end(), 0.0F);
}

}  // namespace skedlark::tone
