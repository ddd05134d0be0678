#include "dsp/audio/live_output.h"

#include <fmt/format.h>
#include <portaudio.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <boost/lockfree/spsc_queue.hpp>
#include <chrono>
#include <cmath>
#include <future>
#include <mutex>
#include <optional>
#include <thread>

#include "dsp/audio/portaudio_session.h"
#include "dsp/audio/resampler.h"
#include "dsp/core/units.h"

namespace skedlark::audio {

namespace {

constexpr double kLatencyShare = 0.05;  // of a new account in the mean of all
constexpr double kLongestLatencyS = 2.0;
constexpr std::size_t kMostFrames = 8192;
constexpr auto kLook = std::chrono::milliseconds(20);
constexpr auto kRetry = std::chrono::milliseconds(500);
constexpr int kMostChannels = 2;

std::vector<DeviceInfo> outputs() {
    std::vector<DeviceInfo> found;
    const auto lock = PortAudioSession::lock();
    if (!lock) return found;
    const PaDeviceIndex standard = Pa_GetDefaultOutputDevice();
    for (PaDeviceIndex i = 0; i < Pa_GetDeviceCount(); ++i) {
        const PaDeviceInfo* info = Pa_GetDeviceInfo(i);
        if (info == nullptr || info->maxOutputChannels < 1) continue;
        const PaHostApiInfo* api = Pa_GetHostApiInfo(info->hostApi);
        found.push_back({i, info->name, api != nullptr ? api->name : "", info->maxOutputChannels,
                         info->defaultSampleRate, i == standard});
    }
    return found;
}

}  // namespace

struct LiveOutput::State {
    explicit State(const OutputConfig& c)
        : config(c), limit(static_cast<float>(amplitude_from_db(c.limit_dbfs))) {}

    static int on_block(const void*, void* output, unsigned long frames,
                        const PaStreamCallbackTimeInfo* time, PaStreamCallbackFlags, void* user) {
        auto* state = static_cast<State*>(user);
        if (time != nullptr) state->note_latency(time->outputBufferDacTime - time->currentTime);
        state->fill(static_cast<float*>(output), frames);
        return paContinue;
    }
    void note_latency(double seconds) noexcept;
    void fill(float* out, std::size_t frames) noexcept;
    void fill_mono(std::span<float> mono, double rate, double now_s) noexcept;
    [[nodiscard]] Status open(PortAudioSession& session);
    void close();
    void run();

    const OutputConfig config;
    const float limit;
    std::atomic<bool> stop{false};
    std::atomic<bool> playing{false};
    std::atomic<double> rate_hz{0.0};
    std::atomic<double> latency_s{-1.0};                  // below 0: not told
    boost::lockfree::spsc_queue<float> queue{1U << 18U};  // at the device's rate
    mutable std::mutex mutex;                             // of status
    Status status = Done{};
    std::promise<void> finished;

