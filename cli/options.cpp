#include "cli/options.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

#include "dsp/audio/source.h"

namespace skedlark::cli {

namespace {

// The whole text as a number, or nothing.
std::optional<double> parse_number(std::string_view text) {
    if (!text.empty() && text.front() == '+') {
        text.remove_prefix(1);
    }
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

}  // namespace

CLI::Validator number_within(const Range& range, bool whole) {
    const std::string unit = range.unit.empty() ? "" : " " + range.unit;
    const std::string allowed = fmt::format("{} to {}{}", range.from, range.to, unit);
    const auto check = [=](std::string& text) -> std::string {
        const std::optional<double> value = parse_number(text);
        if (!value) {
            return fmt::format("'{}' is not a number; allowed: {}", text, allowed);
        }
        if (whole && *value != std::floor(*value)) {
            return fmt::format("{} is not a whole number; allowed: {}", text, allowed);
        }
        if (*value < range.from || *value > range.to) {
            return fmt::format("{} is out of range; allowed: {}", text, allowed);
        }
        if (whole) {
            text = fmt::format("{:.0f}", *value);  // "1e3" and "2.0" are whole numbers too
        }
        return {};
    };
    return CLI::Validator(check, fmt::format("{}..{}", range.from, range.to));
}

CLI::Validator one_of(const std::vector<std::string>& words) {
    const auto check = [words](std::string& text) -> std::string {
        if (std::find(words.begin(), words.end(), text) != words.end()) {
            return {};
        }
        return fmt::format("'{}' is not known; allowed: {}", text, fmt::join(words, ", "));
    };
    return CLI::Validator(check, "");
}

Result<ChannelChoice> parse_channel(const std::string& text) {
    if (text == "mix") {
        return ChannelChoice{1, true};
    }
    int channel = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), channel);
    if (error != std::errc{} || end != text.data() + text.size() || channel < 1) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("--channel: '{}' is not a channel; allowed: 1 and up, or mix", text)};
    }
    return ChannelChoice{channel, false};
}

void add_input_options(CLI::App& verb, InputOptions& options) {
    verb.add_option("INPUT", options.files,
                    "Sound files of any kind libsndfile reads; - is standard input")
        ->type_name("");
    CLI::Option* live = verb.add_option("--live", options.device,
                                        "Listen to a sound input: a name from `skedlark devices`, "
                                        "the default one if left out")
                            ->expected(0, 1)
                            ->type_name("[DEVICE]");
    verb.parse_complete_callback([&options, live] { options.live = live->count() > 0; });
    verb.add_option("--channel", options.channel,
                    "Which channel to use, or mix for the mean of all")
        ->type_name("N|mix")
        ->capture_default_str();
    verb.add_option("--raw", options.raw_rate_hz,
                    "The input is raw 16-bit little-endian mono of this sample rate")
        ->type_name("RATE")
        ->check(number_within({audio::kMinSampleRateHz, audio::kMaxSampleRateHz, "Hz"}));
}

Status check_input_options(const InputOptions& options) {
    if (options.live && !options.files.empty()) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("INPUT '{}' and --live cannot be used together", options.files.front())};
    }
    if (options.live && options.raw_rate_hz > 0.0) {
        return Error{ErrorCode::invalid_value, "--raw is for files and standard input, not --live"};
    }
    if (!options.live && options.files.empty()) {
        return Error{ErrorCode::invalid_value,
                     "INPUT is missing: a sound file, - for standard input, or --live"};
    }
    if (std::count(options.files.begin(), options.files.end(), "-") > 1) {
        return Error{ErrorCode::invalid_value, "INPUT - can be given only once"};
    }
    if (Result<ChannelChoice> channel = parse_channel(options.channel); !channel) {
        return channel.error();
    }
    return Done{};
}

}  // namespace skedlark::cli
