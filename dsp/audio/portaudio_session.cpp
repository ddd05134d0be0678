#include "dsp/audio/portaudio_session.h"

#include <dlfcn.h>
#include <fmt/format.h>
#include <link.h>
#include <portaudio.h>

#include <future>
#include <memory>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

namespace skedlark::audio {

namespace {

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

// Left alone at the end of the process, where a thread may still hang in it.
std::timed_mutex& calls() {
    static auto* mutex = new std::timed_mutex;
    return *mutex;
}
int users = 0;  // under calls()

}  // namespace

Result<PortAudioSession::Lock> PortAudioSession::lock() {
    Lock held(calls(), std::defer_lock);
    if (!held.try_lock_for(kPatience)) {
        return Error{ErrorCode::device_lost, "the sound system does not answer"};
    }
    return held;
}

Status PortAudioSession::begin() {
    if (open_) return Done{};
    const auto held = lock();
    if (!held) return held.error();
    if (users == 0) {
        silence_libraries();
        const PaError error = Pa_Initialize();
        if (error != paNoError) {
            return Error{ErrorCode::unreadable, fmt::format("the sound system cannot be used: {}",
                                                            Pa_GetErrorText(error))};
        }
        keep_plugins_loaded();
    }
    ++users;
    open_ = true;
    return Done{};
}

void PortAudioSession::end() {
    if (!open_) return;
    // Where it cannot be had the library stays loaded: another call hangs in it.
    const auto held = lock();
    if (!held) return;
    open_ = false;
    if (--users == 0) Pa_Terminate();
}

Result<std::vector<DeviceInfo>> look_for_devices(std::vector<DeviceInfo> (*look)()) {
    auto promise = std::make_shared<std::promise<Result<std::vector<DeviceInfo>>>>();
    auto answer = promise->get_future();
    std::thread([promise, look] {
        PortAudioSession session;
        if (const Status begun = session.begin(); !begun) {
            promise->set_value(begun.error());
            return;
        }
        std::vector<DeviceInfo> found = look();
        session.end();
        promise->set_value(std::move(found));
    }).detach();
    if (answer.wait_for(PortAudioSession::kPatience) != std::future_status::ready) {
        return Error{ErrorCode::device_lost, "the sound system does not answer"};
    }
    return answer.get();
}

}  // namespace skedlark::audio
