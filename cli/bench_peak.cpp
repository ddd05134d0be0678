// skedlark bench peak: a level to align by, with the highest it has been. No figure, no limit: a meter.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <nlohmann/json.hpp>
#include <span>

#include "cli/bench_run.h"
#include "cli/bench_session.h"
#include "cli/bench_view.h"
#include "cli/json_lines.h"
#include "cli/key_reader.h"
#include "cli/output.h"
#include "cli/sources.h"
#include "cli/status_line.h"
#include "cli/stop_signal.h"
#include "cli/terminal.h"
#include "cli/text_view.h"
#include "dsp/bench/peak_meter.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Examples:\n"
    "  skedlark bench peak --live\n"
    "  skedlark bench peak trimming.wav --json\n"
    "Steady tone or noise, automatic gain control off, generator as weak as will do: turn\n"
    "a trimmer for the highest level. The line says how far the level lies below the\n"
    "highest it has been; a mark of the bar is half a decibel. On a terminal with --live\n"
    "it is redrawn, else there is one a second. Keys: p lets the peak go, q ends.\n"
    "Exit status: 0 done; 2 cannot be measured; 3 cut short.";

constexpr int kBarMarks = 40;
constexpr double kDbPerMark = 0.5;
constexpr std::size_t kPiece = 256;  // shorter than a reading, so that no clipping is missed

struct PeakOptions {
    InputOptions input{};
    bench::PeakMeterConfig config{};
    double seconds = 0.0;  // 0: to the end
    bool json = false;
};

double below_db(const bench::PeakReading& reading) { return std::max(0.0, reading.below_db()); }

std::string peak_line(double at_s, const bench::PeakReading& reading, bool clipped) {
    const double tenths = std::round(10.0 * below_db(reading));
    const double marks = kBarMarks - below_db(reading) / kDbPerMark;
    const int full = std::clamp(static_cast<int>(std::lround(marks)), 0, kBarMarks);
    return fmt::format("{:>5} {:6.1f} dB [{}{}] peak {:.1f} dBFS{}", clock_text(at_s),
                       tenths > 0.0 ? -0.1 * tenths : 0.0,
                       std::string(static_cast<std::size_t>(full), '#'),
                       std::string(static_cast<std::size_t>(kBarMarks - full), '.'),
                       reading.held_dbfs, clipped ? " CLIPS" : "");
}

std::string peak_json(double at_s, const bench::PeakReading& reading, bool clipped) {
    const auto rounded = [](double x) { return std::round(x * 1000.0) / 1000.0; };
    const nlohmann::ordered_json line{{"event", "peak"},
                                      {"at_s", rounded(at_s)},
                                      {"level_dbfs", rounded(reading.level_dbfs)},
                                      {"held_dbfs", rounded(reading.held_dbfs)},
                                      {"held_at_s", rounded(reading.held_at_s)},
                                      {"below_db", rounded(below_db(reading))},
                                      {"noise_db", rounded(reading.noise_db)},
                                      {"clipped", clipped}};
    return line.dump() + "\n";
}

class PeakRun {
 public:
    explicit PeakRun(const PeakOptions& options)
        : options_(options),
          status_(out_, options.input.live && !options.json && terminal_at(1).can_redraw) {}

    ExitStatus run() {
        return session_.run([this](ExitStatus& status) {
            const Status done = work(status);
            status_.clear();
            return done;
        });
    }

 private:
    Status work(ExitStatus& status) {
        const auto file = one_input(options_.input);
        if (!file) return file.error();
        auto source = open_source(options_.input, *file, kRunLostAfterS);
        if (!source) return source.error();
        const StopOnSignal stopping(**source);
        rate_hz_ = (*source)->sample_rate_hz();
        bench::PeakMeterConfig config = options_.config;
        config.sample_rate_hz = rate_hz_;
        auto meter = bench::PeakMeter::create(config);
        if (!meter)
            return Error{meter.error().code, (*source)->name() + ": " + meter.error().message};
        BenchSession::caution(kHighVoltageCaution);
        if (options_.json) {
            InputLine line;
            line.name = (*source)->name();
            line.sample_rate_hz = rate_hz_;
            out_.write(json_line(line));
        }
        const auto cut_short = listen(**source, *meter);
        if (!any_) {
            if (cut_short) return *cut_short;
            return Error{ErrorCode::invalid_value,
                         (*source)->name() + ": too short for a level, 0.05 s are needed"};
        }
        status_.clear();
        if (status_.can_redraw() || unsaid_) say_line(*meter);
        for (const std::string& remark : sound_remarks(**source, lost_frames_ / rate_hz_))
            session_.say(remark);
        status = session_.end((*source)->name(), options_.input.live, cut_short, status);
        return Done{};
    }

