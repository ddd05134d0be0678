#include "gui/sweep/sweep_user.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace skedlark::gui {

namespace {

constexpr double kRowEveryS = 0.0625;
constexpr double kWindowS = 0.125;
constexpr double kSameDiv = 1e-9;

// The instants at which the dial passes a whole division, or comes to rest.
std::vector<double> due_of(const dial::Motion& motion, const SweepSetup& setup) {
    std::vector<double> due;
    if (setup.way == DialWay::stepped) {
        for (const auto& rest : motion.rests()) due.push_back(setup.count_in_s + rest.from_s);
        return due;
    }
    const dial::DialMark from = motion.marks().front();
    const dial::DialMark to = motion.marks().back();
    const double way = to.div > from.div ? 1.0 : -1.0;
    const double first = way > 0.0 ? std::ceil(from.div) : std::floor(from.div);
    for (double div = first; way * (to.div - div) >= -kSameDiv; div += way) {
        const double share = (div - from.div) / (to.div - from.div);
        due.push_back(setup.count_in_s + from.at_s + share * (to.at_s - from.at_s));
    }
    return due;
}

std::shared_ptr<const MapShown> shown(const dial::PlaceMap& map) {
    auto out = std::make_shared<MapShown>();
    for (std::size_t cell = 0; cell < map.cells(); ++cell) {
        out->div.push_back(map.div_of(cell));
        out->chance_per_div.push_back(map.chance(cell) / map.step_div());
    }
    out->place = map.place();
    out->chance_so_far = map.chance_so_far();
    out->elsewhere = map.elsewhere();
    out->passes = map.passes();
    return out;
}

}  // namespace

SweepUser::SweepUser(const dial::Dial& dial, const SweepSetup& setup)
    : dial_(dial),
      setup_(setup),
      marks_(setup.from_div, setup.to_div),
      columns_(DivAxis(setup.from_div, setup.to_div),
               setup.way == DialWay::stepped ? 0.5 * setup.step_div : 0.0) {}

void SweepUser::begin(const HeardInput& input) {
    {
        const std::lock_guard lock(mutex_);
        if (state_.phase != SweepPhase::waiting) return;
    }
    if (const Status ready = prepare(input); !ready) fail(ready.error().message);
}

Status SweepUser::prepare(const HeardInput& input) {
    if (const Status right = check(setup_, dial_); !right) return right;
    const watch::SweepConfig config{.calls = setup_.calls};
    std::optional<dial::Motion> motion;
    if (setup_.way != DialWay::marked) {
        auto made = motion_of(setup_, dial_, input.seconds);
        if (!made) return made.error();
        motion = *made;
    }
    auto sweep =
        motion ? watch::Sweep::create(dial_, *motion, config)
               : watch::Sweep::create(
                     dial_,
                     dial::pressed_paces(dial_, setup_.from_div, setup_.to_div, setup_.div_per_min),
                     config);
    if (!sweep) return sweep.error();
    auto strip = spectrum::Strip::create({.low_hz = kPictureLowHz,
                                          .high_hz = kPictureHighHz,
                                          .window_s = kWindowS,
                                          .hop_s = kRowEveryS,
                                          .points = SweptColumns::kPoints});
    if (!strip) return strip.error();
    sweep_.emplace(*std::move(sweep));
    strip_.emplace(*std::move(strip));
    std::string map_problem;
    if (setup_.wanted_mhz) {
        const auto setting = dial_.setting(*setup_.wanted_mhz);
        const auto chance = usual_chance(dial_.receiver());
        if (!setting) return setting.error();
        if (!chance) return chance.error();
        auto map = watch::SweepMap::open(setup_.map_file, *chance, dial_, *setting);
        // The file stays as it is; this sweep's map then is of this sweep alone.
        if (!map) map_problem = map.error().message;
        if (!map) map = watch::SweepMap::open("", *chance, dial_, *setting);
        if (!map) return map.error();
        map_.emplace(*std::move(map));
    }
    const std::lock_guard lock(mutex_);
    motion_ = motion;
    state_.map_problem = map_problem;
    if (motion) {
        state_.whole_s = motion->marks().back().at_s;
        clicks_due_s_ = due_of(*motion, setup_);
    }
    state_.phase = setup_.count_in_s > 0.0 ? SweepPhase::counting_in : SweepPhase::turning;
    state_.count_in_left_s = setup_.count_in_s;
    if (map_) state_.map = shown(map_->map());
    say_where();
    return Done{};
}

void SweepUser::take(const watch::Block& block, FrameIndex) {
    SweepPhase phase = SweepPhase::over;
    std::optional<double> whole_s;
    {
        const std::lock_guard lock(mutex_);
        phase = state_.phase;
        whole_s = state_.whole_s;
    }
    if (phase != SweepPhase::counting_in && phase != SweepPhase::turning) return;
    auto audio = block.audio;
    if (phase == SweepPhase::counting_in) {
        const auto wait = static_cast<FrameIndex>(std::llround(setup_.count_in_s * kWorkRateHz));
        const auto let_go =
            std::min<FrameIndex>(wait - counted_in_, static_cast<FrameIndex>(audio.size()));
        counted_in_ += let_go;
        audio = audio.subspan(static_cast<std::size_t>(let_go));
        const std::lock_guard lock(mutex_);
        state_.count_in_left_s = static_cast<double>(wait - counted_in_) / kWorkRateHz;
        if (counted_in_ >= wait) state_.phase = SweepPhase::turning;
        say_where();
    }
    if (audio.empty()) return;
    hear(audio, block.lost);
    bool done = whole_s && heard_s() >= *whole_s - 1e-6;
    {
        const std::lock_guard lock(mutex_);
        done = done || (setup_.way == DialWay::marked && marks_.done());
    }
    if (done) conclude();
}

