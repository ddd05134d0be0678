#include <dlfcn.h>
#include <fmt/format.h>
#include <link.h>
#include <portaudio.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <future>
#include <string>
#include <string_view>
#include <thread>

#include "dsp/audio/capture_driver.h"

namespace skedlark::audio {
namespace {

// One block is 20 ms; the sound system may hold this much behind the reader's back.
constexpr double kBlockS = 0.02;
constexpr double kLatencyS = 0.06;
constexpr auto kListPatience = std::chrono::seconds(10);

void say_nothing(const char*, int, const char*, int, const char*, ...) {}

// The libraries below PortAudio print dozens of lines about devices that are not there.
void silence_libraries() {
    using AlsaHandler = void (*)(const char*, int, const char*, int, const char*, ...);
    using SetAlsaHandler = int (*)(AlsaHandler);
    using JackHandler = void (*)(const char*);
    using SetJackHandler = void (*)(JackHandler);
    if (void* found = dlsym(RTLD_DEFAULT, "snd_lib_error_set_handler")) {
        reinterpret_cast<SetAlsaHandler>(found)(say_nothing);
    }
    for (const char* name : {"jack_set_error_function", "jack_set_info_function"}) {
        if (void* found = dlsym(RTLD_DEFAULT, name)) {
            reinterpret_cast<SetJackHandler>(found)([](const char*) {});
        }
    }
}

// Each look at the devices loads ALSA's plug-ins and all they stand on, and unloads them again.
// Some of those libraries leak each time (libpixman below the a52 plug-in: 13 kB, 80 MB an hour
// while a device is waited for), so what was loaded once stays.
void keep_plugins_loaded() {
    std::vector<std::string> plugins;
    dl_iterate_phdr(
        [](dl_phdr_info* object, std::size_t, void* found) {
            const std::string_view path = object->dlpi_name;
            if (path.find("libasound_module_") != std::string_view::npos) {
                static_cast<std::vector<std::string>*>(found)->emplace_back(path);
            }
            return 0;
        },
        &plugins);
    for (const std::string& path : plugins) {
        void* plugin = dlopen(path.c_str(), RTLD_LAZY | RTLD_NOLOAD | RTLD_NODELETE);
        if (plugin != nullptr) dlclose(plugin);
    }
}

// PortAudio is one for the whole process. After a call that never came back it stays claimed.
std::atomic<bool>& claimed() {
    static std::atomic<bool> value{false};
    return value;
}

class PortAudioDriver final : public CaptureDriver {
 public:
    ~PortAudioDriver() override {
        close();
        quit();
    }

    Status init() override {
        if (!initialised_ && claimed().exchange(true)) {
            return Error{ErrorCode::invalid_value,
                         "the sound system is already in use by this program, or stopped answering "
                         "earlier; one input at a time"};
        }
        silence_libraries();
        const PaError error = Pa_Initialize();
        if (error != paNoError) {
            claimed().store(false);
            return Error{ErrorCode::unreadable, fmt::format("the sound system cannot be used: {}",
                                                            Pa_GetErrorText(error))};
        }
        initialised_ = true;
        keep_plugins_loaded();
        return Done{};
    }

    std::vector<DeviceInfo> devices() override {
        std::vector<DeviceInfo> found;
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

    Status open(const DeviceInfo& device, const CaptureFormat& format,
                CaptureBuffer& buffer) override {
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
        close();
        return Error{
            ErrorCode::unreadable,
            fmt::format("sound input \"{}\" cannot be opened with {} channels at {} Hz: {}",
                        device.name, format.channels, format.rate_hz, Pa_GetErrorText(error))};
    }

    bool is_active() override { return stream_ != nullptr && Pa_IsStreamActive(stream_) == 1; }

    void close() override {
        if (stream_ == nullptr) return;
        // Stopping in order waits for a device that is gone.
        Pa_AbortStream(stream_);
        Pa_CloseStream(stream_);
        stream_ = nullptr;
    }

    void quit() override {
        if (!initialised_) return;
        Pa_Terminate();
        initialised_ = false;
        claimed().store(false);
    }

 private:
    static int on_block(const void* input, void*, unsigned long frames,
                        const PaStreamCallbackTimeInfo*, PaStreamCallbackFlags flags, void* user) {
        auto* self = static_cast<PortAudioDriver*>(user);
        self->buffer_->put(static_cast<const float*>(input), static_cast<int>(frames),
                           self->channels_, (flags & paInputOverflow) != 0);
        return paContinue;
    }

    bool initialised_ = false;
    PaStream* stream_ = nullptr;
    CaptureBuffer* buffer_ = nullptr;
    int channels_ = 1;
};

}  // namespace

std::unique_ptr<CaptureDriver> make_portaudio_driver() {
    return std::make_unique<PortAudioDriver>();
}

Result<std::vector<DeviceInfo>> list_devices() {
    // On a thread that is left behind where the sound system never answers.
    auto promise = std::make_shared<std::promise<Result<std::vector<DeviceInfo>>>>();
    auto answer = promise->get_future();
    std::thread([promise] {
        PortAudioDriver driver;
        Status status = driver.init();
        if (!status) {
            promise->set_value(status.error());
            return;
        }
        std::vector<DeviceInfo> found = driver.devices();
        driver.quit();
        promise->set_value(std::move(found));
    }).detach();
    if (answer.wait_for(kListPatience) != std::future_status::ready) {
        return Error{ErrorCode::device_lost, "the sound system does not answer"};
    }
    return answer.get();
}

}  // namespace skedlark::audio