    // Until it ends, q is pressed or the time is over; what ended it before its time.
    std::optional<Error> listen(audio::Source& source, bench::PeakMeter& meter) {
        std::optional<KeyReader> keys;
        if (options_.input.live) keys.emplace(STDIN_FILENO);
        std::vector<float> block(static_cast<std::size_t>(rate_hz_ / 20.0));
        const double most = options_.seconds > 0.0 ? options_.seconds * rate_hz_
                                                   : std::numeric_limits<double>::max();
        while (frames_ < most && !out_.failure()) {
            const auto read = source.read(block);
            if (!read) return read.error();
            lost_frames_ +=
                static_cast<double>(read->lost_frames) + (read->lost ? read->frames : 0);
            take(std::span<const float>(block).first(static_cast<std::size_t>(
                     std::min(static_cast<double>(read->frames), most - frames_))),
                 meter);
            if (read->end) break;
            if (keys && !take_keys(*keys, meter)) break;
        }
        return std::nullopt;
    }

    static bool take_keys(KeyReader& keys, bench::PeakMeter& meter) {
        while (const auto key = keys.poll()) {
            if (*key == 'q' || *key == 'Q') return false;
            if (*key == 'p' || *key == 'P') meter.release();
        }
        return true;
    }

    void take(std::span<const float> audio, bench::PeakMeter& meter) {
        while (!audio.empty()) {
            // A line stands at the end of its second, whatever the blocks are.
            const double to_second = std::floor(frames_ / rate_hz_ + 1.0) * rate_hz_ - frames_;
            const auto piece =
                std::min({audio.size(), kPiece,
                          static_cast<std::size_t>(std::max(1.0, std::ceil(to_second)))});
            const bool fresh = meter.process(audio.first(piece));
            audio = audio.subspan(piece);
            const double before_s = std::floor(frames_ / rate_hz_);
            frames_ += static_cast<double>(piece);
            if (fresh) {
                any_ = unsaid_ = true;
                clipped_ = clipped_ || meter.reading().clipped;
                if (status_.can_redraw())
                    status_.show(peak_line(frames_ / rate_hz_, meter.reading(), clipped_));
            }
            if (std::floor(frames_ / rate_hz_) <= before_s) continue;
            if (status_.can_redraw()) {
                clipped_ = false;
            } else if (any_) {
                say_line(meter);
            }
        }
    }

    void say_line(const bench::PeakMeter& meter) {
        const double at_s = frames_ / rate_hz_;
        out_.write(options_.json ? peak_json(at_s, meter.reading(), clipped_)
                                 : peak_line(at_s, meter.reading(), clipped_) + "\n");
        if (options_.input.live) out_.flush();
        unsaid_ = clipped_ = false;
    }

    const PeakOptions& options_;
    BenchSession session_{"peak"};
    Output& out_ = session_.out();
    StatusLine status_;
    double rate_hz_ = 0.0;
    double frames_ = 0.0;
    double lost_frames_ = 0.0;
    bool any_ = false;
    bool unsaid_ = false;   // a reading since the last line
    bool clipped_ = false;  // since the last line
};

}  // namespace

void add_bench_peak(CLI::App& bench, Run& chosen) {
    auto options = std::make_shared<PeakOptions>();
    CLI::App* verb =
        bench.add_subcommand("peak", "A level to align by, against the highest so far");
    add_input_options(*verb, options->input);
    verb->add_option("--seconds", options->seconds,
                     "Use so many seconds; else all, or with --live until q or Ctrl-C")
        ->type_name("S")
        ->check(number_within({0.1, 1e6, "s"}));
    verb->add_option("--rise", options->config.rise_s, "Time constant of the level")
        ->type_name("S")
        ->capture_default_str()
        ->check(number_within({0.02, 5.0, "s"}));
    verb->add_flag("--json", options->json, "JSON Lines, one a second");
    verb->footer(std::string(kFooter) + "\n" + wrapped_text(kHighVoltageCaution, 80, 0));
    verb->callback([options, &chosen] { chosen = [options] { return PeakRun(*options).run(); }; });
}

}  // namespace skedlark::cli
