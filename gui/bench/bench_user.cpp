#include "gui/bench/bench_user.h"

#include <algorithm>
#include <utility>

#include "dsp/bench/clipping.h"
#include "dsp/bench/input_check.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kPeakPiece = 200;  // less than a reading, so that each is followed

}  // namespace

void BenchUser::start(BenchWish wish) {
    const std::lock_guard lock(mutex_);
    wish_ = std::move(wish);
    told_.listening = Listening::waiting;
    told_.seconds = told_.lost_s = 0.0;
    told_.wanted_s = wish_.what == BenchWish::For::take ? wish_.seconds : 0.0;
    told_.problem.clear();
    told_.peak.reset();
    finished_.reset();
    audio_ = std::make_shared<std::vector<float>>();
    drift_.reset();
    run_down_.reset();
    peak_.reset();
    trend_ = {};
    if (input_ && !wish_.from_file_start) set_out();
}

void BenchUser::set_out() {
    const auto refused = [this](const Error& error) {
        told_.problem = error.message;
        told_.listening = Listening::idle;
    };
    if (wish_.what == BenchWish::For::drift) {
        bench::DriftConfig config = wish_.drift.value_or(bench::DriftConfig{});
        config.sample_rate_hz = kWorkRateHz;
        auto meter = bench::DriftMeter::create(config);
        if (!meter) return refused(meter.error());
        drift_ = std::make_shared<bench::DriftMeter>(*std::move(meter));
    } else if (wish_.what == BenchWish::For::run_down) {
        bench::RunDownConfig config = wish_.run_down.value_or(bench::RunDownConfig{});
        config.sample_rate_hz = kWorkRateHz;
        auto meter = bench::RunDownMeter::create(config);
        if (!meter) return refused(meter.error());
        run_down_ = std::make_shared<bench::RunDownMeter>(*std::move(meter));
    } else if (wish_.what == BenchWish::For::peak) {
        auto meter = bench::PeakMeter::create({.sample_rate_hz = kWorkRateHz});
        if (!meter) return refused(meter.error());
        peak_.emplace(*std::move(meter));
    } else {
        audio_->reserve(static_cast<std::size_t>(frames_from_seconds(wish_.seconds)));
    }
    told_.listening = Listening::going;
}

void BenchUser::stop() {
    const std::lock_guard lock(mutex_);
    if (told_.listening == Listening::going) conclude();
    told_.listening = Listening::idle;
}

void BenchUser::cancel() {
    const std::lock_guard lock(mutex_);
    told_.listening = Listening::idle;
    told_.problem.clear();
    told_.peak.reset();
    finished_.reset();
    audio_.reset();
    drift_.reset();
    run_down_.reset();
    peak_.reset();
}

void BenchUser::mark(const bench::SupplyMark& supply) {
    const std::lock_guard lock(mutex_);
    if (drift_) drift_->mark(supply);
}

void BenchUser::mark(const bench::PowerMark& power) {
    const std::lock_guard lock(mutex_);
    if (drift_) drift_->mark(power);
}

void BenchUser::release_peak() {
    const std::lock_guard lock(mutex_);
    if (peak_) peak_->release();
}

BenchHeard BenchUser::heard() const {
    const std::lock_guard lock(mutex_);
    return told_;
}

std::optional<BenchTake> BenchUser::take_finished() {
    const std::lock_guard lock(mutex_);
    return std::exchange(finished_, std::nullopt);
}

bench::Picture BenchUser::picture() const {
    const std::lock_guard lock(mutex_);
    if (drift_) return bench::drift_picture(drift_->curve());
    if (run_down_) return bench::run_down_picture(run_down_->level());
    if (!audio_) return {};
    return wish_.picture == LivePicture::spectrum ? bench::spectrum_picture(*audio_, kWorkRateHz)
                                                  : bench::level_picture(*audio_, kWorkRateHz);
}

void BenchUser::begin(const HeardInput& input) {
    const std::lock_guard lock(mutex_);
    input_ = input;
    told_.audio_runs = true;
    told_.input = input.name;
    told_.live = input.live;
    if (told_.listening == Listening::waiting) set_out();
}

void BenchUser::take(const watch::Block& block, FrameIndex) {
    const std::lock_guard lock(mutex_);
    if (told_.listening != Listening::going) return;
    if (block.lost) told_.lost_s += static_cast<double>(block.audio.size()) / kWorkRateHz;
    hear(block.audio);
}

void BenchUser::end() {
    const std::lock_guard lock(mutex_);
    told_.audio_runs = false;
    input_.reset();
    if (told_.listening != Listening::going) return;
    conclude();
    told_.listening = Listening::idle;
}

void BenchUser::hear(std::span<const float> audio) {
    if (drift_) drift_->process(audio);
    if (run_down_) run_down_->process(audio);
    if (peak_) count_peak(audio);
    if (wish_.what == BenchWish::For::take) {
        const auto whole = static_cast<std::size_t>(frames_from_seconds(wish_.seconds));
        const auto part = audio.first(std::min(audio.size(), whole - audio_->size()));
        audio_->insert(audio_->end(), part.begin(), part.end());
        told_.seconds = static_cast<double>(audio_->size()) / kWorkRateHz;
        if (audio_->size() < whole) return;
        conclude();
        told_.listening = Listening::idle;
        return;
    }
    told_.seconds += static_cast<double>(audio.size()) / kWorkRateHz;
}

void BenchUser::count_peak(std::span<const float> audio) {
    while (!audio.empty()) {
        const auto piece = audio.first(std::min(kPeakPiece, audio.size()));
        audio = audio.subspan(piece.size());
        if (!peak_->process(piece)) continue;
        trend_.add(peak_->reading());
        told_.peak = PeakHeard{peak_->reading(), trend_.now(), trend_.last()};
    }
}

void BenchUser::conclude() {
    if (wish_.what == BenchWish::For::peak) return;
    BenchTake take;
    take.seconds = told_.seconds;
    take.lost_s = told_.lost_s;
    take.input = told_.input;
    take.live = told_.live;
    if (wish_.what == BenchWish::For::take) {
        Status right = bench::check_audio(*audio_, kWorkRateHz, 1.0);
        if (right && !wish_.may_clip)
            right = bench::check_full_scale(*audio_, bench::kFullScaleResampled);
        if (!right) {
            told_.problem = right.error().message;
            return;
        }
        take.audio = audio_;
    }
    take.drift = drift_;
    take.run_down = run_down_;
    finished_ = std::move(take);
}

}  // namespace skedlark::gui
