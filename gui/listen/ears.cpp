#include "gui/listen/ears.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>

#include "dsp/audio/resampler.h"
#include "dsp/core/units.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kPiece = 400;  // 50 ms
constexpr double kClickHz = 1000.0;
constexpr double kClickS = 0.012;

// A raised-cosine burst, so that it is heard as a tick and not as a crack.
std::vector<float> click_of(double level_dbfs) {
    std::vector<float> audio(static_cast<std::size_t>(kClickS * kWorkRateHz));
    const double level = amplitude_from_db(level_dbfs);
    for (std::size_t i = 0; i < audio.size(); ++i) {
        const double turn = 2.0 * std::numbers::pi * static_cast<double>(i);
        const double swell = 0.5 - 0.5 * std::cos(turn / static_cast<double>(audio.size()));
        audio[i] = static_cast<float>(level * swell * std::sin(turn * kClickHz / kWorkRateHz));
    }
    return audio;
}

}  // namespace

bool EarsConfig::operator==(const EarsConfig& other) const {
    return on == other.on && device == other.device && filter.width_hz == other.filter.width_hz &&
           filter.level_dbfs == other.filter.level_dbfs &&
           filter.ceiling_dbfs == other.filter.ceiling_dbfs;
}

Ears::~Ears() { stop_playing(); }

Status Ears::configure(const EarsConfig& config) {
    auto filter = tone::EarFilter::create(config.filter);
    if (!filter) return filter.error();
    const std::lock_guard held(mutex_);
    if (filter_ && config == config_) return Done{};
    const bool same_output = config.device == config_.device &&
                             config.filter.ceiling_dbfs == config_.filter.ceiling_dbfs;
    config_ = config;
    filter_.emplace(std::move(*filter));
    if (!same_output || (!config.on && !playing_.load())) output_.reset();
    if (config.on) need_output();
    return Done{};
}

void Ears::need_output() {
    if (output_) return;
    auto made = audio::LiveOutput::create(
        {.device = config_.device, .limit_dbfs = config_.filter.ceiling_dbfs});
    if (made) output_ = std::move(*made);
}

void Ears::sound(std::span<const float> audio, bool through_filter) {
    if (!output_) return;
    made_.assign(audio.begin(), audio.end());
    if (through_filter && filter_) filter_->process(audio, pitch_hz_.load(), made_);
    output_->put(made_);
}

void Ears::begin(const HeardInput&) {
    const std::lock_guard held(mutex_);
    if (filter_) filter_->reset();
}

void Ears::take(const watch::Block& block, FrameIndex) {
    if (!in_real_time_.load() || playing_.load()) return;
    const std::lock_guard held(mutex_);
    if (!config_.on || block.lost) return;
    sound(block.audio, true);
}

void Ears::play(std::vector<float> audio) {
    stop_playing();
    {
        const std::lock_guard held(mutex_);
        if (!filter_) return;
        need_output();
        filter_->reset();
    }
    playing_.store(true);
    player_ = std::jthread([this, audio = std::move(audio)](const std::stop_token& stop) {
        // The device may just be opening.
        for (int wait = 0; wait < 100 && !stop.stop_requested(); ++wait) {
            {
                const std::lock_guard held(mutex_);
                if (!output_ || output_->is_playing() || !output_->status()) break;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
        }
        auto due = std::chrono::steady_clock::now();
        for (std::size_t at = 0; at < audio.size() && !stop.stop_requested(); at += kPiece) {
            {
                const std::lock_guard held(mutex_);
                sound(std::span(audio).subspan(at, std::min(kPiece, audio.size() - at)), true);
            }
            due += std::chrono::milliseconds(50);
            std::this_thread::sleep_until(due);
        }
        playing_.store(false);
    });
}

void Ears::stop_playing() {
    if (!player_.joinable()) return;
    player_.request_stop();
    player_.join();
    playing_.store(false);
}

void Ears::click() {
    const std::lock_guard held(mutex_);
    if (!filter_) return;
    need_output();
    // Silence behind the click carries it through the resampler and past what the card waits for.
    auto audio = click_of(config_.filter.level_dbfs);
    audio.resize(static_cast<std::size_t>(
        (audio::LiveOutput::kAheadS + 2.0 * audio::Resampler::kMaxLagS) * kWorkRateHz));
    sound(audio, false);
}

Status Ears::status() const {
    const std::lock_guard held(mutex_);
    return output_ ? output_->status() : Status(Done{});
}

}  // namespace skedlark::gui
