#include "dsp/audio/file_source.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "dsp/audio/container_size.h"
#include "dsp/audio/descriptor.h"
#include "dsp/audio/pcm_stream.h"
#include "dsp/audio/sound_file.h"
#include "dsp/audio/wav_header.h"

namespace skedlark::audio {
namespace {

Status check_options(const std::string& name, const FileOptions& options) {
    if (!options.mix && options.channel < 1) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: channel {} is not allowed: channels count from 1", name,
                                 options.channel)};
    }
    if (options.raw_rate_hz == 0.0) return Done{};
    if (!(options.raw_rate_hz >= kMinSampleRateHz && options.raw_rate_hz <= kMaxSampleRateHz)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: raw sample rate {} Hz is outside {} to {} Hz", name,
                                 options.raw_rate_hz, kMinSampleRateHz, kMaxSampleRateHz)};
    }
    if (!options.mix && options.channel != 1) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{}: channel {} does not exist: raw input has 1", name, options.channel)};
    }
    return Done{};
}

Status check_kind(const Descriptor& descriptor, const std::string& name) {
    struct stat info {};
    if (fstat(descriptor.number(), &info) != 0) {
        return Error{ErrorCode::unreadable,
                     fmt::format("{}: cannot read: {}", name, std::strerror(errno))};
    }
    if (S_ISDIR(info.st_mode)) {
        return Error{ErrorCode::unreadable,
                     fmt::format("{}: is a directory, not a sound file", name)};
    }
    return Done{};
}

// Where the sound file reader cannot seek, or meets a file that was never finished.
Result<std::unique_ptr<Source>> open_wav_stream(Descriptor descriptor, const std::string& name,
                                                const FileOptions& options) {
    const Result<PcmFormat> format = read_wav_header(descriptor, name);
    if (!format) return format.error();
    if (Status status = check_format(name, format->rate_hz, format->channels, options); !status) {
        return status.error();
    }
    return make_pcm_stream(std::move(descriptor), name, *format, options);
}

}  // namespace

Status check_format(const std::string& name, double rate_hz, int channels,
                    const FileOptions& options) {
    if (!(rate_hz >= kMinSampleRateHz && rate_hz <= kMaxSampleRateHz)) {
        return Error{ErrorCode::unsupported,
                     fmt::format("{}: sample rate {} Hz is outside {} to {} Hz", name, rate_hz,
                                 kMinSampleRateHz, kMaxSampleRateHz)};
    }
    if (channels < 1) return Error{ErrorCode::damaged, fmt::format("{}: has no channels", name)};
    if (!options.mix && options.channel > channels) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: channel {} does not exist: the input has 1 to {}", name,
                                 options.channel, channels)};
    }
    return Done{};
}

Result<std::unique_ptr<Source>> open_file(const std::string& path, const FileOptions& options) {
    if (path == "-") return open_descriptor(dup(STDIN_FILENO), "standard input", options);
    const int number = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (number < 0) {
        const bool missing = errno == ENOENT || errno == ENOTDIR;
        return Error{missing ? ErrorCode::not_found : ErrorCode::unreadable,
                     missing ? fmt::format("{}: no such file", path)
                             : fmt::format("{}: cannot open: {}", path, std::strerror(errno))};
    }
    return open_descriptor(number, path, options);
}

Result<std::unique_ptr<Source>> open_descriptor(int number, const std::string& shown_name,
                                                const FileOptions& options) {
    Descriptor descriptor(number);
    if (Status status = check_options(shown_name, options); !status) return status.error();
    if (Status status = check_kind(descriptor, shown_name); !status) return status.error();
    if (options.raw_rate_hz > 0.0) {
        return make_pcm_stream(std::move(descriptor), shown_name, {.rate_hz = options.raw_rate_hz},
                               options);
    }
    if (!descriptor.is_regular_file())
        return open_wav_stream(std::move(descriptor), shown_name, options);
    // A program that died while writing left a data size of 0 with sound behind it.
    if (is_unfinished_wav(descriptor.number())) {
        return open_wav_stream(std::move(descriptor), shown_name, options);
    }
    return open_sound_file(std::move(descriptor), shown_name, options);
}

}  // namespace skedlark::audio
