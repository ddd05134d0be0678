#include <fmt/format.h>
#include <portaudio.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <string>
#include <thread>

#include "dsp/audio/capture_driver.h"
#include "dsp/audio/portaudio_session.h"

namespace skedlark::audio {
namespace {

// One block is 20 ms; the sound system may hold this much behind the reader's back.
constexpr double kBlockS = 0.02;
constexpr double kLatencyS = 0.06;

// One input at a time. After a call that never came back it stays claimed.
std::atomic<bool>& claimed() {
    static std::atomic<bool> value{false};
    return value;
}

std::vector<DeviceInfo> inputs() {
    std::vector<DeviceInfo> found;
    const auto lock = PortAudioSession::lock();
    if (!lock) return found;
    const PaDeviceIndex standard = Pa_GetDefaultInputDevice();
    for (PaDeviceIndex i = 0; i < Pa_GetDeviceCount(); ++i) {
        const PaDeviceInfo* info = Pa_GetDeviceInfo(i);
        if (info == nullptr || info->maxInputChannels < 1) continue;
        const PaHostApiInfo* api = Pa_GetHostApiInfo(info->hostApi);
        found.push_back({i, info->name, api != nullptr ? api->name : "", info->maxInputChannels,
                         info->defaultSampleRate, i == standard});
    }
    return found;
}

class PortAudioDriver final : public CaptureDriver {
 public:
    ~PortAudioDriver() override {
        close();
        quit();
    }

    Status init() override {
        if (!claims_ && claimed().exchange(true)) {
            return Error{ErrorCode::invalid_value,
                         "the sound system is already in use by this program, or stopped answering "
                         "earlier; one input at a time"};
        }
        claims_ = true;
        return session_.begin();
    }

    std::vector<DeviceInfo> devices() override { return inputs(); }

    Status open(const DeviceInfo& device, const CaptureFormat& format,
                CaptureBuffer& buffer) override {
        const auto lock = PortAudioSession::lock();
        if (!lock) return lock.error();
        buffer_ = &buffer;
        channels_ = format.channels;
        PaStreamParameters input{};
        input.device = device.index;
        input.channelCount = format.channels;
        input.sampleFormat = paFloat32;
        input.suggestedLatency = kLatencyS;
        PaStream* stream = nullptr;
        const auto block = static_cast<unsigned long>(kBlockS * format.rate_hz);
        PaError error = Pa_OpenStream(&stream, &input, nullptr, format.rate_hz, block, paClipOff,
                                      &PortAudioDriver::on_block, this);
        if (error == paNoError) {
            stream_ = stream;
            error = Pa_StartStream(stream);
        }
        if (error == paNoError) return Done{};
        close_stream();
        return Error{
            ErrorCode::unreadable,
            fmt::format("sound input \"{}\" cannot be opened with {} channels at {} Hz: {}",
                        device.name, format.channels, format.rate_hz, Pa_GetErrorText(error))};
    }

    bool is_active() override { return stream_ != nullptr && Pa_IsStreamActive(stream_) == 1; }

    void close() override {
        if (stream_ == nullptr) return;
        // Where it cannot be had the stream is left behind: the sound system hangs.
        if (const auto lock = PortAudioSession::lock()) close_stream();
    }

    void quit() override {
        session_.end();
        if (claims_) claimed().store(false);
        claims_ = false;
    }

 private:
    void close_stream() {
        if (stream_ == nullptr) return;
        // Stopping in order waits for a device that is gone.
        Pa_AbortStream(stream_);
        Pa_CloseStream(stream_);
        stream_ = nullptr;
    }
    static int on_block(const void* input, void*, unsigned long frames,
                        const PaStreamCallbackTimeInfo*, PaStreamCallbackFlags flags, void* user) {
        auto* self = static_cast<PortAudioDriver*>(user);
        self->buffer_->put(static_cast<const float*>(input), static_cast<int>(frames),
                           self->channels_, (flags & paInputOverflow) != 0);
        return paContinue;
    }

    PortAudioSession session_;
    bool claims_ = false;
    PaStream* stream_ = nullptr;
    CaptureBuffer* buffer_ = nullptr;
    int channels_ = 1;
};

}  // namespace

std::unique_ptr<CaptureDriver> make_portaudio_driver() {
    return std::make_unique<PortAudioDriver>();
}

Result<std::vector<DeviceInfo>> list_devices() { return look_for_devices(&inputs); }

}  // namespace skedlark::audio
