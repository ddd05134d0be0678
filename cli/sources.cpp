#include "cli/sources.h"

#include <chrono>

#include "dsp/audio/file_source.h"
#include "dsp/audio/live_source.h"
#include "dsp/watch/recorded_source.h"

namespace skedlark::cli {

namespace {

Result<std::unique_ptr<audio::Recorder>> open_recorder(const RecordOptions& options,
                                                       double sample_rate_hz) {
    audio::RecorderConfig config;
    config.folder = options.folder;
    config.format =
        options.format == "wav" ? audio::RecordingFormat::wav : audio::RecordingFormat::flac;
    config.sample_rate_hz = sample_rate_hz;
    config.start_utc =
        std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    return audio::Recorder::create(config);
}

}  // namespace

Result<std::unique_ptr<audio::Source>> open_source(const InputOptions& options,
                                                   const std::string& file, double lost_after_s) {
    const Result<ChannelChoice> channel = parse_channel(options.channel);
    if (!channel) {
        return channel.error();
    }
    if (options.live) {
        audio::LiveConfig config;
        config.device = options.device;
        config.channel = channel->channel;
        config.mix = channel->mix;
        config.lost_after_s = lost_after_s;
        Result<std::unique_ptr<audio::LiveSource>> live = audio::open_live(config);
        if (!live) {
            return live.error();
        }
        return std::unique_ptr<audio::Source>(std::move(*live));
    }
    audio::FileOptions file_options;
    file_options.channel = channel->channel;
    file_options.mix = channel->mix;
    file_options.raw_rate_hz = options.raw_rate_hz;
    return audio::open_file(file, file_options);
}

Result<OpenInput> open_input(const InputOptions& options, const std::string& file,
                             const RecordOptions& record) {
    Result<std::unique_ptr<audio::Source>> source = open_source(options, file);
    if (!source) {
        return source.error();
    }
    OpenInput input;
    input.line.name = (*source)->name();
    input.line.sample_rate_hz = (*source)->sample_rate_hz();
    if (const auto frames = (*source)->total_frames()) {
        input.line.seconds = seconds_from_frames(*frames, input.line.sample_rate_hz);
    }
    if (options.live) {
        input.line.utc =
            std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    }
    if (!record.folder.empty()) {
        auto recorder = open_recorder(record, input.line.sample_rate_hz);
        if (!recorder) {
            return recorder.error();
        }
        input.recorder = std::move(*recorder);
        source = std::unique_ptr<audio::Source>(
            std::make_unique<watch::RecordedSource>(std::move(*source), *input.recorder));
    }
    Result<std::unique_ptr<audio::WorkRateSource>> work =
        audio::WorkRateSource::create(std::move(*source));
    if (!work) {
        return work.error();
    }
    input.source = std::move(*work);
    return input;
}

}  // namespace skedlark::cli
