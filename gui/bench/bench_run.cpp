#include "gui/bench/bench_run.h"

#include <fmt/format.h>

#include <algorithm>

namespace skedlark::gui {

BenchRun::BenchRun(const BenchKind& kind) : kind_(&kind), texts_(standard_texts(kind)) {
    // The standard texts are right ones.
    if (auto steps = steps_of(kind, texts_)) steps_ = *std::move(steps);
}

Status BenchRun::set_text(const std::string& key, const std::string& text) {
    std::string& kept = texts_[key];
    if (kept != text) ++changes_;
    kept = text;
    return make_steps();
}

Status BenchRun::make_steps() {
    auto steps = steps_of(*kind_, texts_);
    if (!steps) return steps.error();
    const std::string id = steps_[at_].id;
    steps_ = *std::move(steps);
    // Where it stood, if that step is still there; else at the first not done.
    const auto same = std::find_if(steps_.begin(), steps_.end(),
                                   [&](const BenchStep& step) { return step.id == id; });
    at_ = same != steps_.end() ? static_cast<std::size_t>(same - steps_.begin()) : 0;
    for (std::size_t before = 0; before < at_; ++before) {
        if (!is_done(before)) at_ = before;
    }
    return Done{};
}

bool BenchRun::is_done(std::size_t step) const {
    const BenchStep& s = steps_[step];
    const bool passed = passed_.contains(s.id);
    if (s.kind == StepKind::look) return passed;
    if (s.kind == StepKind::result) return false;
    return takes_.contains(s.id) || (s.may_skip && passed);
}

Status BenchRun::next() {
    if (at_ + 1 >= steps_.size()) return Done{};
    const BenchStep& s = steps_[at_];
    const bool takes = s.kind == StepKind::record || s.kind == StepKind::run;
    if (takes && !takes_.contains(s.id) && !s.may_skip) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("Step {} has not been recorded yet: {}. F5 begins.", at_ + 1, s.title)};
    }
    if (const Status right = make_steps(); !right) return right;
    passed_.insert(steps_[at_].id);
    return go(at_ + 1);
}

void BenchRun::back() {
    if (at_ > 0) --at_;
}

Status BenchRun::go(std::size_t step) {
    if (step >= steps_.size()) return Done{};
    if (step > at_) {
        if (const Status right = make_steps(); !right) return right;
    }
    for (std::size_t before = 0; before < step; ++before) {
        if (is_done(before)) continue;
        return Error{ErrorCode::invalid_value,
                     fmt::format("Steps go in order: step {}, {}, comes before step {}, {}.",
                                 before + 1, steps_[before].title, step + 1, steps_[step].title)};
    }
    at_ = step;
    return Done{};
}

void BenchRun::keep(const std::string& step_id, BenchTake take) {
    takes_[step_id] = std::move(take);
    ++changes_;
}

void BenchRun::go_on_in_series() {
    const std::size_t next = at_ + 1;
    if (next < steps_.size() && steps_[at_].kind == StepKind::record &&
        steps_[next].kind == StepKind::record && !is_done(next)) {
        at_ = next;
    }
}

}  // namespace skedlark::gui
