#include "dsp/audio/live_keeper.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <thread>

namespace skedlark::audio {
namespace {

// More channels are offered by software devices that make them up.
constexpr int kMaxMixedChannels = 8;
constexpr double kCommonRates[] = {48000.0, 44100.0, 96000.0, 16000.0, 8000.0};

// Marks the time spent inside the driver, for the reader's watchdog.
class Busy {
 public:
    explicit Busy(KeeperState& state) : state_(state) {
        state_.busy_since_ns.store(steady_now_ns(), std::memory_order_relaxed);
    }
    Busy(const Busy&) = delete;
    Busy& operator=(const Busy&) = delete;
    ~Busy() { state_.busy_since_ns.store(0, std::memory_order_relaxed); }

 private:
    KeeperState& state_;
};

// Two channels even for the first: a mono stream of a stereo device is a mix of both.
std::vector<int> channel_counts(const LiveConfig& config, const DeviceInfo& device) {
    int wanted = std::max(2, config.channel);
    if (config.mix) wanted = device.channels <= kMaxMixedChannels ? device.channels : 2;
    std::vector<int> counts{std::min(wanted, device.channels)};
    if (counts[0] != 1 && (config.mix || config.channel == 1)) counts.push_back(1);
    return counts;
}

std::vector<double> rates(const LiveConfig& config, const DeviceInfo& device) {
    if (config.rate_hz > 0.0) return {config.rate_hz};
    std::vector<double> list;
    if (device.default_rate_hz >= kMinSampleRateHz && device.default_rate_hz <= kMaxSampleRateHz) {
        list.push_back(device.default_rate_hz);
    }
    for (const double rate_hz : kCommonRates) {
        if (list.empty() || list[0] != rate_hz) list.push_back(rate_hz);
    }
    return list;
}

}  // namespace

void LiveKeeper::run() {
    if (Status status = open_first(); !status) {
        leave();
        state_->opened.set_value(status.error());
        state_->finished.set_value();
        return;
    }
    state_->opened.set_value(stream_);
    while (!state_->stop.load()) {
        if (state_->away.load()) {
            pause(kRetryMs);
            if (!state_->stop.load() && open_again()) state_->away.store(false);
        } else if (is_gone()) {
            // Known before leaving, which may take as long as the device is away.
            state_->buffer->pause();
            state_->away.store(true);
            leave();
        } else {
            pause(kLookMs);
        }
    }
    leave();
    state_->finished.set_value();
}

Status LiveKeeper::open_first() {
    const Busy busy(*state_);
    if (Status status = driver_->init(); !status) return status;
    const LiveConfig& config = state_->config;
    const Result<DeviceInfo> device = find_device(driver_->devices(), config.device);
    if (!device) return device.error();
    if (!config.mix && config.channel > device->channels) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("channel {} does not exist: sound input \"{}\" has 1 to {}",
                                 config.channel, device->name, device->channels)};
    }
    std::optional<Error> first_error;
    for (const double rate_hz : rates(config, *device)) {
        for (const int channels : channel_counts(config, *device)) {
            state_->buffer = std::make_unique<CaptureBuffer>(
                config.mix ? -1 : config.channel - 1,
                static_cast<int>(std::max(config.buffer_s * rate_hz, 4096.0)));
            const Status status = open_with(*device, {rate_hz, channels});
            if (status) return status;
            if (!first_error) first_error = status.error();
        }
    }
    return *first_error;
}

Status LiveKeeper::open_with(const DeviceInfo& device, const CaptureFormat& format) {
    Status status = driver_->open(device, format, *state_->buffer);
    // Opening may itself take longer than kStallS; the first block is awaited from here on.
    opened_ns_ = steady_now_ns();
    if (status) stream_ = {device, format};
    return status;
}

bool LiveKeeper::open_again() {
    const Busy busy(*state_);
    // Device lists are made at init only, so each look is a new one.
    if (!driver_->init()) return false;
    for (const DeviceInfo& device : driver_->devices()) {
        if (device.name != stream_.device.name || device.host_api != stream_.device.host_api) {
            continue;
        }
        state_->buffer->resume();
        if (open_with(device, stream_.format)) return true;
    }
    driver_->quit();
    return false;
}

bool LiveKeeper::is_gone() {
    const Busy busy(*state_);
    if (!driver_->is_active()) return true;
    const std::int64_t last_ns = std::max(state_->buffer->last_put_ns(), opened_ns_);
    return steady_now_ns() - last_ns > static_cast<std::int64_t>(kStallS * 1e9);
}

void LiveKeeper::leave() {
    const Busy busy(*state_);
    driver_->close();
    driver_->quit();
}

void LiveKeeper::pause(int ms) const {
    // In short steps, so that the end of the program does not wait for it.
    for (int waited = 0; waited < ms && !state_->stop.load(); waited += kLookMs) {
        std::this_thread::sleep_for(std::chrono::milliseconds(kLookMs));
    }
}

}  // namespace skedlark::audio