    // The opening thread's, and the callback's while the stream runs.
    PaStream* stream = nullptr;
    int channels = 1;
    bool dry = true;
    std::vector<float> mono = std::vector<float>(kMostFrames);
    // put()'s.
    std::optional<Resampler> resampler;
    double resampled_to_hz = 0.0;
};

// Some sound systems give times that cannot be.
void LiveOutput::State::note_latency(double seconds) noexcept {
    if (!(seconds > 0.0 && seconds < kLongestLatencyS)) return;
    const double mean = latency_s.load(std::memory_order_relaxed);
    latency_s.store(mean < 0.0 ? seconds : mean + kLatencyShare * (seconds - mean),
                    std::memory_order_relaxed);
}

// The callback: no memory, no lock.
void LiveOutput::State::fill(float* out, std::size_t frames) noexcept {
    const double rate = rate_hz.load(std::memory_order_relaxed);
    const double now_s =
        std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
    for (std::size_t done = 0; done < frames;) {
        const auto part = std::span(mono).first(std::min(mono.size(), frames - done));
        fill_mono(part, rate, now_s + static_cast<double>(done) / rate);
        for (const float sample : part) {
            for (int channel = 0; channel < channels; ++channel) *out++ = sample;
        }
        done += part.size();
    }
}

void LiveOutput::State::fill_mono(std::span<float> part, double rate, double now_s) noexcept {
    const auto ahead = static_cast<double>(queue.read_available()) / rate;
    if (dry && ahead >= kAheadS) dry = false;
    for (float& sample : part) {
        sample = 0.0F;
        if (!dry && !queue.pop(sample)) dry = true;
    }
    if (config.voice) config.voice->add(part, rate, now_s);
    for (float& sample : part) {
        sample = std::isfinite(sample) ? std::clamp(sample, -limit, limit) : 0.0F;
    }
}

Status LiveOutput::State::open(PortAudioSession& session) {
    if (const Status begun = session.begin(); !begun) return begun;
    const std::vector<DeviceInfo> devices = outputs();
    if (devices.empty()) return Error{ErrorCode::not_found, "no sound output is there"};
    const auto device = find_device(devices, config.device);
    if (!device) return device.error();
    const auto lock = PortAudioSession::lock();
    if (!lock) return lock.error();
    channels = std::min(device->channels, kMostChannels);
    rate_hz.store(device->default_rate_hz);
    dry = true;
    latency_s.store(-1.0);
    PaStreamParameters output{};
    output.device = device->index;
    output.channelCount = channels;
    output.sampleFormat = paFloat32;
    output.suggestedLatency = config.latency_s;
    const auto block = static_cast<unsigned long>(config.block_s * device->default_rate_hz);
    PaError error = Pa_OpenStream(&stream, nullptr, &output, device->default_rate_hz, block,
                                  paNoFlag, &State::on_block, this);
    if (error == paNoError) error = Pa_StartStream(stream);
    if (error == paNoError) return Done{};
    if (stream != nullptr) Pa_CloseStream(stream);
    stream = nullptr;
    return Error{ErrorCode::unreadable, fmt::format("sound output \"{}\" cannot be opened: {}",
                                                    device->name, Pa_GetErrorText(error))};
}

void LiveOutput::State::close() {
    playing.store(false);
    if (stream == nullptr) return;
    const auto lock = PortAudioSession::lock();
    if (!lock) return;
    Pa_AbortStream(stream);
    Pa_CloseStream(stream);
    stream = nullptr;
}

void LiveOutput::State::run() {
    PortAudioSession session;
    auto next_try = std::chrono::steady_clock::now();
    while (!stop.load()) {
        if (stream != nullptr && Pa_IsStreamActive(stream) != 1) {
            close();
            session.end();  // the list of devices is made anew only where nobody holds it
            const std::lock_guard held(mutex);
            status = Error{ErrorCode::device_lost, "the sound output went away"};
        } else if (stream == nullptr && std::chrono::steady_clock::now() >= next_try) {
            Status opened = open(session);
            if (!opened) session.end();
            playing.store(opened.ok());
            const std::lock_guard held(mutex);
            status = std::move(opened);
            next_try = std::chrono::steady_clock::now() + kRetry;
        }
        std::this_thread::sleep_for(kLook);
    }
    close();
    session.end();
    finished.set_value();
}

Result<std::unique_ptr<LiveOutput>> LiveOutput::create(const OutputConfig& config) {
    if (!(config.limit_dbfs >= -80.0 && config.limit_dbfs <= 0.0)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("limit of the headphones: {} dBFS is out of range; allowed: -80 "
                                 "to 0 dBFS",
                                 config.limit_dbfs)};
    }
    if (!(config.latency_s >= 0.005 && config.latency_s <= 0.5)) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("latency of the headphones: {} s is out of range; allowed: 0.005 to "
                        "0.5 s",
                        config.latency_s)};
    }
    if (!(config.block_s >= 0.001 && config.block_s <= config.latency_s)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("block of the headphones: {} s is out of range; allowed: 0.001 to "
                                 "{} s",
                                 config.block_s, config.latency_s)};
    }
    return std::unique_ptr<LiveOutput>(new LiveOutput(std::make_shared<State>(config)));
}

LiveOutput::LiveOutput(std::shared_ptr<State> state) : state_(std::move(state)) {
    std::thread([state = state_] { state->run(); }).detach();
}

LiveOutput::~LiveOutput() {
    state_->stop.store(true);
    // A call that hangs keeps the thread, and its state with it; waiting longer would not help.
    state_->finished.get_future().wait_for(std::chrono::seconds(2));
}

void LiveOutput::put(std::span<const float> audio) noexcept {
    State& state = *state_;
    if (!state.playing.load()) return;
    const double rate = state.rate_hz.load();
    if (!state.resampler || state.resampled_to_hz != rate) {
        auto made = Resampler::create(kWorkRateHz, rate);
        if (!made) return;
        state.resampler.emplace(std::move(*made));
        state.resampled_to_hz = rate;
    }
    if (static_cast<double>(state.queue.read_available()) / rate > kMostAheadS) return;
    std::array<float, 4096> made{};
    // It may take all at once and still hold more than one piece of what it made of it.
    for (bool more = true; more;) {
        const auto done = state.resampler->process(audio, made);
        state.queue.push(made.data(), static_cast<std::size_t>(done.written));
        audio = audio.subspan(static_cast<std::size_t>(done.taken));
        more = done.written > 0 || (done.taken > 0 && !audio.empty());
    }
}

Status LiveOutput::status() const {
    const std::lock_guard held(state_->mutex);
    return state_->status;
}

bool LiveOutput::is_playing() const noexcept { return state_->playing.load(); }

double LiveOutput::queued_s() const noexcept {
    const double rate = state_->rate_hz.load();
    return rate > 0.0 ? static_cast<double>(state_->queue.read_available()) / rate : 0.0;
}

std::optional<double> LiveOutput::latency_s() const noexcept {
    const double told = state_->latency_s.load();
    return is_playing() && told >= 0.0 ? std::optional(told) : std::nullopt;
}

Result<std::vector<DeviceInfo>> list_outputs() { return look_for_devices(&outputs); }

}  // namespace skedlark::audio
