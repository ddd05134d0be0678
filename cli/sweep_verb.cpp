// skedlark sweep: stations met while the dial was turned, by division and frequency; where the
// wanted one can still be.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "cli/key_reader.h"
#include "cli/output.h"
#include "cli/pressed_marks.h"
#include "cli/progress.h"
#include "cli/status_line.h"
#include "cli/stop_signal.h"
#include "cli/sweep_log.h"
#include "cli/sweep_options.h"
#include "cli/sweep_view.h"
#include "cli/terminal.h"
#include "cli/text_view.h"
#include "cli/zero_in_view.h"
#include "dsp/core/text_file.h"
#include "dsp/dial/receiver_file.h"
#include "dsp/watch/sweep_map.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Examples:\n"
    "  skedlark sweep --chart docs/examples/saddle-hut.toml --band 2 \\\n"
    "    --from 40 --to 44 --expect 3.765 recordings/17-sweep.flac\n"
    "  skedlark sweep --chart saddle-hut.toml --marks marks.csv evening.flac\n"
    "  skedlark sweep --chart saddle-hut.toml --expect 3.765 --map tonight.json \\\n"
    "    --from 40 --to 44 --pace 2 --live\n"
    "  skedlark sweep --chart saddle-hut.toml --band 2 --call QVB --live \\\n"
    "    --from 42 --to 43 --step 0.1 --rest 20\n"
    "A file from --from to --to: the dial was turned evenly from its start to its\n"
    "end (or at --pace, or in steps). Divisions are those at zero beat. Live, a\n"
    "line shows where the dial should be now; with --press you turn as you like and\n"
    "mark each division by the space bar. After the sweep the way back is led: how\n"
    "far the pitch is off and which way to turn; q ends it. --map keeps what was\n"
    "heard and not heard between sweeps, and says where to sweep next.\n"
    "Set the headphones low before a sweep: a strong station comes up suddenly.\n"
    "Exit status: 0 a station was met that is or may be keyed; 1 none was; 2 a file\n"
    "or value cannot be used; 3 cut short from outside.";

constexpr std::size_t kBlockFrames = 1600;
constexpr std::size_t kLiveBlockFrames = 400;  // a key is noticed within 50 ms
constexpr double kReadyS = 5.0;                // to put a hand to the dial before a live sweep
constexpr double kCallIsSure = 0.9;            // an expected call: no need to listen on for it

double seconds_of(FrameIndex frames) { return static_cast<double>(frames) / kWorkRateHz; }

class SweepRun {
 public:
    explicit SweepRun(const SweepOptions& options) : options_(options) {}

    ExitStatus run() {
        ExitStatus status = kAnswerNo;
        if (const Status done = work(status); !done) {
            status_.clear();
            print_error("sweep", done.error().message);
            status = exit_status(done.error().code);
            if (log_) log_->end(done.error().message, recorded_files(input_.recorder.get()));
        }
        if (out_.flush()) return status;
        print_error("sweep", out_.failure()->message);
        return out_.failure()->status;
    }

 private:
    Status work(ExitStatus& status) {
        if (const Status right = check_sweep_options(options_); !right) return right;
        const auto receiver = dial::read_receiver(options_.chart);
        if (!receiver) return receiver.error();
        const auto known = parse_known(options_.known);
        if (!known) return known.error();
        const auto band = band_of(options_, *receiver);
        if (!band) return band.error();
        const auto dial = dial::Dial::create(*receiver, *band, *known);
        if (!dial) return dial.error();
        dial_.emplace(*dial);
        if (options_.expect_mhz) {
            const auto setting = dial->setting(*options_.expect_mhz);
            if (!setting) return setting.error();
            auto chance = chance_of(*receiver, options_.expected);
            if (!chance) return chance.error();
            auto map = watch::SweepMap::open(options_.map, *dial_, *setting, *std::move(chance));
            if (!map) return map.error();
            map_.emplace(*std::move(map));
        }
        auto input =
            open_input(options_.input, options_.input.live ? "" : options_.input.files.front(),
                       options_.record);
        if (!input) return input.error();
        input_ = *std::move(input);
        if (const Status ready = prepare_sweep(*receiver); !ready) return ready;
        LogOptions logging = options_.log;
        if (logging.receiver.empty()) logging.receiver = receiver->name;
        log_ =
            WatchLog::open(logging, "sweep", options_.input, input_.line, options_.record.folder);
        return listen(status);
    }

