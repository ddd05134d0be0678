// skedlark bench drift and rundown: a steady carrier over hours.
#include <fmt/format.h>

#include "cli/bench_run.h"
#include "cli/bench_stream.h"
#include "dsp/bench/event_reports.h"
#include "dsp/bench/step_file.h"
#include "dsp/core/text_file.h"

namespace skedlark::cli {

namespace {

constexpr const char* kDriftFooter =
    "Examples:\n"
    "  skedlark bench drift cold.flac --within 100 --for 600\n"
    "  skedlark bench drift --live --seconds 7200 --supply 3600=low --supply 4500=normal\n"
    "  skedlark bench drift night.wav --off-on 14400-18000 --curve night.csv\n"
    "Record a steady carrier (crystal, generator, standard frequency) from the moment the set is\n"
    "switched on, any length. --supply says when the line was set low, normal or high; --off-on\n"
    "when the set was off and from when on again: how well it comes back.\n"
    "Names for --limits: pitch_at_start_hz pitch_at_end_hz total_drift_hz settled_min\n"
    "  most_in_stretch_hz wander_hz jumps supply_prompt_hz supply_settled_hz retrace_hz\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

constexpr const char* kRunDownFooter =
    "Example:\n"
    "  skedlark bench rundown battery.flac --fallen 6 --curve battery.csv\n"
    "Record a steady tone on batteries until the set fails, in one piece.\n"
    "Names for --limits: level_at_start_dbfs fallen_min failed_min last_level_db\n"
    "  last_pitch_change_hz\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

std::string curve_csv(const bench::PitchCurve& pitch, const bench::PitchCurve* level) {
    std::string text = level != nullptr ? "seconds,pitch_hz,uncertainty_95_hz,level_dbfs\n"
                                        : "seconds,pitch_hz,uncertainty_95_hz,low_hz,high_hz\n";
    for (std::size_t i = 0; i < pitch.points().size(); ++i) {
        const bench::CurvePoint& p = pitch.points()[i];
        if (p.seconds == 0) continue;
        text += fmt::format("{:.1f},{:.4f},{:.4f},", pitch.middle_s(i), p.pitch_hz,
                            bench::expanded_95(p.sd_hz));
        text += level != nullptr ? fmt::format("{:.2f}\n", level->points()[i].pitch_hz)
                                 : fmt::format("{:.4f},{:.4f}\n", p.low_hz, p.high_hz);
    }
    return text;
}

struct DriftOptions {
    bench::DriftConfig config{};
    std::vector<std::string> supply{};
    std::vector<std::string> off_on{};
    std::string curve{};
};

class DriftStream final : public StreamMeter {
 public:
    DriftStream(bench::DriftMeter meter, bench::DriftConfig config, std::string curve)
        : meter_(std::move(meter)), config_(std::move(config)), curve_(std::move(curve)) {}
    void process(std::span<const float> audio) override { meter_.process(audio); }
    [[nodiscard]] Result<bench::Report> finish() override {
        const auto drift = meter_.finish();
        if (!drift) return drift.error();
        if (!curve_.empty()) {
            if (Status s = replace_file(curve_, curve_csv(drift->curve, nullptr)); !s)
                return s.error();
        }
        return bench::drift_report(*drift, config_);
    }

 private:
    bench::DriftMeter meter_;
    bench::DriftConfig config_;
    std::string curve_;
};

class RunDownStream final : public StreamMeter {
 public:
    RunDownStream(bench::RunDownMeter meter, const bench::RunDownConfig& config, std::string curve)
        : meter_(std::move(meter)), config_(config), curve_(std::move(curve)) {}
    void process(std::span<const float> audio) override { meter_.process(audio); }
    [[nodiscard]] Result<bench::Report> finish() override {
        const auto run = meter_.finish();
        if (!run) return run.error();
        if (!curve_.empty()) {
            if (Status s = replace_file(curve_, curve_csv(run->pitch, &run->level)); !s)
                return s.error();
        }
        return bench::run_down_report(*run, config_);
    }

