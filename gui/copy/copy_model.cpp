#include "gui/copy/copy_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "dsp/log/json_values.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kNotesKept = 50;
constexpr std::size_t kToneRows = 8;
constexpr std::size_t kTail = 40;  // characters of another tone's text
constexpr double kToneForgottenS = 120.0;
constexpr double kLeastDriftHz = 0.05;  // a minute; less is none

std::string keyed_words(const std::optional<bool>& keyed) {
    if (!keyed) return "keyed or not: not known yet";
    return *keyed ? "keyed" : "not keyed";
}

}  // namespace

std::string clock_words(double seconds) {
    const auto whole = static_cast<long long>(std::max(0.0, seconds));
    const long long hours = whole / 3600, minutes = whole / 60 % 60;
    return hours > 0 ? fmt::format("{}:{:02}:{:02}", hours, minutes, whole % 60)
                     : fmt::format("{}:{:02}", minutes, whole % 60);
}

CopyModel::CopyModel(std::string journal_folder) : journal_folder_(std::move(journal_folder)) {}

void CopyModel::begin(const HeardInput& input, UtcTime now) {
    if (!text_.tones().empty()) {
        const std::string before = text_as_taken(text_.of_tone(tone()));
        if (!before.empty()) earlier_ += heard_.name + ":\n" + before + "\n\n";
    }
    ++inputs_;
    heard_ = input;
    ended_ = false;
    text_ = {};
    rows_.clear();
    tones_.clear();
    followed_.clear();
    chosen_.reset();
    notes_.clear();
    journal_ = Journal(journal_folder_, now);
    journal_told_ = journal_failure_told_ = false;
    journal_to_ = 0;
    log::InputLine line;
    line.name = input.name;
    line.sample_rate_hz = kWorkRateHz;
    line.seconds = input.seconds;
    line.utc = input.start_utc;
    lines_ = log::json_line(line);
}

void CopyModel::take(CopyNews news, UtcTime now) {
    if (news.began) begin(*news.began, now);
    for (std::size_t i = 0; i < news.row_infos.size(); ++i) {
        rows_.add(news.row_infos[i], std::span(news.row_bytes).subspan(i * kRowPoints, kRowPoints));
    }
    for (const Event& event : news.events) take(event);
    followed_ = std::move(news.followed);
    picture_hz_ = news.picture_hz;
    heard_to_ = news.heard_to;
    ended_ = ended_ || news.ended;
    if (!journal_.path().empty() && !journal_told_ && journal_.failure().empty()) {
        journal_told_ = true;
        note(heard_to_, "written down in " + journal_.path() + ".txt");
    }
    if (!journal_.failure().empty() && !journal_failure_told_) {
        journal_failure_told_ = true;
        note(heard_to_, "not written down any more: " + journal_.failure());
    }
}

void CopyModel::take(const Event& event) {
    if (const auto* character = std::get_if<CharEvent>(&event)) {
        text_.add(*character);
        if (!character->final) return;
        if (const std::string older = text_.take_older(character->tone); !older.empty()) {
            // Of a tone beside the one shown the journal alone keeps it.
            if (character->tone == tone()) earlier_ += heard_.name + ":\n" + older + "\n\n";
        }
    } else if (const auto* tone = std::get_if<ToneEvent>(&event)) {
        tones_[tone->tone] = *tone;
    } else if (const auto* moved = std::get_if<PitchMovedEvent>(&event)) {
        if (const auto known = tones_.find(moved->tone); known != tones_.end()) {
            known->second.pitch_hz = moved->to_hz;
        }
        note(moved->at_frame,
             fmt::format("pitch moved from {:.0f} to {:.0f} Hz", moved->from_hz, moved->to_hz));
    } else if (const auto* lost = std::get_if<AudioLostEvent>(&event)) {
        const double lost_s = seconds_from_frames(lost->to_frame - lost->from_frame);
        note(lost->from_frame,
             fmt::format("audio lost{}: {}",
                         lost_s > 0.0 ? fmt::format(" for {:.1f} s", lost_s) : "", lost->reason));
    } else if (const auto* call = std::get_if<CallEvent>(&event)) {
        note(call->at_frame, call->call + " was sent");
    } else if (const auto* said = std::get_if<NoteEvent>(&event)) {
        note(said->at_frame, said->text);
    } else if (const auto* sending = std::get_if<SendingEvent>(&event)) {
        text_.add_sending({sending->from_frame, sending->to_frame});
    }
    write_down(event);
}

void CopyModel::write_down(const Event& event) {
    const std::string line = log::json_line(event, heard_.start_utc);
    if (journal_.path().empty()) journal_.add_line(lines_);
    lines_ += line;
    journal_.add_line(line);
    const auto* character = std::get_if<CharEvent>(&event);
    if (character == nullptr || character->tone != tone()) return;
    const Copied one{*character, {}, text_.sending()};
    const bool paused = journal_to_ > 0 &&
                        seconds_from_frames(character->from_frame - journal_to_) > kNewLineAfterS;
    journal_to_ = character->to_frame;
    if (!one.own) journal_.add_text((paused ? "\n" : "") + one.as_read());
}