    Status prepare_sweep(const dial::Receiver& receiver) {
        if (options_.press) {
            auto sweep = watch::Sweep::create(
                *dial_,
                dial::pressed_paces(*dial_, *options_.from_div, *options_.to_div,
                                    options_.pace_div_per_min),
                options_.sweep);
            if (!sweep) return sweep.error();
            sweep_.emplace(*std::move(sweep));
            pressed_.emplace(*options_.from_div, *options_.to_div);
            return Done{};
        }
        const auto motion = motion_of(options_, receiver, input_.line.seconds);
        if (!motion) return motion.error();
        motion_ = *motion;
        auto sweep = watch::Sweep::create(*dial_, *motion, options_.sweep);
        if (!sweep) return sweep.error();
        sweep_.emplace(*std::move(sweep));
        return Done{};
    }

    // A block, with what was lost told; no value: no more comes, whyever (ended_ says).
    std::optional<std::span<const float>> read_block(std::vector<float>& block, bool& lost) {
        const auto read = input_.source->read(block);
        if (!read) {
            ended_ = read.error();  // what was heard until then is still told
            return std::nullopt;
        }
        if (!read->lost_reason.empty()) {
            status_.clear();
            side_.write(fmt::format("-- audio lost at {}: {}\n", clock_text(seconds_of(heard_)),
                                    read->lost_reason));
            side_.flush();
        }
        if (read->end && read->frames == 0) return std::nullopt;
        lost = read->lost;
        return std::span<const float>(block).first(static_cast<std::size_t>(read->frames));
    }

    // Audio of the time before the dial moves is let go.
    Status get_ready() {
        if (!options_.input.live) return Done{};
        if (pressed_) {
            side_.write(fmt::format(
                "Turn the dial from {:g} to {:g} and press the space bar at {:g}, at each whole\n"
                "division and at {:g}. Backspace takes a mark back; q ends the sweep.\n",
                *options_.from_div, *options_.to_div, *options_.from_div, *options_.to_div));
            side_.flush();
            return Done{};
        }
        side_.write(fmt::format("Set the dial to {:.2f}. It moves to {:.2f} in {}.\n",
                                motion_->marks().front().div, motion_->marks().back().div,
                                clock_text(motion_->marks().back().at_s)));
        side_.flush();
        std::vector<float> block(kBlockFrames);
        bool lost = false;
        while (seconds_of(let_go_) < kReadyS) {
            const auto read = read_block(block, lost);
            if (!read) break;
            let_go_ += static_cast<FrameIndex>(read->size());
            status_.show(fmt::format("starts in {:.0f} s",
                                     std::ceil(std::max(0.0, kReadyS - seconds_of(let_go_)))));
        }
        return Done{};
    }

    Status listen(ExitStatus& status) {
        const StopOnSignal stopping(*input_.source);
        std::optional<KeyReader> keys;
        if (options_.input.live) keys.emplace(STDIN_FILENO);
        if (const Status ready = get_ready(); !ready) return ready;
        sweep_through(keys ? &*keys : nullptr);
        const bool whole = pressed_ ? pressed_->done() : seconds_of(heard_) >= whole_s() - 0.5;
        sweep_->finish();
        tell_new();
        status_.clear();
        if (motion_ || !pressed_) {
            if (const Status told = conclude(status); !told) return told;
            if (ended_ && !options_.no_zero_in && go_back_ && !stop_signal_seen()) {
                if (const Status led = zero_in(keys ? &*keys : nullptr); !led) return led;
            }
        }
        return end(whole, status);
    }

    [[nodiscard]] double whole_s() const { return motion_->marks().back().at_s; }

