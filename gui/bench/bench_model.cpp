#include "gui/bench/bench_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/chain.h"
#include "dsp/bench/sheet_json.h"
#include "dsp/core/text_file.h"
#include "dsp/dial/receiver_file.h"

namespace skedlark::gui {

namespace {

Error nothing(const char* what) {
    return {ErrorCode::not_found, std::string("There is no ") + what + " yet."};
}

LivePicture live_picture_of(const std::string& test) {
    const bool against_time = test == "sensitivity" || test == "contacts" || test == "ring";
    return against_time ? LivePicture::level : LivePicture::spectrum;
}

}  // namespace

BenchModel::BenchModel()
    : user_(std::make_shared<BenchUser>()), chosen_(bench_kinds().front().name) {
    for (const BenchKind& kind : bench_kinds()) runs_.emplace(kind.name, BenchRun(kind));
}

BenchModel::~BenchModel() = default;

void BenchModel::set_setup(const BenchSetup& setup) {
    setup_ = setup;
    history_.set_file(setup.log_file);
    find_earlier();
}

void BenchModel::set_receiver(const std::optional<dial::Receiver>& receiver) {
    receiver_ = receiver;
    kept_.erase("dial");  // its chart may be another one
}

void BenchModel::choose(const std::string& test) {
    if (test == chosen_) return;
    user_->cancel();
    heard_ = user_->heard();
    recorded_step_.clear();
    off_at_s_.reset();
    chosen_ = test;
    problem_.clear();
    logged_words_.clear();
    find_earlier();
}

std::string BenchModel::state_of(const std::string& test) const {
    const auto kept = kept_.find(test);
    const BenchRun& run = runs_.at(test);
    if (kept != kept_.end() && kept->second.of_changes == run.changes()) {
        const BenchDone& done = kept->second.done;
        const auto rows = result_rows(done.sheet);
        const bool judged = std::any_of(rows.begin(), rows.end(),
                                        [](const ResultRow& row) { return !row.limit.empty(); });
        return !done.kept ? "FAIL" : judged ? "pass" : "measured";
    }
    return run.at() > 0 || !run.takes().empty() ? "under way" : "";
}

void BenchModel::say(const Status& status) { problem_ = status ? "" : status.error().message; }

void BenchModel::set_text(const std::string& key, const std::string& text) {
    say(run().set_text(key, text));
}

void BenchModel::next() {
    if (listening()) {
        problem_ = "It is listening: F5 stops it, Esc gives it up.";
        return;
    }
    say(run().next());
    if (problem_.empty() && run().step().kind == StepKind::result) begin_measuring(false);
}

void BenchModel::back() {
    if (listening()) {
        problem_ = "It is listening: F5 stops it, Esc gives it up.";
        return;
    }
    problem_.clear();
    run().back();
}

void BenchModel::go(std::size_t step) {
    if (listening() || step == run().at()) return;
    say(run().go(step));
    if (problem_.empty() && run().step().kind == StepKind::result) begin_measuring(false);
}

bool BenchModel::start_or_stop(bool audio_runs, bool file_input) {
    problem_.clear();
    if (listening()) {
        user_->stop();
        return false;
    }
    const BenchStep& step = run().step();
    if (step.kind == StepKind::result) {
        begin_measuring(true);
        return false;
    }
    if (step.kind == StepKind::look) {
        problem_ = "Nothing is recorded in this step: Alt+Right goes on.";
        return false;
    }
    if (!audio_runs && !file_input) {
        problem_ = "No sound comes in: Ctrl+L listens, Ctrl+F chooses a sound file.";
        return false;
    }
    say(begin_step(file_input));
    return problem_.empty() && file_input;
}

Status BenchModel::begin_step(bool file_input) {
    const BenchStep& step = run().step();
    BenchWish wish;
    wish.from_file_start = file_input;
    wish.seconds = step.seconds;
    wish.picture = live_picture_of(chosen_);
    wish.may_clip = chosen_ == "ring";
    if (chosen_ == "drift") {
        const auto config = drift_config_of(run().texts());
        if (!config) return config.error();
        wish.what = BenchWish::For::drift;
        wish.drift = *config;
    } else if (chosen_ == "rundown") {
        const auto config = run_down_config_of(run().texts());
        if (!config) return config.error();
        wish.what = BenchWish::For::run_down;
        wish.run_down = *config;
    } else if (chosen_ == "peak") {
        wish.what = BenchWish::For::peak;
    }
    recorded_step_ = step.id;
    off_at_s_.reset();
    user_->start(std::move(wish));
    heard_ = user_->heard();
    return Done{};
}

void BenchModel::cancel() {
    user_->cancel();
    heard_ = user_->heard();
    recorded_step_.clear();
    problem_.clear();
}

void BenchModel::mark_supply(bench::Supply supply) {
    if (chosen_ != "drift" || heard_.listening != Listening::going) return;
    user_->mark(bench::SupplyMark{heard_.seconds, supply});
}

void BenchModel::mark_off() {
    if (chosen_ != "drift" || heard_.listening != Listening::going) return;
    if (!off_at_s_) off_at_s_ = heard_.seconds;
}

void BenchModel::mark_on() {
    if (!off_at_s_ || heard_.seconds <= *off_at_s_) return;
    user_->mark(bench::PowerMark{*off_at_s_, heard_.seconds});
    off_at_s_.reset();
}

void BenchModel::begin_measuring(bool anew) {
    if (run().step().kind != StepKind::result) return;
    if (measuring()) {
        if (measured_ != chosen_)
            problem_ = "Another test is being measured; F5 measures this one after it.";
        return;
    }
    if (!anew && done() != nullptr) return;
    BenchOrder order;
    order.test = chosen_;
    order.texts = run().texts();
    order.steps = run().steps();
    for (const BenchStep& step : order.steps) {
        const auto take = run().takes().find(step.id);
        if (take != run().takes().end()) order.takes.insert(*take);
    }
    order.receiver = receiver_;
    if (!setup_.limits_file.empty()) {
        const auto limits = bench::Limits::read(setup_.limits_file);
        if (!limits) return say(limits.error());
        order.limits = *limits;
    }
    if (!setup_.chain_file.empty() && chosen_ != "chain") {
        const auto chain = bench::read_chain(setup_.chain_file);
        if (!chain) return say(chain.error());
        order.chain = *chain;
    }
    measured_ = chosen_;
    measured_changes_ = run().changes();
    logged_words_.clear();
    work_.start(std::move(order));
}

void BenchModel::take_result(Result<BenchDone> result, UtcTime now) {
    if (!result) {
        kept_.erase(measured_);
        const bool here = measured_ == chosen_;
        problem_ = (here ? "" : kind_named(measured_).title + ": ") + result.error().message;
        return;
    }
    Kept kept{*std::move(result), measured_changes_, 0};
    const auto entry = history_.keep(kept.done, setup_.who, setup_.receiver, now);
    if (entry) {
        kept.entry = *entry;
        logged_words_ = fmt::format("Entry {} of the log.", *entry);
    } else {
        logged_words_ = "Measured, but not logged: " + entry.error().message;
    }
    kept_.insert_or_assign(measured_, std::move(kept));
    ++results_;
    find_earlier();
}

void BenchModel::refresh(UtcTime now) {
    heard_ = user_->heard();
    if (!heard_.problem.empty() && !recorded_step_.empty()) {
        problem_ = heard_.problem;
        recorded_step_.clear();
    }
    if (auto take = user_->take_finished()) {
        if (!recorded_step_.empty()) {
            run().keep(recorded_step_, *std::move(take));
            run().go_on_in_series();
            problem_.clear();
        }
        recorded_step_.clear();
    }
    if (auto result = work_.result()) take_result(*std::move(result), now);
}

const BenchDone* BenchModel::done() const {
    const auto kept = kept_.find(chosen_);
    if (kept == kept_.end() || kept->second.of_changes != run().changes()) return nullptr;
    return &kept->second.done;
}

std::string BenchModel::progress_words() const {
    if (measuring()) return "Measuring …";
    if (heard_.listening == Listening::waiting) return "Waiting for the sound to begin.";
    if (heard_.listening == Listening::going) {
        const std::string lost =
            heard_.lost_s > 0.0 ? fmt::format("; {:.1f} s lost", heard_.lost_s) : "";
        const std::string off = off_at_s_ ? "; the set is off" : "";
        if (heard_.wanted_s > 0.0)
            return fmt::format("{:.0f} of {:.0f} s{}", heard_.seconds, heard_.wanted_s, lost);
        return fmt::format("{:.0f}:{:02.0f} min{}{}", std::floor(heard_.seconds / 60.0),
                           std::floor(std::fmod(heard_.seconds, 60.0)), lost, off);
    }
    const BenchStep& step = run().step();
    const auto take = run().takes().find(step.id);
    if (take != run().takes().end())
        return fmt::format("Recorded: {:.1f} s. F5 records it anew.", take->second.seconds);
    if (step.kind == StepKind::record) return fmt::format("F5 records {:g} s.", step.seconds);
    if (step.kind == StepKind::run) return "F5 begins, F5 ends.";
    if (step.kind == StepKind::look) return "Done? Alt+Right goes on.";
    return done() != nullptr ? verdict_words(done()->sheet, done()->kept) : "";
}

double BenchModel::progress() const {
    if (heard_.listening == Listening::going && heard_.wanted_s > 0.0)
        return std::clamp(heard_.seconds / heard_.wanted_s, 0.0, 1.0);
    const bool recorded = run().takes().contains(run().step().id);
    return recorded || done() != nullptr ? 1.0 : 0.0;
}

bench::Picture BenchModel::picture() const {
    const bool of_result = run().step().kind == StepKind::result;
    if (of_result && done() != nullptr) return done()->picture;
    return user_->picture();
}

std::vector<bench::Sheet> BenchModel::sheets() const {
    std::vector<bench::Sheet> sheets;
    for (const auto& [test, kept] : kept_) sheets.push_back(kept.done.sheet);
    return sheets;
}

void BenchModel::find_earlier() {
    changes_.clear();
    earlier_.clear();
    auto found = history_.earlier(chosen_, setup_.receiver);
    if (!found) {
        history_words_ = found.error().message;
        return;
    }
    earlier_ = *std::move(found);
    const std::string whose =
        setup_.receiver.empty() ? "receivers without a name" : setup_.receiver;
    history_words_ = earlier_.empty()
                         ? fmt::format("No result of this test is in the log for {}.", whose)
                         : fmt::format(
                               "Results of this test for {}; the newest is compared with "
                               "the one chosen.",
                               whose);
    if (earlier_.size() > 1) compare_with(earlier_[1].id);
}

void BenchModel::compare_with(std::int64_t id) {
    changes_.clear();
    const auto before = std::find_if(earlier_.begin(), earlier_.end(),
                                     [&](const log::Entry& entry) { return entry.id == id; });
    if (before == earlier_.end() || before == earlier_.begin()) return;
    const auto changes = log::compare_bench(*before, earlier_.front());
    if (changes) changes_ = change_rows(*changes);
}

Status BenchModel::save_result(const std::string& path) const {
    if (done() == nullptr) return nothing("result");
    return replace_file(path, bench::sheet_json(done()->sheet));
}

Status BenchModel::save_chain(const std::string& path) const {
    if (done() == nullptr || !done()->chain) return nothing("measured chain");
    return replace_file(path, bench::chain_toml(*done()->chain));
}

Status BenchModel::save_receiver(const std::string& path) const {
    if (done() == nullptr || !done()->corrected) return nothing("corrected chart");
    return replace_file(path, dial::receiver_toml(*done()->corrected));
}

}  // namespace skedlark::gui
