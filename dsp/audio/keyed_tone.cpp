#include "dsp/audio/keyed_tone.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::audio {

namespace {

constexpr double kFollow = 0.01;    // of one question in the mean time of all
constexpr double kLostS = 0.1;      // farther off than this: the stream began anew
constexpr double kForgetS = 10.0;   // a wait that was needed once is forgotten after about so long
constexpr double kMarginS = 0.003;  // an edge reaches key() a little after it was made

Status within(const char* field, double value, double low, double high, const char* unit) {
    if (value >= low && value <= high) return Done{};
    return Error{ErrorCode::invalid_value,
                 fmt::format("{}: {} {} is out of range; allowed: {} to {} {}", field, value, unit,
                             low, high, unit)};
}

}  // namespace

Result<std::shared_ptr<KeyedTone>> KeyedTone::create(const KeyedToneConfig& config) {
    for (const Status& status :
         {within("pitch of the sidetone", config.pitch_hz, 200, 2000, "Hz"),
          within("level of the sidetone", config.level_dbfs, -80, 0, "dBFS"),
          within("limit of the sidetone", config.ceiling_dbfs, -80, 0, "dBFS"),
          within("edge of the sidetone", config.edge_s, 0.001, 0.02, "s")}) {
        if (!status) return status.error();
    }
    return std::shared_ptr<KeyedTone>(new KeyedTone(config));
}

KeyedTone::KeyedTone(const KeyedToneConfig& config) : config_(config), pitch_hz_(config.pitch_hz) {
    set_level(config.level_dbfs);
    level_ = amplitude_.load();
}

void KeyedTone::set_level(double level_dbfs) noexcept {
    amplitude_.store(amplitude_from_db(std::min(level_dbfs, config_.ceiling_dbfs)));
}

void KeyedTone::key(bool down, double at_s) noexcept { edges_.push({down, at_s}); }

// Where the stream stands against the clock, and how long an edge must wait for a frame of its own.
void KeyedTone::keep_time(std::size_t frames, double now_s) noexcept {
    const double start_s = now_s - frame_ / rate_hz_;
    if (asked_ == 0.0 || std::abs(start_s - start_s_) > kLostS) {
        asked_ = 0.0;
        start_s_ = start_s;
        wait_s_ = 0.0;
    }
    asked_ += 1.0;
    start_s_ += std::max(kFollow, 1.0 / asked_) * (start_s - start_s_);
    const double block_s = static_cast<double>(frames) / rate_hz_;
    const double needed_s = std::max(0.0, block_s + start_s_ - start_s) + kMarginS;
    const bool idle = !down_ && swell_ == 0.0 && !has_next_;
    if (!idle && wait_s_ > 0.0) return;
    wait_s_ = std::max(needed_s, wait_s_ - (wait_s_ - needed_s) * block_s / kForgetS);
    told_wait_s_.store(wait_s_, std::memory_order_relaxed);
}

bool KeyedTone::is_due(double frame) noexcept {
    if (!has_next_) has_next_ = edges_.pop(next_);
    return has_next_ && (next_.at_s - start_s_ + wait_s_) * rate_hz_ <= frame;
}

void KeyedTone::add(std::span<float> frames, double rate_hz, double now_s) noexcept {
    if (rate_hz != rate_hz_) {
        rate_hz_ = rate_hz;
        frame_ = 0.0;
        asked_ = 0.0;
    }
    keep_time(frames.size(), now_s);
    const double turn =
        2.0 * std::numbers::pi * pitch_hz_.load(std::memory_order_relaxed) / rate_hz;
    const double wanted = amplitude_.load(std::memory_order_relaxed);
    const double level_step = (wanted - level_) / static_cast<double>(frames.size());
    const double swell_step = 1.0 / (config_.edge_s * rate_hz);
    for (float& sample : frames) {
        while (is_due(frame_)) {
            down_ = next_.down;
            has_next_ = false;
        }
        swell_ = std::clamp(swell_ + (down_ ? swell_step : -swell_step), 0.0, 1.0);
        level_ += level_step;
        frame_ += 1.0;
        if (swell_ == 0.0) continue;
        phase_ = std::fmod(phase_ + turn, 2.0 * std::numbers::pi);
        const double gain = 0.5 - 0.5 * std::cos(std::numbers::pi * swell_);
        sample += static_cast<float>(level_ * gain * std::sin(phase_));
    }
    level_ = wanted;
}

}  // namespace skedlark::audio
