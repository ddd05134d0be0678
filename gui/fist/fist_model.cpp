#include "gui/fist/fist_model.h"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>

#include "dsp/log/log_book.h"
#include "dsp/log/log_path.h"
#include "dsp/morse/code_text.h"
#include "gui/fist/fist_rows.h"

namespace skedlark::gui {

namespace {

// id 0: a new entry; else that one's place is taken.
Result<std::int64_t> keep(const std::string& log_file, log::Entry entry, std::int64_t id) {
    const auto path = log::log_path_for_writing(log_file);
    if (!path) return path.error();
    auto book = log::LogBook::open(*path, log::Access::write);
    if (!book) return book.error();
    if (id == 0) return book->add(entry);
    entry.id = id;
    if (const Status replaced = book->replace(entry); !replaced) return replaced.error();
    return id;
}

Result<std::vector<log::WeekOfSending>> weeks_of(const std::string& log_file,
                                                 const std::string& who) {
    const auto path = log_file.empty() ? log::default_log_path() : Result<std::string>(log_file);
    if (!path) return path.error();
    std::error_code ignored;
    if (!std::filesystem::exists(*path, ignored)) return std::vector<log::WeekOfSending>{};
    const auto book = log::LogBook::open(*path, log::Access::read);
    if (!book) return book.error();
    log::Query query;
    query.kind = log::kPractice;
    query.who = who;
    const auto entries = book->find(query);
    if (!entries) return entries.error();
    return log::sending_trend(*entries);
}

}  // namespace

FistModel::FistModel(std::string log_file)
    : log_file_(std::move(log_file)), user_(std::make_shared<FistUser>()) {}

void FistModel::set_who(const std::string& who) {
    if (who == who_) return;
    who_ = who;
    weeks_.clear();
    history_failure_.clear();
    ++revision_;
    read_history();
}

Status FistModel::set_text(std::string_view bytes, const std::string& name) {
    if (bytes.find_first_not_of(" \t\r\n") == std::string_view::npos) {
        text_.clear();
        return skedlark::Done{};
    }
    auto text = morse::meant_text(bytes, name);
    if (!text) return text.error();
    text_ = std::move(*text);
    return skedlark::Done{};
}

void FistModel::start() {
    pitch_hz_.reset();
    live_ = {};
    heard_s_ = 0.0;
    failure_.clear();
    not_logged_.clear();
    entry_id_ = 0;
    phase_ = FistPhase::waiting;
    ++revision_;
    user_->start(pitch_hz_);
}

void FistModel::stop() {
    if (phase_ == FistPhase::waiting || phase_ == FistPhase::measuring) user_->stop();
}

void FistModel::grade_file(const FileToGrade& file) {
    stop();
    (void)user_->news();
    pitch_hz_.reset();
    entry_id_ = 0;
    failure_.clear();
    not_logged_.clear();
    phase_ = FistPhase::grading;
    ++revision_;
    background_.post([this, file](const std::atomic<bool>& stopped) -> Background::Finish {
        auto read = read_attempt(file, stopped);
        if (!read) {
            const std::string why = read.error().message;
            return [this, why] { finish_grading({nullptr, why, "", 0}); };
        }
        auto attempt = std::make_shared<Attempt>(std::move(*read));
        return [this, attempt] { grade(std::move(*attempt)); };
    });
}

void FistModel::grade_key(const std::vector<fist::KeyMark>& marks, double edge_sd_s) {
    entry_id_ = 0;
    failure_.clear();
    grade(attempt_of_key(marks, edge_sd_s, text_, now_));
}

void FistModel::choose_sender(double pitch_hz) {
    pitch_hz_ = pitch_hz;
    if (phase_ == FistPhase::waiting || phase_ == FistPhase::measuring) {
        user_->set_pitch(pitch_hz_);
        return;
    }
    grade_again();
}

void FistModel::grade_again() {
    if (!attempt_ || attempt_->of_key || phase_ == FistPhase::grading) return;
    grade(*attempt_);
}

void FistModel::grade(Attempt attempt) {
    phase_ = FistPhase::grading;
    ++revision_;
    attempt.text = text_;
    attempt.pitch_hz = pitch_hz_;
    if (attempt.started == UtcTime{}) attempt.started = now_;
    auto held = std::make_shared<Attempt>(std::move(attempt));
    background_.post([this, held, who = who_, file = log_file_,
                      id = entry_id_](const std::atomic<bool>&) -> Background::Finish {
        if (!held->of_key) grade_attempt(*held);
        Done done{held, "", "", id};
        if (held->grade && !who.empty()) {
            const auto entry =
                log::sending_entry(*held->grade, held->text, {held->started, who, held->input, ""});
            const auto kept = keep(file, entry, id);
            if (kept) {
                done.entry_id = *kept;
            } else {
                done.not_logged = kept.error().message;
            }
        }
        return [this, done] { finish_grading(done); };
    });
}

void FistModel::finish_grading(Done done) {
    ++revision_;
    failure_ = done.failure;
    not_logged_ = done.not_logged;
    if (!done.attempt) {
        phase_ = FistPhase::failed;
        return;
    }
    entry_id_ = done.entry_id;
    failure_ = done.attempt->failure;
    phase_ = done.attempt->grade ? FistPhase::graded : FistPhase::failed;
    attempt_ = std::move(done.attempt);
    read_history();
}

void FistModel::read_history() {
    if (who_.empty()) return;
    background_.post(
        [this, who = who_, file = log_file_](const std::atomic<bool>&) -> Background::Finish {
            auto read = weeks_of(file, who);
            return [this, who, read = std::move(read)] {
                if (who != who_) return;
                history_failure_ = read ? "" : read.error().message;
                weeks_ = read ? *read : std::vector<log::WeekOfSending>{};
                ++revision_;
            };
        });
}

void FistModel::refresh(UtcTime now) {
    now_ = now;
    FistNews news = user_->news();
    if (hears_ != news.hears) ++revision_;
    hears_ = news.hears;
    if (phase_ == FistPhase::waiting || phase_ == FistPhase::measuring) {
        if (std::floor(news.heard_s) != std::floor(heard_s_)) ++revision_;
        heard_s_ = news.heard_s;
        if (heard_s_ > 0.0) phase_ = FistPhase::measuring;
        if (news.figures) {
            live_ = std::move(*news.figures);
            ++revision_;
        }
        if (news.over && news.over->audio.empty()) {
            phase_ = attempt_ && attempt_->grade ? FistPhase::graded : FistPhase::idle;
            ++revision_;
        } else if (news.over) {
            grade(std::move(*news.over));
        }
    }
    if (background_.collect()) ++revision_;
}

const fist::Grade* FistModel::grade() const {
    if (phase_ == FistPhase::waiting || phase_ == FistPhase::measuring) {
        return live_.grade ? &*live_.grade : nullptr;
    }
    return attempt_ && attempt_->grade && phase_ != FistPhase::failed ? &*attempt_->grade : nullptr;
}

std::vector<fist::HeardTone> FistModel::senders() const {
    if (phase_ == FistPhase::measuring) return live_.tones;
    if (!attempt_ || !attempt_->grade || attempt_->of_key) return {};
    const fist::Grade& grade = *attempt_->grade;
    std::vector<fist::HeardTone> out{{grade.pitch_hz, grade.keying.snr_2500hz_db}};
    out.insert(out.end(), grade.others.begin(), grade.others.end());
    return out;
}

std::string FistModel::history_words() const {
    if (who_.empty()) return "No name: attempts are not kept.";
    if (!history_failure_.empty()) return history_failure_;
    if (weeks_.empty()) return "Nothing kept yet of " + who_ + ".";
    int attempts = 0;
    for (const log::WeekOfSending& week : weeks_) attempts += week.attempts;
    return fmt::format("{}: {} attempts in {} weeks.", who_, attempts, weeks_.size());
}

}  // namespace skedlark::gui
