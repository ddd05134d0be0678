#include "cli/sources.h"

#include <chrono>

#include "dsp/audio/file_source.h"
#include "dsp/audio/live_source.h"

namespace skedlark::cli {

namespace {

Result<OpenInput> brought_to_work_rate(std::unique_ptr<audio::Source> source) {
    OpenInput input;
    input.line.name = source->name();
    input.line.sample_rate_hz = source->sample_rate_hz();
    if (const auto frames = source->total_frames()) {
        input.line.seconds = seconds_from_frames(*frames, source->sample_rate_hz());
    }
    Result<std::unique_ptr<audio::WorkRateSource>> work =
        audio::WorkRateSource::create(std::move(source));
    if (!work) {
        return work.error();
    }
    input.source = std::move(*work);
    return input;
}

}  // namespace

Result<OpenInput> open_input(const InputOptions& options, const std::string& file) {
    const Result<ChannelChoice> channel = parse_channel(options.channel);
    if (!channel) {
        return channel.error();
    }
    audio::FileOptions file_options;
    file_options.channel = channel->channel;
    file_options.mix = channel->mix;
    file_options.raw_rate_hz = options.raw_rate_hz;
    Result<std::unique_ptr<audio::Source>> source = audio::open_file(file, file_options);
    if (!source) {
        return source.error();
    }
    return brought_to_work_rate(std::move(*source));
}

Result<OpenInput> open_live(const InputOptions& options) {
    const Result<ChannelChoice> channel = parse_channel(options.channel);
    if (!channel) {
        return channel.error();
    }
    audio::LiveConfig config;
    config.device = options.device;
    config.channel = channel->channel;
    config.mix = channel->mix;
    Result<std::unique_ptr<audio::LiveSource>> source = audio::open_live(config);
    if (!source) {
        return source.error();
    }
    Result<OpenInput> input = brought_to_work_rate(std::move(*source));
    if (input) {
        input->line.utc =
            std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    }
    return input;
}

}  // namespace skedlark::cli
