#include "gui/practice/sending_drill.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/log/sending_entry.h"
#include "dsp/morse/code_table.h"

namespace skedlark::gui {

namespace {

// Of a line without noise, by the tests of key_line.
constexpr double kLineEdgeSdS = 0.0003;
constexpr std::size_t kErrorsShown = 12;
constexpr std::size_t kMostShown = 8;

Result<fist::Grade> graded(const std::vector<fist::KeyMark>& marks, double edge_sd_s,
                           const std::string& text) {
    fist::GradeOptions options;
    if (!text.empty()) {
        const auto symbols = morse::symbols_from_text(text);
        if (!symbols) return symbols.error();
        options.text = *symbols;
    }
    return fist::grade_key(fist::keying_of(marks, edge_sd_s), options);
}

}  // namespace

std::string heaviest_of(const fist::DrillWeights& weights) {
    std::vector<std::pair<double, std::string>> more;
    for (const auto& [character, weight] : weights) {
        if (weight > 1.0) more.emplace_back(-weight, character);
    }
    std::sort(more.begin(), more.end());
    std::string out;
    for (std::size_t i = 0; i < std::min(more.size(), kMostShown); ++i)
        out += (out.empty() ? "" : " ") + more[i].second;
    return out;
}

void KeyListener::arm(bool armed) {
    const std::lock_guard held(mutex_);
    armed_ = armed;
    if (armed) audio_.clear();
}

std::vector<float> KeyListener::audio() const {
    const std::lock_guard held(mutex_);
    return audio_;
}

void KeyListener::take(const watch::Block& block, FrameIndex) {
    const std::lock_guard held(mutex_);
    if (!armed_ || static_cast<double>(audio_.size()) > kLongestS * kWorkRateHz) return;
    audio_.insert(audio_.end(), block.audio.begin(), block.audio.end());
}

Status SendingDrill::begin(fist::DrillKind kind, int count, std::uint64_t seed) {
    const fist::DrillWeights weights = log_.record().weights_to_send();
    auto text = fist::drill_text(kind, count, weights, seed);
    if (!text) return text.error();
    text_ = std::move(*text);
    more_of_ = heaviest_of(weights);
    marks_.clear();
    down_since_s_.reset();
    grade_.reset();
    so_far_.clear();
    so_far_marks_ = 0;
    edge_sd_s_ = fist::kKeyboardEdgeSdS;
    line_->arm(true);
    phase_ = SendingPhase::sending;
    return Done{};
}

void SendingDrill::key(bool down, double at_s) {
    if (phase_ != SendingPhase::sending) return;
    if (down == down_since_s_.has_value()) return;
    if (down) {
        down_since_s_ = at_s;
        return;
    }
    marks_.push_back({*down_since_s_, at_s});
    down_since_s_.reset();
}

std::string SendingDrill::so_far() {
    if (marks_.size() == so_far_marks_) return so_far_;
    so_far_marks_ = marks_.size();
    const auto grade = graded(marks_, edge_sd_s_, "");
    so_far_ = grade ? fmt::format("{}   {:.0f} words a minute", grade->text(),
                                  grade->statistics.overall_wpm)
                    : fmt::format("{} marks", marks_.size());
    return so_far_;
}

Status SendingDrill::end(UtcTime now, bool keep) {
    if (phase_ != SendingPhase::sending) return Done{};
    std::string from = "space bar";
    if (marks_.empty()) {
        const std::vector<float> audio = line_->audio();
        auto line = fist::key_marks(audio);
        if (!line) {
            return Error{
                ErrorCode::not_found,
                "nothing was sent: neither by the space bar nor by a key at the input that "
                "is listened to"};
        }
        marks_ = std::move(*line);
        edge_sd_s_ = kLineEdgeSdS;
        from = "key at the sound input";
    }
    auto grade = graded(marks_, edge_sd_s_, text_);
    if (!grade) {
        if (edge_sd_s_ == kLineEdgeSdS) marks_.clear();
        return grade.error();
    }
    line_->arm(false);
    grade_ = std::move(*grade);
    phase_ = SendingPhase::graded;
    if (!keep) return Done{};
    return log_.keep(
        log::sending_entry(*grade_, *morse::symbols_from_text(text_), {now, log_.who(), from, ""}));
}

std::string SendingDrill::result_words() const {
    if (!grade_ || !grade_->alignment) return "";
    const fist::Grade& g = *grade_;
    const fist::Alignment& a = *g.alignment;
    std::string out = fmt::format(
        "Score {:.0f} of 100.  {} of {} characters right.  {:.1f} words a "
        "minute, dash {:.2f} dots.\n",
        g.score.total, a.right, a.meant, g.statistics.overall_wpm, g.statistics.dash_to_dot);
    if (a.stopped_early()) out += fmt::format("Stopped after {} of {}.\n", a.reached, a.meant);
    for (const fist::ScorePart& part : g.score.parts) {
        if (part.kept < 0.995)
            out += fmt::format("{}: {:.0f} % of the characters stay right\n", part.name,
                               100.0 * part.kept);
    }
    for (const fist::Fault& fault : g.faults)
        out += fmt::format("{}. {}\n", fault.said, fault.advice);
    for (std::size_t i = 0; i < std::min(kErrorsShown, a.errors.size()); ++i)
        out += fist::described(a.errors[i]) + "\n";
    if (a.errors.size() > kErrorsShown)
        out += fmt::format("and {} other errors\n", a.errors.size() - kErrorsShown);
    return out;
}

}  // namespace skedlark::gui
