#include "dsp/audio/live_source.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>

#include "dsp/audio/frame_clock.h"
#include "dsp/audio/live_keeper.h"

namespace skedlark::audio {
namespace {

constexpr int kWaitMs = 200;
constexpr int kStepMs = 5;
// While the device is away the loss is told this far behind the clock, in pieces of at least this.
constexpr double kAwayBehindS = 0.5;
constexpr double kAwayPieceS = 0.2;
constexpr auto kLeavePatience = std::chrono::seconds(2);

double seconds_of(std::int64_t ns) { return 1e-9 * static_cast<double>(ns); }

class KeptSource final : public LiveSource {
 public:
    KeptSource(std::shared_ptr<KeeperState> state, OpenedStream stream)
        : state_(std::move(state)),
          finished_(state_->finished.get_future()),
          stream_(std::move(stream)),
          clock_(stream_.format.rate_hz) {}
    ~KeptSource() override {
        state_->stop.store(true);
        // A keeper that hangs in the sound system is left behind.
        finished_.wait_for(kLeavePatience);
    }

    double sample_rate_hz() const override { return stream_.format.rate_hz; }
    std::optional<FrameIndex> total_frames() const override { return std::nullopt; }
    std::string name() const override { return stream_.device.name; }
    bool is_live() const override { return true; }
    bool is_away() const noexcept override { return state_->away.load(); }
    const DeviceInfo& device() const noexcept override { return stream_.device; }

 private:
    Result<ReadResult> do_read(std::span<float> out) override;
    bool next_mark(ReadResult& result);
    std::optional<Error> given_up();
    bool tell_away(ReadResult& result);
    void count_lost(ReadResult& result, FrameIndex lost, std::string reason);

    std::shared_ptr<KeeperState> state_;
    std::future<void> finished_;
    OpenedStream stream_;
    FrameClock clock_;
    int block_left_ = 0;  // frames of the current block still in the ring
    FrameIndex position_ = 0;
    std::int64_t last_block_ns_ = steady_now_ns();
    double away_told_s_ = 0.0;
    std::optional<Error> error_;
};

Result<ReadResult> KeptSource::do_read(std::span<float> out) {
    ReadResult result;
    result.first_frame = position_;
    if (error_) return *error_;
    if (out.empty()) return result;
    for (int waited = 0; waited < kWaitMs; waited += kStepMs) {
        if (block_left_ == 0 && next_mark(result) && result.lost_frames > 0) return result;
        if (block_left_ > 0) {
            const auto size = std::min(out.size(), static_cast<std::size_t>(block_left_));
            result.frames = state_->buffer->take(out.first(size));
            block_left_ -= result.frames;
            position_ += result.frames;
            return result;
        }
        if (stop_requested()) {
            result.end = true;
            return result;
        }
        if ((error_ = given_up())) return *error_;
        if (tell_away(result)) return result;
        std::this_thread::sleep_for(std::chrono::milliseconds(kStepMs));
    }
    return result;
}

// The next block of the ring, and what the clock says is missing before it.
bool KeptSource::next_mark(ReadResult& result) {
    const auto mark = state_->buffer->next_block();
    if (!mark) return false;
    block_left_ = mark->frames;
    last_block_ns_ = mark->time_ns;
    away_told_s_ = 0.0;
    const FrameIndex lost = clock_.block(seconds_of(mark->time_ns), mark->frames,
                                         mark->overflow || mark->restarted, mark->dropped_before);
    if (lost == 0) return true;
    std::string reason = fmt::format("sound input \"{}\": frames did not come", name());
    if (mark->dropped_before > 0) reason = "the computer was too slow for the sound input";
    if (mark->overflow) reason = fmt::format("sound input \"{}\" overflowed", name());
    if (mark->restarted) reason = fmt::format("sound input \"{}\" was away", name());
    count_lost(result, lost, std::move(reason));
    return true;
}

void KeptSource::count_lost(ReadResult& result, FrameIndex lost, std::string reason) {
    position_ += lost;
    result.lost_frames = lost;
    result.first_frame = position_;
    result.lost_reason = std::move(reason);
}

std::optional<Error> KeptSource::given_up() {
    const std::int64_t now_ns = steady_now_ns();
    const std::int64_t busy_ns = state_->busy_since_ns.load(std::memory_order_relaxed);
    if (busy_ns != 0 && seconds_of(now_ns - busy_ns) > state_->config.hang_limit_s) {
        return Error{ErrorCode::device_lost,
                     fmt::format("sound input \"{}\": the sound system does not answer any more; "
                                 "start the program again",
                                 name())};
    }
    if (!state_->away.load()) return std::nullopt;
    const double away_s = seconds_of(now_ns - last_block_ns_);
    if (away_s <= state_->config.lost_after_s) return std::nullopt;
    return Error{ErrorCode::device_lost,
                 fmt::format("sound input \"{}\" did not come back within {} s", name(),
                             state_->config.lost_after_s)};
}

bool KeptSource::tell_away(ReadResult& result) {
    if (!state_->away.load()) return false;
    const double until_s = seconds_of(steady_now_ns()) - kAwayBehindS;
    if (until_s < seconds_of(last_block_ns_) || until_s < away_told_s_ + kAwayPieceS) return false;
    away_told_s_ = until_s;
    const FrameIndex lost = clock_.away_until(until_s);
    if (lost == 0) return false;
    count_lost(result, lost, fmt::format("sound input \"{}\" is away, waiting for it", name()));
    return true;
}

Status check(const LiveConfig& config) {
    const auto refuse = [](const char* field, double value, const char* allowed) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{} {} is outside {}", field, value, allowed)};
    };
    if (!config.mix && config.channel < 1) return refuse("channel", config.channel, "1 and up");
    const bool own_rate = config.rate_hz == 0.0;
    if (!own_rate && !(config.rate_hz >= kMinSampleRateHz && config.rate_hz <= kMaxSampleRateHz)) {
        return refuse("sample rate", config.rate_hz, "8000 to 192000 Hz");
    }
    if (!(config.buffer_s >= 0.2 && config.buffer_s <= 60.0)) {
        return refuse("buffer_s", config.buffer_s, "0.2 to 60 s");
    }
    if (!(config.lost_after_s >= 0.0))
        return refuse("lost_after_s", config.lost_after_s, "0 and up");
    if (!(config.hang_limit_s >= 0.1)) {
        return refuse("hang_limit_s", config.hang_limit_s, "0.1 s and up");
    }
    return Done{};
}

}  // namespace

Result<std::unique_ptr<LiveSource>> open_live(const LiveConfig& config) {
    return open_live_with(make_portaudio_driver(), config);
}

Result<std::unique_ptr<LiveSource>> open_live_with(std::unique_ptr<CaptureDriver> driver,
                                                   const LiveConfig& config) {
    if (Status status = check(config); !status) return status.error();
    auto state = std::make_shared<KeeperState>();
    state->config = config;
    auto opened = state->opened.get_future();
    std::thread([state, keeper = std::make_shared<LiveKeeper>(state, std::move(driver))] {
        keeper->run();
    }).detach();
    const auto patience = std::chrono::duration<double>(config.hang_limit_s);
    if (opened.wait_for(patience) != std::future_status::ready) {
        state->stop.store(true);
        return Error{ErrorCode::device_lost, "the sound system does not answer"};
    }
    Result<OpenedStream> stream = opened.get();
    if (!stream) return stream.error();
    return std::unique_ptr<LiveSource>(
        std::make_unique<KeptSource>(std::move(state), *std::move(stream)));
}

}  // namespace skedlark::audio
