#include "gui/sweep/sweep_user.h"

#include <algorithm>
#include <utility>

#include "dsp/dial/pressed_marks.h"

namespace skedlark::gui {

namespace {

double seconds_of(FrameIndex frames) { return static_cast<double>(frames) / kWorkRateHz; }

}  // namespace

void SweepUser::start(const Start& start) {
    ask([this, start] {
        start_ = start;
        ++run_;
        phase_ = SweepPhase::armed;
        to_start_ = frames_from_seconds(start.ready_s);
        heard_ = 0;
        strip_begins_ = 0;
        motion_.reset();
        sweep_.reset();
        finished_.reset();
        guide_.reset();
        failure_.clear();
        const dial::ReceiverAudio& audio = start.dial.receiver().audio;
        spectrum::StripConfig config;
        config.high_hz = std::clamp(audio.high_hz, 400.0, 3900.0);
        config.low_hz = std::clamp(audio.low_hz, 0.0, 0.5 * config.high_hz);
        config.hop_s = kHopS;
        config.points = kPoints;
        auto strip = spectrum::Strip::create(config);
        if (!strip) return fail(strip.error().message);
        strip_.emplace(*std::move(strip));
        const std::lock_guard lock(told_mutex_);
        rows_.clear();
    });
}

void SweepUser::marked(const std::vector<dial::DialMark>& marks) {
    ask([this, marks] {
        if (!start_ || !sweep_ || phase_ != SweepPhase::running) return;
        auto motion = dial::Motion::marked(marks, start_->dial.receiver().reading_sd_div);
        if (!motion) return;  // one mark only
        motion_ = *motion;
        sweep_->turned(*motion);
    });
}

void SweepUser::finish() {
    ask([this] {
        if (phase_ == SweepPhase::armed) phase_ = SweepPhase::off;
        if (phase_ == SweepPhase::running) conclude();
    });
}

void SweepUser::lead(double div) {
    ask([this, div] {
        if (!start_ || phase_ != SweepPhase::done) return;
        auto guide = watch::ZeroInGuide::create(start_->dial, div, start_->setup.calls);
        if (!guide) return fail(guide.error().message);
        guide_.emplace(*std::move(guide));
    });
}

void SweepUser::leave_lead() {
    ask([this] { guide_.reset(); });
}

SweepSnapshot SweepUser::snapshot() const {
    const std::lock_guard lock(told_mutex_);
    return told_;
}

std::vector<SweepRow> SweepUser::take_rows() {
    const std::lock_guard lock(told_mutex_);
    return std::exchange(rows_, {});
}

void SweepUser::begin(const HeardInput& input) {
    const std::lock_guard work(work_mutex_);
    {
        const std::lock_guard lock(told_mutex_);
        audio_runs_ = true;
    }
    do_asked();
    input_ = input;
    if (phase_ == SweepPhase::armed && !input.live && start_ &&
        start_->setup.way == SweepWay::over_file) {
        to_start_ = 0;
        set_out();
    }
    tell();
}

void SweepUser::take(const watch::Block& block, FrameIndex first_frame) {
    const std::lock_guard work(work_mutex_);
    do_asked();
    std::span<const float> audio = block.audio;
    const bool over_file = start_ && start_->setup.way == SweepWay::over_file;
    if (phase_ == SweepPhase::armed && over_file && first_frame == 0) set_out();
    if (phase_ == SweepPhase::armed && !over_file) {
        const auto before = std::min(to_start_, static_cast<FrameIndex>(audio.size()));
        add_rows(audio.first(static_cast<std::size_t>(before)));  // learns the noise
        strip_begins_ += before;
        to_start_ -= before;
        audio = audio.subspan(static_cast<std::size_t>(before));
        if (to_start_ == 0) set_out();
    }
    if (phase_ == SweepPhase::running) hear(audio, block.lost);
    if (phase_ == SweepPhase::done && guide_) guide_->process(audio, block.lost);
    tell();
}

void SweepUser::end() {
    const std::lock_guard work(work_mutex_);
    {
        const std::lock_guard lock(told_mutex_);
        audio_runs_ = false;  // first: what is asked from now on is done where it is asked
    }
    do_asked();
    if (phase_ == SweepPhase::running) conclude();
    input_.reset();
    tell();
}

void SweepUser::ask(std::function<void()> what) {
    {
        const std::lock_guard lock(told_mutex_);
        asked_.push_back(std::move(what));
        if (audio_runs_) return;
    }
    const std::lock_guard work(work_mutex_);
    do_asked();
    tell();
}

void SweepUser::do_asked() {
    std::vector<std::function<void()>> asked;
    {
        const std::lock_guard lock(told_mutex_);
        asked = std::exchange(asked_, {});
    }
    for (const auto& what : asked) what();
}

void SweepUser::set_out() {
    const auto file_s = input_ ? input_->seconds : std::nullopt;
    const SweepSetup& setup = start_->setup;
    watch::SweepConfig config;
    config.calls = setup.calls;
    if (setup.way == SweepWay::marked) {
        auto sweep =
            watch::Sweep::create(start_->dial,
                                 dial::pressed_paces(start_->dial, setup.from_div, setup.to_div,
                                                     div_per_min(setup, start_->dial)),
                                 config);
        if (!sweep) return fail(sweep.error().message);
        sweep_.emplace(*std::move(sweep));
    } else {
        const auto motion = motion_of(setup, start_->dial, file_s);
        if (!motion) return fail(motion.error().message);
        motion_ = *motion;
        auto sweep = watch::Sweep::create(start_->dial, *motion, config);
        if (!sweep) return fail(sweep.error().message);
        sweep_.emplace(*std::move(sweep));
    }
    phase_ = SweepPhase::running;
}

void SweepUser::conclude() {
    sweep_->finish();
    finished_ = std::make_shared<const watch::Sweep>(*std::move(sweep_));
    sweep_.reset();
    phase_ = SweepPhase::done;
}

void SweepUser::hear(std::span<const float> audio, bool lost) {
    FrameIndex left = static_cast<FrameIndex>(audio.size());
    const bool of_known_end = motion_ && start_->setup.way != SweepWay::marked;
    if (of_known_end) {
        const FrameIndex whole = frames_from_seconds(motion_->marks().back().at_s);
        left = std::clamp(whole - heard_, FrameIndex{0}, left);
    }
    const auto part = audio.first(static_cast<std::size_t>(left));
    sweep_->process(part, lost);
    add_rows(part);
    heard_ += left;
    if (of_known_end && left < static_cast<FrameIndex>(audio.size())) conclude();
}

void SweepUser::add_rows(std::span<const float> audio) {
    strip_->process(audio, [&](std::span<const float> row) {
        const double at_s = seconds_of(strip_->row_centre_frame() - strip_begins_);
        if (phase_ != SweepPhase::running || at_s < 0.0) return;
        const std::lock_guard lock(told_mutex_);
        if (rows_.size() >= kMostRows) rows_.erase(rows_.begin());
        rows_.push_back({at_s, {row.begin(), row.end()}});
    });
}

void SweepUser::fail(const std::string& why) {
    failure_ = why;
    phase_ = SweepPhase::off;
    sweep_.reset();
}

void SweepUser::tell() {
    const std::lock_guard lock(told_mutex_);
    told_.phase = phase_;
    told_.run = run_;
    told_.audio_runs = audio_runs_;
    told_.to_start_s = seconds_of(to_start_);
    told_.heard_s = seconds_of(heard_);
    told_.motion = motion_;
    const watch::Sweep* sweep = sweep_ ? &*sweep_ : finished_.get();
    const std::size_t met = sweep != nullptr ? sweep->stations().size() : 0;
    if (met == 0) told_.stations.clear();
    if (sweep != nullptr && told_.stations.size() != met) told_.stations = sweep->stations();
    told_.finished = finished_;
    told_.failure = failure_;
    told_.zero_in.reset();
    if (!guide_) return;
    told_.zero_in = ZeroInHeard{guide_->div(),           guide_->advice(),  guide_->held(),
                                guide_->held_pitch_hz(), guide_->seconds(), guide_->call()};
}

}  // namespace skedlark::gui
