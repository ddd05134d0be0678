#include "gui/sweep/sweep_model.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace skedlark::gui {

namespace {

constexpr double kTouch = 1e-9;  // divisions

}  // namespace

SweepModel::SweepModel() : user_(std::make_shared<SweepUser>()) {}

void SweepModel::set_receiver(const std::optional<dial::Receiver>& receiver,
                              const std::vector<dial::KnownStation>& known) {
    stop();
    leave();
    const bool same = receiver && receiver_ && receiver->name == receiver_->name;
    receiver_ = receiver;
    known_ = known;
    dial_.reset();
    swept_ = {};
    forget_map();
    if (!receiver_) return;
    // Only corrected: the stretch and the frequency stand, the map begins anew.
    if (same && set_setup(setup_)) return forget_map();
    SweepSetup fresh = setup_;
    fresh.band = receiver_->bands.front().name;
    fresh.from_div = receiver_->from_div;
    fresh.to_div = receiver_->to_div;
    fresh.wanted_mhz.reset();
    // A receiver was checked when it was read: its first band stands.
    if (auto dial = dial::Dial::create(*receiver_, fresh.band, known_)) dial_.emplace(*dial);
    setup_ = fresh;
}

Status SweepModel::set_setup(const SweepSetup& setup) {
    if (!receiver_) {
        return Error{ErrorCode::not_found,
                     "No receiver file: choose one on the Settings page (F2)."};
    }
    auto dial = dial::Dial::create(*receiver_, setup.band, known_);
    if (!dial) return dial.error();
    if (const Status right = check_setup(setup, *dial); !right) return right;
    if (setup.wanted_mhz) {
        if (const auto setting = dial->setting(*setup.wanted_mhz); !setting) return setting.error();
    }
    const bool other_map = setup.wanted_mhz != setup_.wanted_mhz || setup.band != setup_.band;
    dial_.emplace(*std::move(dial));
    setup_ = setup;
    if (!other_map) return Done{};
    forget_map();
    // A sweep of this band that is over speaks for the new map as well.
    if (setup_.band == swept_.band && now_.phase == SweepPhase::done) mapped_run_ = 0;
    return Done{};
}

Status SweepModel::offer(double mhz, const std::string& call) {
    if (!receiver_) return Error{ErrorCode::not_found, "No receiver file."};
    auto offered = offered_for(mhz, *receiver_, known_, setup_);
    if (!offered) return offered.error();
    offered->calls.clear();
    if (!call.empty()) offered->calls.push_back(call);
    return set_setup(*offered);
}

bool SweepModel::take_next_stretch() {
    if (!next_ || !dial_) return false;
    SweepSetup next = setup_;
    const auto on_dial = [&](double div) {
        const double tenths = std::round(10.0 * div) / 10.0;
        return std::clamp(tenths, receiver_->from_div, receiver_->to_div);
    };
    next.from_div = on_dial(next_->from_div - next_->run_on_div);
    next.to_div = on_dial(next_->to_div + next_->run_on_div);
    const double rate = khz_per_s(next_->div_per_min, next, *dial_);
    next.rate_khz_per_s = std::max(0.02, std::round(1000.0 * rate) / 1000.0);
    return set_setup(next).ok();
}

void SweepModel::forget_map() {
    map_.reset();
    next_.reset();
    ++map_changes_;
    // The sweep that is over stays out of a new map.
    mapped_run_ = now_.run;
    if (setup_.wanted_mhz && dial_) (void)open_map();
}

Status SweepModel::open_map() {
    const auto setting = dial_->setting(*setup_.wanted_mhz);
    if (!setting) return setting.error();
    auto chance = usual_chance(*receiver_);
    if (!chance) return chance.error();
    auto map = watch::SweepMap::open("", *dial_, *setting, *std::move(chance));
    if (!map) return map.error();
    map_.emplace(*std::move(map));
    if (const auto next = map_->next_stretch()) next_ = *next;
    ++map_changes_;
    return Done{};
}

