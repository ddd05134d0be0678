#include "cli/hookup.h"

#include <fmt/format.h>

#include <array>

#include "cli/json_lines.h"
#include "cli/sources.h"
#include "cli/stop_signal.h"
#include "dsp/audio/hookup_check.h"

namespace skedlark::cli {

namespace {

Result<std::vector<float>> listen(audio::Source& source, double seconds) {
    const auto wanted = static_cast<std::size_t>(seconds * source.sample_rate_hz());
    std::vector<float> audio;
    std::array<float, 4096> block{};
    while (audio.size() < wanted) {
        const auto room = std::min(block.size(), wanted - audio.size());
        const Result<audio::ReadResult> read = source.read(std::span(block).first(room));
        if (!read) {
            return read.error();
        }
        audio.insert(audio.end(), block.begin(), block.begin() + read->frames);
        if (read->end) {
            break;
        }
    }
    return audio;
}

const char* word_for(audio::LevelVerdict level) {
    switch (level) {
        case audio::LevelVerdict::no_signal:
            return "no_signal";
        case audio::LevelVerdict::too_low:
            return "too_low";
        case audio::LevelVerdict::good:
            return "good";
        default:
            return "clipping";
    }
}

void print_text(const audio::HookupReport& report, const std::string& name, Output& out) {
    std::string level = word_for(report.level);
    std::replace(level.begin(), level.end(), '_', ' ');
    out.write(fmt::format("{}: {:.1f} s heard\n", name, report.seconds));
    out.write(fmt::format("level     {}: peak {:.1f} dBFS, mean {:.1f} dBFS, {:.2f} % clipped\n",
                          level, report.peak_dbfs, report.rms_dbfs, 100.0 * report.clipped_share));
    out.write(
        report.hum_found
            ? fmt::format("mains hum {}: {:.2f} Hz, {:.1f} dBFS, {:+.1f} dB against the rest\n",
                          report.hum_matters ? "too strong" : "weak", report.mains_hz,
                          report.hum_dbfs, report.hum_to_rest_db)
            : std::string("mains hum none found\n"));
    for (const std::string& advice : report.advice) {
        out.write("- " + advice + "\n");
    }
}

}  // namespace

Result<bool> check_input(const HookupOptions& options, Output& out) {
    const std::string file = options.input.files.empty() ? "" : options.input.files.front();
    Result<std::unique_ptr<audio::Source>> source = open_source(options.input, file);
    if (!source) {
        return source.error();
    }
    const StopOnSignal stopping(**source);
    const Result<std::vector<float>> audio = listen(**source, options.seconds);
    if (!audio) {
        return audio.error();
    }
    const auto report = audio::check_hookup(*audio, (*source)->sample_rate_hz());
    if (!report) {
        return report.error();
    }
    if (options.json) {
        CheckLine line{(*source)->name(), report->seconds, word_for(report->level)};
        line.peak_dbfs = report->peak_dbfs;
        line.rms_dbfs = report->rms_dbfs;
        line.dc_offset = report->dc_offset;
        line.clipped_share = report->clipped_share;
        line.hum_found = report->hum_found;
        line.hum_matters = report->hum_matters;
        line.mains_hz = report->mains_hz;
        line.hum_dbfs = report->hum_dbfs;
        line.hum_to_rest_db = report->hum_to_rest_db;
        line.advice = report->advice;
        out.write(json_line(line));
    } else {
        print_text(*report, (*source)->name(), out);
    }
    return report->level == audio::LevelVerdict::good && !report->hum_matters;
}

}  // namespace skedlark::cli
