#include "dsp/copy/call_marks.h"

#include <algorithm>
#include <cmath>

#include "dsp/copy/log_tables.h"
#include "dsp/core/units.h"
#include "dsp/core/vector_clones.h"

namespace skedlark::copy {
namespace {

SKEDLARK_VECTOR_CLONES
void root_lengths(const LogTables& tables, float amplitude, const float* size, const float* weight,
                  float* out, int count) {
    const float power = amplitude * amplitude;
    const float twice = 2.0F * amplitude;
#pragma GCC ivdep
    for (int i = 0; i < count; ++i) {
        // A stronger tone says no more than one of this level: in proportion to the length, or a
        // dash would be worth less than two dots with a gap that is not there.
        const float heard = std::min(size[i], kMostLevel * amplitude * weight[i]);
        const float score = tables.log_bessel_i0(twice * heard) - power * weight[i];
        // The root of the ratio: the table ends at 80.
        out[i] = tables.exp(0.5F * std::min(std::max(score, kLeastLog), kMostLog));
    }
}

}  // namespace

CallMarks::CallMarks(int longest_steps)
    : longest_(longest_steps),
      steps_(static_cast<std::size_t>(longest_steps)),
      size_(static_cast<std::size_t>(longest_steps)),
      weight_(static_cast<std::size_t>(longest_steps)),
      root_(static_cast<std::size_t>(longest_steps)),
      ratios_(static_cast<std::size_t>(longest_steps) + 1) {}

void CallMarks::reset() {
    next_ = 0;
    std::fill(steps_.begin(), steps_.end(), CallFrame{});
}

void CallMarks::append(std::span<const CallFrame> frames) {
    CallFrame step;
    for (const CallFrame& frame : frames) {
        step.re += frame.re;
        step.im += frame.im;
        step.weight += frame.weight;
    }
    steps_[next_] = step;
    next_ = (next_ + 1) % steps_.size();
    score();
}

void CallMarks::score() {
    CallFrame sum;
    std::size_t at = next_;
    for (std::size_t i = 0; i < steps_.size(); ++i) {
        at = (at == 0 ? steps_.size() : at) - 1;
        sum.re += steps_[at].re;
        sum.im += steps_[at].im;
        sum.weight += steps_[at].weight;
        size_[i] = std::sqrt(sum.re * sum.re + sum.im * sum.im);
        weight_[i] = sum.weight;
    }
    for (std::size_t l = 0; l < kFrameEnergiesDb.size(); ++l) {
        const auto amplitude = static_cast<float>(std::sqrt(power_from_db(kFrameEnergiesDb[l])));
        root_lengths(log_tables(), amplitude, size_.data(), weight_.data(), root_.data(), longest_);
        for (std::size_t i = 0; i < steps_.size(); ++i)
            ratios_[i + 1].at[l] = static_cast<double>(root_[i]) * static_cast<double>(root_[i]);
    }
    for (std::size_t i = 1; i < ratios_.size(); ++i) {
        ratios_[i].at.back() = 0.0;
        ratios_[i].at.back() = ratios_[i].sum() / static_cast<double>(kFrameEnergiesDb.size());
    }
}

}  // namespace skedlark::copy