Status SweepModel::start(double ready_s) {
    if (const Status right = set_setup(setup_); !right) return right;
    if (setup_.wanted_mhz && !map_) {
        if (const Status opened = open_map(); !opened) return opened;
    }
    leave();
    chosen_.reset();
    swept_ = setup_;
    marks_.reset();
    if (setup_.way == SweepWay::marked) {
        marks_.emplace(setup_.from_div, setup_.to_div);
        ready_s = 0.0;
    }
    last_div_.reset();
    division_due_ = false;
    picture_.begin_pass(axis(), setup_.way == SweepWay::stepped ? setup_.step_div : 0.0);
    user_->start({*dial_, setup_, ready_s});
    refresh();
    return Done{};
}

void SweepModel::stop() {
    user_->finish();
    refresh();
}

bool SweepModel::mark() {
    if (!marks_ || now_.phase != SweepPhase::running) return false;
    if (!marks_->mark(user_->snapshot().heard_s)) return false;
    user_->marked(marks_->marks());
    if (marks_->done()) user_->finish();
    return true;
}

bool SweepModel::take_mark_back() {
    if (!marks_ || now_.phase != SweepPhase::running || !marks_->take_back()) return false;
    if (marks_->marks().size() >= 2) user_->marked(marks_->marks());
    return true;
}

bool SweepModel::choose(std::size_t index) {
    if (index >= rows_.size() || now_.phase != SweepPhase::done) return false;
    chosen_ = index;
    raised_ = held_told_ = false;
    held_pitch_.reset();
    user_->lead(rows_[index].div);
    return true;
}

void SweepModel::leave() {
    chosen_.reset();
    user_->leave_lead();
}

bool SweepModel::active() const {
    return now_.phase == SweepPhase::armed || now_.phase == SweepPhase::running;
}

void SweepModel::refresh() {
    now_ = user_->snapshot();
    picture_.add(user_->take_rows());
    if (now_.motion) picture_.place(*now_.motion, now_.phase == SweepPhase::done);
    update_map();
    const dial::PlaceMap* map = map_ ? &map_->map() : nullptr;
    rows_ = rows_of(now_.stations, watch::station_to_go_back_to(now_.stations, map));
    watch_division();
    if (!now_.zero_in || !chosen_) return;
    if (now_.zero_in->held && !held_told_) {
        held_told_ = true;
        held_pitch_ = now_.zero_in->held_pitch_hz;
    }
    take_call();
}

// A division was reached since the last look. Where several were, it is one beat.
void SweepModel::watch_division() {
    const DialNow dial = dial_now();
    if (!dial.turning) {
        last_div_.reset();
        return;
    }
    if (last_div_) {
        const bool up = way() > 0.0;
        const bool passed = up ? std::floor(dial.div + kTouch) > std::floor(*last_div_ + kTouch)
                               : std::ceil(dial.div - kTouch) < std::ceil(*last_div_ - kTouch);
        const bool moved_on = swept_.way == SweepWay::stepped && dial.at_rest &&
                              std::abs(dial.div - *last_div_) > kTouch;
        if (passed || moved_on) division_due_ = true;
    }
    last_div_ = dial.div;
}

double SweepModel::way() const { return swept_.to_div > swept_.from_div ? 1.0 : -1.0; }

void SweepModel::update_map() {
    if (!map_ || now_.phase != SweepPhase::done || !now_.finished || now_.run == mapped_run_ ||
        !now_.motion) {
        return;
    }
    mapped_run_ = now_.run;
    if (!map_->update(*now_.finished, now_.heard_s)) return;
    const auto next = map_->next_stretch();
    next_ = next ? *next : std::nullopt;
    ++map_changes_;
}

void SweepModel::take_call() {
    if (!map_ || raised_ || !now_.zero_in->call || !now_.finished) return;
    raised_ = true;
    if (!map_->raise(*now_.finished, now_.stations[*chosen_], *now_.zero_in->call,
                     now_.zero_in->seconds)) {
        return;
    }
    ++map_changes_;
}

bool SweepModel::take_division_due() { return std::exchange(division_due_, false); }

std::optional<double> SweepModel::take_held_pitch() {
    return std::exchange(held_pitch_, std::nullopt);
}

}  // namespace skedlark::gui