void CopyModel::note(FrameIndex at, const std::string& text) {
    notes_.push_back(clock_words(seconds_from_frames(at)) + "  " + text);
    if (notes_.size() > kNotesKept) notes_.pop_front();
}

int CopyModel::tone() const {
    if (chosen_) return *chosen_;
    // The one that is followed and has text; else any that has.
    for (const ToneSummary& one : followed_) {
        if (!text_.final_of(one.tone).empty()) return one.tone;
    }
    const auto tones = text_.tones();
    int best = tones.empty() ? 0 : tones.front();
    for (const int one : tones) {
        if (text_.final_of(one).size() > text_.final_of(best).size()) best = one;
    }
    if (best == 0 && !followed_.empty()) best = followed_.front().tone;
    return best;
}

const ToneSummary* CopyModel::followed(int tone) const {
    const auto one = std::find_if(followed_.begin(), followed_.end(),
                                  [&](const ToneSummary& t) { return t.tone == tone; });
    return one != followed_.end() ? &*one : nullptr;
}

std::optional<double> CopyModel::pitch_of(int tone) const {
    if (const ToneSummary* now = followed(tone)) return now->pitch_hz;
    const auto known = tones_.find(tone);
    return known != tones_.end() ? std::optional(known->second.pitch_hz) : std::nullopt;
}

std::vector<OtherTone> CopyModel::other_tones() const {
    std::vector<OtherTone> rows;
    for (const auto& [number, event] : tones_) {
        const auto characters = text_.final_of(number);
        const bool recent =
            seconds_from_frames(heard_to_ - event.at_frame) < kToneForgottenS || followed(number);
        // Hum, carriers and what is not known yet are no stations; skedlark find lists them.
        const bool station = event.keyed.value_or(false) && recent;
        if (number == tone() || (!station && characters.empty())) continue;
        OtherTone row{number, *pitch_of(number)};
        row.words = fmt::format("{:.0f} Hz, {}, {:.0f} dB", row.pitch_hz, keyed_words(event.keyed),
                                event.snr_2500hz_db);
        const auto last = characters.last(std::min(kTail, characters.size()));
        const std::string text = text_as_taken(last);
        if (!text.empty()) {
            row.words += ": " + text;
        } else if (!followed(number)) {
            row.words += "; not copied";
        }
        rows.push_back(std::move(row));
    }
    if (rows.size() > kToneRows) rows.erase(rows.begin(), rows.end() - kToneRows);
    return rows;
}

std::string CopyModel::numbers_in_words() const {
    if (inputs_ == 0) return "No input yet";
    const ToneSummary* now = followed(tone());
    if (now == nullptr) {
        return fmt::format("Listening for {}, no keyed tone followed",
                           clock_words(seconds_from_frames(heard_to_)));
    }
    std::string words = fmt::format("{:.0f} Hz", now->pitch_hz);
    if (now->speed_wpm > 0.0) words += fmt::format(", {:.0f} words a minute", now->speed_wpm);
    words += fmt::format(", {:.0f} dB over the noise", now->snr_2500hz_db);
    const double drift = now->pitch_drift_hz_per_min;
    if (!std::isfinite(drift) || std::abs(drift) < kLeastDriftHz) return words + ", no drift";
    return words + fmt::format(", drift {:+.1f} Hz a minute", drift);
}

CopiedMessage CopyModel::message(std::optional<bool> in_fives) const {
    return find_message(text_.final_of(tone()), in_fives);
}

void CopyModel::send_until(FrameIndex to) {
    if (const auto stretch = text_.send_until(to)) {
        write_down(SendingEvent{stretch->from, stretch->to});
    }
}

void CopyModel::add_sending(const Stretch& stretch) {
    text_.add_sending(stretch);
    write_down(SendingEvent{stretch.from, stretch.to});
}

void CopyModel::write_correction(const Stretch& place, const std::string& read,
                                 const std::string& taken) {
    const std::string line = log::json::line_of({{"event", "correction"},
                                                 {"tone", tone()},
                                                 {"from_s", log::json::seconds(place.from)},
                                                 {"to_s", log::json::seconds(place.to)},
                                                 {"read", read},
                                                 {"corrected", taken}});
    lines_ += line;
    journal_.add_line(line);
}

void CopyModel::correct(FrameIndex from, std::optional<std::string> text) {
    for (const Copied& one : text_.final_of(tone())) {
        if (one.read.from_frame != from) continue;
        const std::string read = one.as_read();
        const Stretch place{one.read.from_frame, one.read.to_frame};
        const std::string taken = text.value_or(read);
        (void)text_.correct(tone(), from, std::move(text));
        write_correction(place, read, taken);
        return;
    }
}

void CopyModel::correct_stretch(const Stretch& stretch, const std::string& text) {
    std::vector<Copied> inside;
    for (const Copied& one : text_.final_of(tone())) {
        if (one.read.from_frame >= stretch.from && one.read.to_frame <= stretch.to) {
            inside.push_back(one);
        }
    }
    if (text_.correct_stretch(tone(), stretch, text)) {
        write_correction(stretch, text_as_read(inside), text);
    }
}

}  // namespace skedlark::gui