 private:
    bench::RunDownMeter meter_;
    bench::RunDownConfig config_;
    std::string curve_;
};

Result<std::unique_ptr<StreamMeter>> begin_drift(const DriftOptions& own, double rate_hz) {
    bench::DriftConfig config = own.config;
    config.sample_rate_hz = rate_hz;
    for (const std::string& text : own.supply) {
        const auto mark = bench::parse_supply("--supply", text);
        if (!mark) return mark.error();
        config.supply.push_back(*mark);
    }
    for (const std::string& text : own.off_on) {
        const auto off = bench::parse_stretch("--off-on", text);
        if (!off) return off.error();
        config.power.push_back({off->from_s, off->to_s});
    }
    auto meter = bench::DriftMeter::create(config);
    if (!meter) return meter.error();
    return std::unique_ptr<StreamMeter>(
        std::make_unique<DriftStream>(std::move(*meter), config, own.curve));
}

struct RunDownOptions {
    bench::RunDownConfig config{};
    std::string curve{};
};

}  // namespace

void add_bench_drift(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<DriftOptions>();
    CLI::App* verb = add_stream_test(
        bench, chosen,
        {.name = "drift",
         .description = "Pitch of a steady carrier over hours: settling, wander, jumps, supply",
         .footer = kDriftFooter,
         .begin = [own](double rate_hz) { return begin_drift(*own, rate_hz); }});
    verb->add_option("--within", own->config.within_hz, "Settled is what stays within so much")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({0.01, 3000.0, "Hz"}));
    verb->add_option("--for", own->config.for_s, "in every stretch of so long")
        ->type_name("S")
        ->capture_default_str()
        ->check(number_within({10.0, 1e6, "s"}));
    verb->add_option("--clock-ppm", own->config.clock_error_ppm,
                     "How sure the sound card's clock is, 95 %")
        ->type_name("PPM")
        ->capture_default_str()
        ->check(number_within({0.0, 10000.0, "ppm"}));
    verb->add_option("--jump", own->config.least_jump_hz, "Smaller jumps are not told")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({0.01, 1000.0, "Hz"}));
    verb->add_option("--supply", own->supply, "The line was set low, normal or high; repeatable")
        ->type_name("S=WHICH")
        ->allow_extra_args(false);
    verb->add_option("--off-on", own->off_on, "The set was off, then on again; repeatable")
        ->type_name("OFF-ON")
        ->allow_extra_args(false);
    verb->add_option("--curve", own->curve, "Write the pitch against time here (CSV)")
        ->type_name("FILE");
}

void add_bench_rundown(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<RunDownOptions>();
    CLI::App* verb =
        add_stream_test(bench, chosen,
                        {.name = "rundown",
                         .description = "Battery run-down: level and pitch until the set fails",
                         .footer = kRunDownFooter,
                         .begin = [own](double rate_hz) -> Result<std::unique_ptr<StreamMeter>> {
                             bench::RunDownConfig config = own->config;
                             config.sample_rate_hz = rate_hz;
                             auto meter = bench::RunDownMeter::create(config);
                             if (!meter) return meter.error();
                             return std::unique_ptr<StreamMeter>(std::make_unique<RunDownStream>(
                                 std::move(*meter), config, own->curve));
                         }});
    verb->add_option("--fallen", own->config.fallen_db, "Say when the level stays so far down")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({0.5, 60.0, "dB"}));
    verb->add_option("--gone", own->config.gone_s, "No tone for so long: the set has failed")
        ->type_name("S")
        ->capture_default_str()
        ->check(number_within({5.0, 3600.0, "s"}));
    verb->add_option("--curve", own->curve, "Write level and pitch against time here (CSV)")
        ->type_name("FILE");
}

}  // namespace skedlark::cli
