// All the Bench page knows: the tests under way, what is heard, results, history, what is wrong.
//
// Stage:   gui/bench, no Qt. In: what the person does, the hub's audio. Out: what the page shows.
// Units:   in the names.
// Shape:   each test keeps its own steps and takes while others are looked at.
// Time:    refresh() takes what is finished; it is asked 30 times a second.
// Errors:  stand in problem() until the next thing done.
// Threads: the window's; the user is the hub's.
// Source:  none
// Checked: tests/desk/bench/bench_model_test.cpp
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/receiver.h"
#include "gui/bench/bench_history.h"
#include "gui/bench/bench_rows.h"
#include "gui/bench/bench_user.h"
#include "gui/bench/bench_work.h"

namespace skedlark::gui {

// Files and names that hold for every test; empty: none.
struct BenchSetup {
    std::string limits_file{};
    std::string chain_file{};
    std::string log_file{};
    std::string who{};
    std::string receiver{};
};

class BenchModel {
 public:
    BenchModel();
    ~BenchModel();

    [[nodiscard]] std::shared_ptr<BenchUser> user() const { return user_; }
    void set_setup(const BenchSetup& setup);
    [[nodiscard]] const BenchSetup& setup() const { return setup_; }
    void set_receiver(const std::optional<dial::Receiver>& receiver);

    // Another test; what was being recorded of this one is given up.
    void choose(const std::string& test);
    [[nodiscard]] BenchRun& run() { return runs_.at(chosen_); }
    [[nodiscard]] const BenchRun& run() const { return runs_.at(chosen_); }
    // "", "under way", "pass", "FAIL", "measured"
    [[nodiscard]] std::string state_of(const std::string& test) const;

    void set_text(const std::string& key, const std::string& text);
    void next();
    void back();
    void go(std::size_t step);
    // Begins the recording of this step, or stops it. file_input: the sound is a file; true is returned
    // where it is to be begun anew.
    bool start_or_stop(bool audio_runs, bool file_input);
    void cancel();
    [[nodiscard]] bool listening() const { return heard_.listening != Listening::idle; }
    void mark_supply(bench::Supply supply);
    void mark_off();
    void mark_on();
    void release_peak() { user_->release_peak(); }

    void refresh(UtcTime now);

    [[nodiscard]] const BenchHeard& heard() const { return heard_; }
    [[nodiscard]] bool measuring() const { return work_.working(); }
    [[nodiscard]] const BenchDone* done() const;  // of this test as it stands; else nullptr
    [[nodiscard]] const std::string& problem() const { return problem_; }
    [[nodiscard]] std::string progress_words() const;
    [[nodiscard]] double progress() const;  // 0 to 1
    [[nodiscard]] bench::Picture picture() const;
    [[nodiscard]] const std::string& logged_words() const { return logged_words_; }
    [[nodiscard]] std::vector<bench::Sheet> sheets() const;  // results so far, of all tests
    [[nodiscard]] int results() const { return results_; }   // counts results that came

    // Of this test and receiver; which of them it is compared with. Empty text: nothing is compared.
    [[nodiscard]] const std::vector<log::Entry>& earlier() const { return earlier_; }
    void compare_with(std::int64_t id);
    [[nodiscard]] const std::vector<ChangeRow>& changes() const { return changes_; }
    [[nodiscard]] const std::string& history_words() const { return history_words_; }

    // JSON Lines; a chain file; a receiver file. Each where the result has it.
    [[nodiscard]] Status save_result(const std::string& path) const;
    [[nodiscard]] Status save_chain(const std::string& path) const;
    [[nodiscard]] Status save_receiver(const std::string& path) const;

 private:
    struct Kept {
        BenchDone done{};
        int of_changes = -1;  // of the run it is of
        std::int64_t entry = 0;
    };
    Status begin_step(bool file_input);
    // anew: also where nothing has changed since.
    void begin_measuring(bool anew);
    void take_result(Result<BenchDone> result, UtcTime now);
    void find_earlier();
    void say(const Status& status);

    std::shared_ptr<BenchUser> user_;
    BenchWork work_;
    std::map<std::string, BenchRun> runs_;
    std::map<std::string, Kept> kept_;
    std::string chosen_;
    std::string measured_;  // the test being measured
    int measured_changes_ = -1;
    std::string recorded_step_;
    BenchSetup setup_;
    BenchHistory history_;
    std::optional<dial::Receiver> receiver_;
    BenchHeard heard_;
    std::optional<double> off_at_s_{};
    std::string problem_, logged_words_, history_words_;
    std::vector<log::Entry> earlier_;
    std::vector<ChangeRow> changes_;
    int results_ = 0;
};

}  // namespace skedlark::gui