void SweepUser::hear(std::span<const float> audio, bool lost) {
    take_marks();
    sweep_->process(audio, lost);
    std::vector<std::pair<double, std::vector<float>>> rows;
    strip_->process(audio, [&](std::span<const float> row) {
        rows.emplace_back(static_cast<double>(strip_->row_centre_frame()) / kWorkRateHz,
                          std::vector<float>(row.begin(), row.end()));
    });
    heard_ += static_cast<FrameIndex>(audio.size());
    const std::lock_guard lock(mutex_);
    for (const auto& [at_s, row] : rows) columns_.add(at_s, row);
    if (motion_) {
        const bool marked = setup_.way == DialWay::marked;
        columns_.place(*motion_, marked ? motion_->marks().back().at_s : heard_s());
    }
    state_.heard_s = heard_s();
    state_.lost_audio = state_.lost_audio || lost;
    if (sweep_->stations().size() != state_.stations.size()) state_.stations = sweep_->stations();
    say_where();
}

// Under the lock.
void SweepUser::say_where() {
    const double at_s = state_.heard_s;
    const double from_begin_s = setup_.count_in_s - state_.count_in_left_s + at_s;
    state_.clicks =
        static_cast<int>(std::count_if(clicks_due_s_.begin(), clicks_due_s_.end(),
                                       [&](double due_s) { return due_s <= from_begin_s; }));
    if (setup_.way == DialWay::marked) {
        state_.marks = marks_.marks().size();
        state_.next_mark_div = marks_.next_div();
        state_.marked_div_per_min = marks_.div_per_min();
        if (!marks_.marks().empty()) state_.dial_div = marks_.marks().back().div;
        return;
    }
    if (!motion_) return;
    const double whole_s = motion_->marks().back().at_s;
    state_.dial_div = motion_->at(std::min(at_s, whole_s)).div;
    if (setup_.way != DialWay::stepped) return;
    state_.resting = false;
    state_.change_in_s = 0.0;
    for (const auto& rest : motion_->rests()) {
        if (at_s < rest.from_s) {  // on the way there
            state_.dial_div = rest.div;
            state_.change_in_s = rest.from_s - at_s;
            return;
        }
        if (at_s < rest.to_s) {
            state_.resting = true;
            state_.change_in_s = rest.to_s - at_s;
            return;
        }
    }
}

void SweepUser::take_marks() {
    if (setup_.way != DialWay::marked) return;
    std::optional<dial::Motion> motion;
    {
        const std::lock_guard lock(mutex_);
        if (marks_.marks().size() == marks_taken_) return;
        marks_taken_ = marks_.marks().size();
        const auto made = dial::Motion::marked(marks_.marks(), dial_.receiver().reading_sd_div);
        if (!made) return;  // one mark only
        motion_ = *made;
        motion = *made;
    }
    sweep_->turned(*motion);
}

bool SweepUser::mark() {
    const std::lock_guard lock(mutex_);
    if (setup_.way != DialWay::marked || state_.phase != SweepPhase::turning) return false;
    const bool made = marks_.mark(state_.heard_s);
    say_where();
    return made;
}

bool SweepUser::take_mark_back() {
    const std::lock_guard lock(mutex_);
    if (state_.phase != SweepPhase::turning) return false;
    const bool taken = marks_.take_back();
    say_where();
    return taken;
}

void SweepUser::end() {
    {
        const std::lock_guard lock(mutex_);
        if (state_.phase == SweepPhase::over) return;
    }
    conclude();
}

void SweepUser::conclude() {
    bool known = false;
    {
        const std::lock_guard lock(mutex_);
        if (!sweep_) {
            state_.phase = SweepPhase::over;
            return;
        }
        known = motion_.has_value() || marks_.marks().size() >= 2;
    }
    take_marks();
    if (known) sweep_->finish();
    std::string problem;
    std::optional<dial::Stretch> next;
    if (map_ && known && heard_ > 0) {
        Status kept = map_->update(*sweep_, heard_s());
        if (kept) kept = map_->keep();
        if (!kept) problem = kept.error().message;
    }
    if (map_) {
        const auto found = map_->next_stretch();
        if (!found && problem.empty()) problem = found.error().message;
        if (found) next = *found;
    }
    const std::lock_guard lock(mutex_);
    if (motion_) columns_.place(*motion_, motion_->marks().back().at_s);
    state_.stations = sweep_->stations();
    const auto* back = watch::station_to_go_back_to(state_.stations, map_ ? &map_->map() : nullptr);
    if (back != nullptr) state_.go_back = static_cast<std::size_t>(back - state_.stations.data());
    if (map_) state_.map = shown(map_->map());
    if (!problem.empty()) state_.map_problem = problem;
    state_.next = next;
    say_where();
    state_.phase = SweepPhase::over;
}

void SweepUser::fail(const std::string& why) {
    const std::lock_guard lock(mutex_);
    state_.failure = why;
    state_.phase = SweepPhase::over;
}

SweepState SweepUser::state() const {
    const std::lock_guard lock(mutex_);
    return state_;
}

std::vector<SweptColumn> SweepUser::take_columns() {
    const std::lock_guard lock(mutex_);
    return columns_.take_changed();
}

std::vector<double> SweepUser::clicks_due_s() const {
    const std::lock_guard lock(mutex_);
    return clicks_due_s_;
}

}  // namespace skedlark::gui
