#include "gui/practice/practice_sound.h"

#include <algorithm>
#include <atomic>

#include "dsp/audio/keyed_tone.h"
#include "dsp/core/units.h"

namespace skedlark::gui {

namespace {

// Short, for the key's sake: some 30 ms from key to sound on a desktop's sound server.
constexpr double kLatencyS = 0.02;
constexpr double kBlockS = 0.005;
constexpr double kHalfEdgeS = 0.0025;

class LiveSound final : public PracticeSound {
 public:
    Status configure(const SoundSettings& settings) override {
        auto tone = audio::KeyedTone::create({.pitch_hz = settings.sidetone_hz,
                                              .level_dbfs = settings.level_dbfs,
                                              .ceiling_dbfs = settings.limit_dbfs});
        if (!tone) return tone.error();
        const bool same_output =
            settings.device == settings_.device && settings.limit_dbfs == settings_.limit_dbfs;
        settings_ = settings;
        gain_->store(amplitude_from_db(settings.level_dbfs - kDrillLoudnessDbfs));
        if (tone_ && same_output) {
            tone_->set_pitch(settings.sidetone_hz);
            tone_->set_level(settings.level_dbfs);
            return Done{};
        }
        const bool was_open = output_ != nullptr;
        release();
        tone_ = *std::move(tone);
        if (was_open) open();
        return Done{};
    }
    void open() override {
        if (output_) return;
        if (!tone_) {
            if (const Status status = configure(settings_); !status) return;
        }
        auto made = audio::LiveOutput::create({.device = settings_.device,
                                               .limit_dbfs = settings_.limit_dbfs,
                                               .voice = tone_,
                                               .latency_s = kLatencyS,
                                               .block_s = kBlockS});
        if (made) output_ = *std::move(made);
    }
    void release() override {
        stop();
        output_.reset();
    }
    void key(bool down, double at_s) override {
        open();
        if (tone_) tone_->key(down, at_s);
    }
    void play(audio::Player::Make make) override {
        stop();
        open();
        if (!output_) return;
        player_ = std::make_unique<audio::Player>(
            *output_, [make = std::move(make), gain = gain_](std::span<float> piece) {
                const std::size_t made = make(piece);
                const auto factor = static_cast<float>(gain->load());
                for (float& sample : piece.first(made)) sample *= factor;
                return made;
            });
    }
    void stop() override { player_.reset(); }
    bool is_playing() const override { return player_ && !player_->is_done(); }
    Status status() const override { return output_ ? output_->status() : Status(Done{}); }
    std::optional<double> key_delay_s() const override {
        const auto latency_s = output_ ? output_->latency_s() : std::nullopt;
        if (!latency_s || tone_->wait_s() <= 0.0) return std::nullopt;
        return tone_->wait_s() + kHalfEdgeS + *latency_s;
    }

 private:
    SoundSettings settings_{};
    std::shared_ptr<std::atomic<double>> gain_ = std::make_shared<std::atomic<double>>(0.1);
    std::shared_ptr<audio::KeyedTone> tone_;
    std::unique_ptr<audio::LiveOutput> output_;
    std::unique_ptr<audio::Player> player_;  // last: it ends before its output
};

}  // namespace

std::unique_ptr<PracticeSound> make_practice_sound() { return std::make_unique<LiveSound>(); }

}  // namespace skedlark::gui