    void sweep_through(KeyReader* keys) {
        Progress progress(Progress::Clock::now());
        std::vector<float> block(options_.input.live ? kLiveBlockFrames : kBlockFrames);
        while (pressed_ ? !pressed_->done() : seconds_of(heard_) < whole_s() - 1e-6) {
            bool lost = false;
            const auto read = read_block(block, lost);
            if (!read) return;
            sweep_->process(*read, lost);
            heard_ += static_cast<FrameIndex>(read->size());
            if (!take_keys(keys)) return;
            if (log_) log_->reach(seconds_of(heard_));
            tell_new();
            prompt(progress);
            if (out_.failure()) return;
        }
    }

    // False where the operator ends it.
    bool take_keys(KeyReader* keys) {
        while (keys != nullptr) {
            const auto key = keys->poll();
            if (!key) break;
            if (*key == 'q' || *key == 'Q') return false;
            if (!pressed_ || !press(*pressed_, *key, seconds_of(heard_))) continue;
            if (!status_.can_redraw()) {
                side_.write(prompt_for(*pressed_) + "\n");
                side_.flush();
            }
            const auto motion =
                dial::Motion::marked(pressed_->marks(), dial_->receiver().reading_sd_div);
            if (!motion) continue;  // one mark only
            motion_ = *motion;
            sweep_->turned(*motion);
        }
        return true;
    }

    void prompt(Progress& progress) {
        const double now_s = seconds_of(heard_);
        if (pressed_) {
            status_.show(prompt_for(*pressed_));
            return;
        }
        if (!options_.input.live) {
            if (const auto line = progress.line(now_s, whole_s(), Progress::Clock::now()))
                status_.show(*line);
            return;
        }
        const double div = motion_->at(std::min(now_s, whole_s())).div;
        const std::string clock = fmt::format("{} of {}", clock_text(now_s), clock_text(whole_s()));
        std::string where = fmt::format("the dial should be at {:.1f}   {}", div, clock);
        if (options_.step_div) {
            const bool rests = motion_->at(now_s + 1.0).div == div;
            where = fmt::format("{} {:.2f}   {}", rests ? "rest at" : "turn on to",
                                rests ? div : motion_->at(now_s + options_.move_s).div, clock);
        }
        if (status_.can_redraw()) {
            status_.show(where);
        } else if (options_.step_div ? std::abs(div - last_prompt_) > 1e-9
                                     : std::floor(div) != std::floor(last_prompt_)) {
            side_.write(where + "\n");
            side_.flush();
        }
        last_prompt_ = div;
    }

    void tell_new() {
        const auto& stations = sweep_->stations();
        if (stations.size() == told_) return;
        status_.clear();
        if (told_ == 0 && !options_.json) out_.write(sweep_heading());
        for (; told_ < stations.size(); ++told_)
            out_.write(options_.json ? station_json(stations[told_])
                                     : station_text(stations[told_]));
        out_.flush();
    }

    Status conclude(ExitStatus& status) {
        SweepTold told;
        told.seconds = seconds_of(heard_);
        told.from_div = motion_->marks().front().div;
        told.to_div = motion_->at(std::min(told.seconds, whole_s())).div;
        told.stations = sweep_->stations();
        if (map_) {
            if (const Status heard = map_->update(*sweep_, told.seconds); !heard) return heard;
            told.map = &map_->map();
            const auto next = map_->next_stretch();
            if (!next) return next.error();
            told.next = *next;
        }
        told.go_back = watch::station_to_go_back_to(told.stations, told.map);
        if (told.go_back != nullptr) {
            status = kDone;
            go_back_ = *told.go_back;
            if (const auto back = dial_->setting(told.go_back->mhz))
                told.go_back_listen_div = told.go_back->div + back->listen_div - back->div;
        }
        out_.write(options_.json ? sweep_json(told) : "");
        if (!options_.json) side_.write(sweep_text(told, dial_->receiver().audio.pitch_hz));
        side_.flush();
        out_.flush();
        if (log_) note_sweep(*log_, told);
        return map_ ? map_->keep() : Done{};
    }

