#include "gui/practice/set_up_practice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/fist/copy_words.h"
#include "dsp/fist/drill_text.h"
#include "dsp/morse/code_table.h"

namespace skedlark::gui {

Status SetUpPractice::begin(const station::Plan& plan, const dial::Receiver& receiver,
                            const std::vector<dial::KnownStation>& known,
                            const SetUpSettings& settings, std::uint64_t seed) {
    auto task = station::make_set_up(plan, receiver, seed);
    if (!task) return task.error();
    auto message = fist::drill_text(fist::DrillKind::groups, settings.groups,
                                    log_.record().weights_to_copy(), seed);
    if (!message) return message.error();
    plan_ = plan;
    receiver_ = receiver;
    known_ = known;
    settings_ = settings;
    seed_ = seed;
    task_ = std::move(*task);
    message_ = std::move(*message);
    marks_.clear();
    dial_.reset();
    score_.reset();
    wrong_calls_ = 0;
    phase_ = SetUpPhase::asking;
    return Done{};
}

std::string SetUpPractice::task_words() const {
    return phase_ == SetUpPhase::idle ? "" : station::in_words(task_);
}

Status SetUpPractice::answer(const station::SetUpAnswer& answer, double now_s) {
    if (phase_ != SetUpPhase::asking) return Done{};
    const double mhz = task_.receive_khz / 1000.0;
    const auto bands = dial::bands_with(receiver_, mhz);
    if (!bands) return bands.error();
    const bool holds = std::find(bands->begin(), bands->end(), answer.band) != bands->end();
    watch::SimulatedDialConfig config;
    config.receiver = receiver_;
    config.band = holds ? answer.band : bands->front();
    config.base_mhz = mhz;
    config.own_call = task_.own_call;
    if (!task_.base_call.empty()) config.base_call = task_.base_call;
    config.speed_wpm = settings_.speed_wpm;
    config.snr_2500hz_db = settings_.snr_2500hz_db;
    config.fading = settings_.fading;
    config.seed = seed_;
    auto made = watch::SimulatedDial::create(config);
    if (!made) return made.error();
    dial_ = *std::move(made);
    band_ = config.band;
    // Without a division, or on another band, the search begins at the end of the scale.
    dial_->turn_to(holds && answer.division ? *answer.division : receiver_.from_div);
    marks_ = station::mark_set_up(task_, answer, receiver_, known_);
    began_s_ = now_s;
    phase_ = SetUpPhase::sweeping;
    return Done{};
}

std::string SetUpPractice::answer_words() const {
    std::string out;
    for (const station::SetUpMark& mark : marks_)
        out += fmt::format("{}  {}\n", mark.right ? "right" : "WRONG", mark.said);
    return out;
}

void SetUpPractice::turn_by(double div) {
    if (dial_) dial_->turn_to(dial_->division() + div);
}

audio::Player::Make SetUpPractice::audio() const {
    if (!dial_) return {};
    return [dial = dial_](std::span<float> piece) {
        dial->read(piece);
        return piece.size();
    };
}

std::string SetUpPractice::found(double now_s) {
    if (phase_ != SetUpPhase::sweeping || !dial_) return "";
    const double pitch_hz = dial_->base_pitch_hz();
    const std::string base = task_.base_call.empty() ? "The base" : task_.base_call;
    if (!dial_->is_found()) {
        ++wrong_calls_;
        if (std::abs(pitch_hz) > receiver_.audio.high_hz)
            return "That is not it: the base is not heard here. It calls by its own call.";
        return fmt::format(
            "{} is heard, but not at the listening pitch, {:.0f} Hz: bring it there.", base,
            receiver_.audio.pitch_hz);
    }
    const auto seconds = dial_->send_message(message_);
    if (!seconds) return seconds.error().message;
    found_after_s_ = now_s - began_s_;
    phase_ = SetUpPhase::copying;
    return fmt::format("{} is found after {:.0f} s{}. Copy its message: {} groups, {:.0f} s.", base,
                       found_after_s_,
                       pitch_hz < 0.0 ? ", on the other side of zero beat than the card says" : "",
                       settings_.groups, *seconds);
}

Status SetUpPractice::mark(const std::string& typed, UtcTime now) {
    if (phase_ != SetUpPhase::copying) return Done{};
    const auto sent = morse::scoring_symbols(message_);
    const auto symbols = morse::scoring_symbols(typed);
    if (!sent) return sent.error();
    if (!symbols) return symbols.error();
    if (symbols->empty()) {
        return Error{ErrorCode::invalid_value,
                     "nothing was typed; _ stands for a character that was not copied"};
    }
    auto score = fist::copy_score(*sent, *symbols);
    if (!score) return score.error();
    score_ = std::move(*score);
    phase_ = SetUpPhase::marked;
    log::CopyFacts facts;
    facts.started = now;
    facts.input = "set-up drill";
    facts.speed_wpm = settings_.speed_wpm;
    log::Entry entry = log::copy_entry(*score_, facts);
    const auto add = [&](const char* name, double value) {
        log::Measurement one;
        one.name = name;
        one.value = value;
        entry.measurements.push_back(one);
    };
    add("set_up_asked", static_cast<double>(marks_.size()));
    add("set_up_right", static_cast<double>(std::count_if(marks_.begin(), marks_.end(),
                                                          [](const auto& m) { return m.right; })));
    add("found_s", found_after_s_);
    add("wrong_calls", wrong_calls_);
    return log_.keep(std::move(entry));
}

std::string SetUpPractice::result_words(std::size_t columns) const {
    if (!score_) return "";
    return fist::marked_rows(*score_, columns) + fist::counts_in_words(*score_) +
           fmt::format("Found after {:.0f} s; {} other stations were taken for it.\n",
                       found_after_s_, wrong_calls_);
}

}  // namespace skedlark::gui
