#include "dsp/audio/player.h"

#include <array>
#include <chrono>

#include "dsp/audio/resampler.h"
#include "dsp/core/units.h"

namespace skedlark::audio {

namespace {

constexpr std::size_t kPiece = 160;  // 20 ms
constexpr auto kLook = std::chrono::milliseconds(5);
// A card that stops asking is not waited for to the end of the queue.
constexpr auto kLongestEnd = std::chrono::seconds(1);

}  // namespace

Player::Player(LiveOutput& output, Make make)
    : thread_([this, &output, make = std::move(make)](const std::stop_token& stop) {
          run(stop, output, make);
      }) {}

void Player::stop() {
    thread_.request_stop();
    if (thread_.joinable()) thread_.join();
}

void Player::run(const std::stop_token& stop, LiveOutput& output, const Make& make) {
    std::array<float, kPiece> piece{};
    bool more = true;
    // Silence at the end carries the last of it through the resampler and past what the card waits for.
    double silence_s = LiveOutput::kAheadS + 2.0 * Resampler::kMaxLagS;
    while (!stop.stop_requested() && (more || silence_s > 0.0)) {
        if (!output.is_playing() || output.queued_s() > kAheadS) {
            std::this_thread::sleep_for(kLook);
            continue;
        }
        std::size_t made = 0;
        if (more) {
            made = make(piece);
            more = made == kPiece;
            made_s_.store(made_s_.load() + static_cast<double>(made) / kWorkRateHz);
        }
        if (made < kPiece) {
            std::fill(piece.begin() + static_cast<std::ptrdiff_t>(made), piece.end(), 0.0F);
            silence_s -= static_cast<double>(kPiece) / kWorkRateHz;
        }
        output.put(piece);
    }
    const auto until = std::chrono::steady_clock::now() + kLongestEnd;
    while (!stop.stop_requested() && output.queued_s() > LiveOutput::kAheadS &&
           std::chrono::steady_clock::now() < until) {
        std::this_thread::sleep_for(kLook);
    }
    done_.store(true);
}

}  // namespace skedlark::audio
