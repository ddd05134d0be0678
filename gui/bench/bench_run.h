// One test under way: which step, what was recorded, what was typed.
//
// Stage:   gui/bench, no Qt. In: steps gone, takes. Out: where it stands.
// Units:   audio at the work rate.
// Shape:   a step may be gone back to and its take made again; the others stay.
// Errors:  next(), go(): invalid_value in words where a step before is not done, or a field is wrong.
// Threads: one.
// Source:  none
// Checked: tests/desk/bench/bench_run_test.cpp
#pragma once

#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "dsp/bench/drift.h"
#include "dsp/bench/run_down.h"
#include "gui/bench/bench_steps.h"

namespace skedlark::gui {

// What one step has recorded.
struct BenchTake {
    std::shared_ptr<const std::vector<float>> audio{};  // of a step that records
    std::shared_ptr<bench::DriftMeter> drift{};         // of one that runs
    std::shared_ptr<bench::RunDownMeter> run_down{};
    double seconds = 0.0;
    double lost_s = 0.0;
    std::string input{};
    bool live = false;
};

class BenchRun {
 public:
    explicit BenchRun(const BenchKind& kind);

    [[nodiscard]] const BenchKind& kind() const { return *kind_; }
    [[nodiscard]] const std::vector<BenchStep>& steps() const { return steps_; }
    [[nodiscard]] std::size_t at() const { return at_; }
    [[nodiscard]] const BenchStep& step() const { return steps_[at_]; }
    [[nodiscard]] const FieldTexts& texts() const { return texts_; }
    [[nodiscard]] const std::map<std::string, BenchTake>& takes() const { return takes_; }

    // The steps follow. What is wrong is returned, and stands in the way of next() until it is mended.
    Status set_text(const std::string& key, const std::string& text);
    [[nodiscard]] bool is_done(std::size_t step) const;
    Status next();
    void back();
    Status go(std::size_t step);
    void keep(const std::string& step_id, BenchTake take);
    // Goes on to the next step where that records too and is not done yet, as in a series.
    void go_on_in_series();
    // Counts what results depend on: texts and takes.
    [[nodiscard]] int changes() const { return changes_; }

 private:
    Status make_steps();

    const BenchKind* kind_;
    FieldTexts texts_;
    std::vector<BenchStep> steps_;
    std::size_t at_ = 0;
    std::set<std::string> passed_;  // steps gone by Next
    std::map<std::string, BenchTake> takes_;
    int changes_ = 0;
};

}  // namespace skedlark::gui
