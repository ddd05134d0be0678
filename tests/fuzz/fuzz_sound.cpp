// Bytes as a sound file, through everything: no crash, no hang, no error without a message.
#include <sys/mman.h>
#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <vector>

#include "dsp/audio/file_source.h"
#include "dsp/audio/work_rate_source.h"
#include "dsp/watch/drive.h"

using namespace skedlark;

namespace {

// A header may claim any length; so much audio is enough to reach every stage.
constexpr double kLongestS = 20.0;

int file_of(const std::uint8_t* data, std::size_t size) {
    const int descriptor = ::memfd_create("fuzz", 0);
    if (descriptor < 0 || ::write(descriptor, data, size) != static_cast<ssize_t>(size)) {
        std::abort();
    }
    ::lseek(descriptor, 0, SEEK_SET);
    return descriptor;
}

void want_message(const Error& error) {
    if (error.message.empty()) {
        std::abort();
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    audio::FileOptions options;
    options.mix = size > 0 && (data[size - 1] & 1U) != 0;
    options.raw_rate_hz = size > 0 && (data[size - 1] & 6U) == 6U ? 8000.0 : 0.0;
    auto source = audio::open_descriptor(file_of(data, size), "fuzz", options);
    if (!source) {
        want_message(source.error());
        return 0;
    }
    auto work = audio::WorkRateSource::create(std::move(*source));
    if (!work) {
        want_message(work.error());
        return 0;
    }
    auto watch = watch::Watch::create({.tones = 2, .provisional = true});
    watch::DriveHooks hooks;
    hooks.events = [](const std::vector<Event>&) { return true; };
    hooks.progress = [&](double done_s, std::optional<double>) {
        if (done_s > kLongestS) {
            (*work)->request_stop();
        }
    };
    if (const Status status = watch::drive(**work, *watch, hooks); !status) {
        want_message(status.error());
    }
    return 0;
}
