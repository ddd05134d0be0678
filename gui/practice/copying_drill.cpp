#include "gui/practice/copying_drill.h"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "dsp/fist/copy_words.h"
#include "dsp/morse/code_table.h"
#include "dsp/synth/scene.h"
#include "gui/practice/sending_drill.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kPairsShown = 6;

std::string drawn_of(int first, fist::DrillKind kind, const log::PracticeRecord& record) {
    std::string among;
    if (first == 0) return among;
    for (const std::string& one : fist::practice_order(record.copied_characters)) {
        const bool is_figure = one.front() >= '0' && one.front() <= '9';
        if (is_figure == (kind == fist::DrillKind::figures)) among += one;
    }
    return among.substr(0, std::min(among.size(), static_cast<std::size_t>(first)));
}

}  // namespace

Status CopyingDrill::make(const CopyingSettings& settings, std::uint64_t seed) {
    const auto pace = fist::pace_at(settings.level, settings.character_wpm);
    if (!pace) return pace.error();
    const log::PracticeRecord record = log_.record();
    const fist::DrillWeights weights = record.weights_to_copy();
    auto text = fist::drill_text(settings.kind, settings.count, weights, seed,
                                 drawn_of(settings.first, settings.kind, record));
    if (!text) return text.error();
    fist::DrillConditions conditions = settings.conditions;
    conditions.pace = *pace;
    auto scene = fist::drill_scene(*text, conditions, seed);
    if (!scene) return scene.error();
    const auto stream = synth::SceneStream::create(*scene);
    if (!stream) return stream.error();
    seconds_ = static_cast<double>(stream->length_frames()) / scene->sample_rate_hz;
    settings_ = settings;
    scene_ = std::move(*scene);
    text_ = std::move(*text);
    more_of_ = heaviest_of(weights);
    score_.reset();
    phase_ = CopyingPhase::made;
    return Done{};
}

audio::Player::Make CopyingDrill::audio() const {
    if (phase_ == CopyingPhase::idle) return {};
    auto stream = synth::SceneStream::create(scene_);
    if (!stream) return {};
    const auto shared = std::make_shared<synth::SceneStream>(std::move(*stream));
    return [shared](std::span<float> piece) { return shared->read(piece); };
}

Status CopyingDrill::mark(const std::string& typed, UtcTime now) {
    if (phase_ != CopyingPhase::made) return Done{};
    const auto sent = morse::scoring_symbols(text_);
    if (!sent) return sent.error();
    const auto symbols = morse::scoring_symbols(typed);
    if (!symbols) return symbols.error();
    if (symbols->empty()) {
        return Error{ErrorCode::invalid_value,
                     "nothing was typed; _ stands for a character that was not copied"};
    }
    auto score = fist::copy_score(*sent, *symbols);
    if (!score) return score.error();
    score_ = std::move(*score);
    phase_ = CopyingPhase::marked;
    attempts_.push_back({settings_.level, score_->right, score_->sent + score_->extra});
    log::CopyFacts facts;
    facts.started = now;
    facts.input = "played by the desk";
    facts.groups_a_minute = settings_.level;
    facts.speed_wpm = fist::speed_of_level(settings_.level);
    return log_.keep(log::copy_entry(*score_, facts));
}

double CopyingDrill::next_level() {
    const log::PracticeRecord record = log_.record();
    return fist::next_level(log_.who().empty() ? std::span<const fist::LevelAttempt>(attempts_)
                                               : std::span(record.levels));
}

std::string CopyingDrill::result_words(std::size_t columns) const {
    if (!score_) return "";
    return fist::marked_rows(*score_, columns) + fist::signs_in_words() +
           fist::counts_in_words(*score_) + fist::pairs_in_words(*score_, kPairsShown);
}

}  // namespace skedlark::gui
