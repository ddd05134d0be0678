// From key to sound, measured through the output joined to an input.
#include <fmt/format.h>

#include <chrono>
#include <limits>
#include <nlohmann/json.hpp>
#include <thread>

#include "cli/drill.h"
#include "cli/sources.h"
#include "dsp/audio/keyed_tone.h"
#include "dsp/core/units.h"
#include "dsp/fist/key_delay.h"

namespace skedlark::cli {

namespace {

using std::chrono::steady_clock;
constexpr int kPresses = 15;
constexpr double kPressS = 0.1;
constexpr double kApartS = 0.35;
constexpr double kBeforeS = 1.5;
constexpr double kAfterS = 1.0;
constexpr double kLongestOpeningS = 5.0;

double now_s() {
    return std::chrono::duration<double>(steady_clock::now().time_since_epoch()).count();
}

struct Measured {
    fist::KeyDelay delay{};
    double told_s = 0.0;  // by the sound system's own account, mean over the edges
};

Result<Measured> measure(audio::LiveOutput& output, audio::KeyedTone& tone,
                         audio::WorkRateSource& input) {
    std::vector<fist::KeyMark> pressed;
    std::vector<float> heard, block(static_cast<std::size_t>(kWorkRateHz));
    // As early as any block allows: a block cannot come before it was heard.
    double heard_from_s = std::numeric_limits<double>::infinity();
    double told_s = 0.0;
    int told = 0;
    bool down = false;
    const double start_s = now_s() + kBeforeS;
    const double end_s = start_s + kPresses * kApartS + kAfterS;
    while (now_s() < end_s) {
        const double since_s = now_s() - start_s;
        const auto done = static_cast<double>(pressed.size());
        const bool due_down = !down && done < kPresses && since_s >= done * kApartS;
        const bool due_up = down && since_s >= (done - 1.0) * kApartS + kPressS;
        if (due_down || due_up) {
            down = due_down;
            const double at_s = now_s();
            tone.key(down, at_s);
            if (down) pressed.push_back({at_s, at_s});
            pressed.back().off_s = at_s;
            if (const auto latency_s = output.latency_s()) {
                told_s += tone.wait_s() + *latency_s;
                ++told;
            }
        }
        const auto read = input.read(block);
        if (!read) return read.error();
        heard.insert(heard.end(), block.begin(), block.begin() + read->frames);
        heard_from_s =
            std::min(heard_from_s, now_s() - static_cast<double>(heard.size()) / kWorkRateHz);
    }
    const auto delay = fist::key_delay(pressed, heard, heard_from_s);
    if (!delay) return delay.error();
    return Measured{*delay, told > 0 ? told_s / told : std::numeric_limits<double>::quiet_NaN()};
}

}  // namespace

ExitStatus measure_key_delay(const DrillOptions& options) {
    const auto tone = audio::KeyedTone::create(
        {.level_dbfs = options.volume_dbfs, .ceiling_dbfs = options.limit_dbfs});
    if (!tone) return fail_drill(tone.error());
    auto output = audio::LiveOutput::create({.device = options.output_device,
                                             .limit_dbfs = options.limit_dbfs,
                                             .voice = *tone,
                                             .latency_s = 0.02,
                                             .block_s = 0.005});
    if (!output) return fail_drill(output.error());
    const double until_s = now_s() + kLongestOpeningS;
    while (!(*output)->is_playing() && now_s() < until_s) {
        if (const Status status = (*output)->status(); !status) return fail_drill(status.error());
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    InputOptions from;
    from.live = true;
    from.device = options.input_device;
    auto input = open_input(from, "", {});
    if (!input) return fail_drill(input.error());
    const auto measured = measure(**output, **tone, *input->source);
    if (!measured) {
        print_error("drill", measured.error().message);
        return measured.error().code == ErrorCode::not_found ? kAnswerNo
                                                             : exit_status(measured.error().code);
    }
    const auto ms = [](double seconds) { return std::round(1e4 * seconds) / 10.0; };
    Output out(1);
    if (options.json) {
        nlohmann::ordered_json line{{"event", "key_delay"},
                                    {"edges", measured->delay.edges},
                                    {"measured_ms", ms(measured->delay.mean_s)},
                                    {"measured_sd_ms", ms(measured->delay.sd_s)},
                                    {"worst_length_ms", ms(measured->delay.worst_length_s)},
                                    {"told_ms", nullptr}};
        if (std::isfinite(measured->told_s)) line["told_ms"] = ms(measured->told_s);
        out.write(line.dump() + "\n");
    } else {
        out.write(fmt::format(
            "From key to input {:.1f} ms, the way into the input included; {:.1f} ms from "
            "edge to edge\n(standard deviation), lengths within {:.1f} ms.\n",
            ms(measured->delay.mean_s), ms(measured->delay.sd_s),
            ms(measured->delay.worst_length_s)));
        if (std::isfinite(measured->told_s))
            out.write(
                fmt::format("From key to sound {:.1f} ms by the sound system's own account.\n",
                            ms(measured->told_s)));
    }
    return deliver(out, kDone);
}

}  // namespace skedlark::cli