    // What follows the sweep is the way back to the station.
    Status zero_in(KeyReader* keys) {
        auto guide = watch::ZeroInGuide::create(*dial_, go_back_->div, options_.sweep.calls);
        if (!guide) return guide.error();
        const double begins_s = seconds_of(heard_);
        std::vector<float> block(options_.input.live ? kLiveBlockFrames : kBlockFrames);
        bool said_held = false;
        while (true) {
            bool lost = false;
            const auto read = read_block(block, lost);
            if (!read || !take_keys(keys)) break;
            guide->process(*read, lost);
            heard_ += static_cast<FrameIndex>(read->size());
            const std::string json = zero_in_json(guide->take_steps(), begins_s);
            if (options_.json) out_.write(json);
            status_.show(zero_in_line(*guide));
            if (guide->held() && !said_held) {
                said_held = true;
                status_.clear();
                side_.write(fmt::format("-- held at {:.0f} Hz\n", guide->held_pitch_hz()));
                side_.flush();
            }
            const bool called = guide->call() && guide->call()->confidence >= kCallIsSure;
            if (called || (guide->held() && options_.sweep.calls.empty())) break;
            if (out_.failure()) break;
        }
        status_.clear();
        return take_call(*guide);
    }

    Status take_call(const watch::ZeroInGuide& guide) {
        if (!guide.call()) return Done{};
        side_.write(fmt::format("-- {} copied, {:.0f} % sure\n", guide.call()->call,
                                100.0 * guide.call()->confidence));
        side_.flush();
        if (!map_) return Done{};
        if (const Status raised = map_->raise(*sweep_, *go_back_, *guide.call(), guide.seconds());
            !raised)
            return raised;
        const auto place = map_->map().place();
        side_.write(fmt::format("   likeliest at {:.2f}, with 95 % from {:.2f} to {:.2f}\n",
                                place.likeliest_div, place.low_div, place.high_div));
        side_.flush();
        return map_->keep();
    }

    // The marks of a live sweep stand beside its recording, so that it can be searched anew.
    Status keep_marks() {
        if (!input_.recorder || !options_.input.live || !motion_) return Done{};
        const auto files = input_.recorder->files();
        if (files.empty()) return Done{};
        std::string csv = "seconds,division\n";
        for (const dial::DialMark& mark : motion_->marks())
            csv += fmt::format("{:.3f},{:.4f}\n", mark.at_s + seconds_of(let_go_), mark.div);
        return replace_file(files.front() + ".marks.csv", csv);
    }

    Status end(bool whole, ExitStatus& status) {
        std::string cut_short;
        if (input_.recorder) {
            if (const Status closed = input_.recorder->close(); !closed) return closed;
            if (const Status kept = keep_marks(); !kept) return kept;
        }
        if (!ended_) return ended_;
        if (pressed_ && !motion_) {
            return Error{
                ErrorCode::invalid_value,
                fmt::format("--press: {} division{} marked, allowed two or more; without "
                            "them no station can be placed",
                            pressed_->marks().size(), pressed_->marks().size() == 1 ? "" : "s")};
        }
        if (!whole && (stop_signal_seen() || pressed_)) {
            cut_short = "stopped before its end";
            print_error("sweep", fmt::format("{}: {}", input_.line.name, cut_short));
            status = kCutShort;
        }
        if (log_) log_->end(cut_short, recorded_files(input_.recorder.get()));
        return Done{};
    }

    const SweepOptions& options_;
    Output out_{1};
    Output side_{2};
    StatusLine status_{side_, terminal_at(2).can_redraw};
    std::optional<dial::Dial> dial_;
    std::optional<watch::SweepMap> map_;  // none where no station is expected
    OpenInput input_;
    std::optional<dial::Motion> motion_;  // as far as it is known
    std::optional<dial::PressedMarks> pressed_;
    std::optional<watch::Sweep> sweep_;
    std::optional<WatchLog> log_;
    std::optional<watch::SweepStation> go_back_;
    FrameIndex let_go_ = 0;
    FrameIndex heard_ = 0;
    Status ended_ = Done{};
    std::size_t told_ = 0;
    double last_prompt_ = 1e300;
};

}  // namespace

void add_sweep(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<SweepOptions>();
    CLI::App* verb = program.add_subcommand(
        "sweep", "Stations met while the dial moved; where the wanted one can still be");
    add_sweep_options(*verb, *options);
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return SweepRun(*options).run(); }; });
}

}  // namespace skedlark::cli
