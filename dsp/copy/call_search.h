// Finds expected calls far below what can be read, because it is known what to look for.
//
// Stage:   copy. In: baseband frames of one followed tone. Out: CallFound.
// Units:   log odds in natural logarithms; seconds; wpm by PARIS.
// Shape:   any number of frames; the same for any split.
// Time:    a call is told within kCheckS of the moment its odds suffice, the same again after 30 s.
// Errors:  create() returns invalid_value: a call of other than 2 to 15 letters, figures and
//          strokes, more than kMostCalls of them, a speed out of range.
// Threads: one thread per instance.
// Source:  the odds of all explanations with the call in them against all without, over all speeds
//          and levels (call_lattice.h); speeds a tenth apart, each as likely.
// Checked: tests/dsp/copy/call_search_test.cpp; tests/accuracy/calls
#pragma once

#include <deque>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "dsp/copy/call_frames.h"
#include "dsp/copy/call_lattice.h"
#include "dsp/core/result.h"
#include "dsp/core/units.h"
#include "dsp/tone/frame.h"

namespace skedlark::copy {

inline constexpr int kMostCalls = 8;
inline constexpr double kCheckS = 0.25;

struct CallSearchConfig {
    std::vector<std::string> calls;  // 1 to kMostCalls; in any case
    double speed_wpm = 0.0;          // 0: 7 to 45; else within a third of it
    double least_log_odds = 3.0;     // told from here on; tried 3 to 9
};

struct CallFound {
    std::size_t call = 0;  // of those expected
    FrameIndex at_frame = 0;
    double log_odds = 0.0;
    double speed_wpm = 0.0;
};

// As create() checks them.
[[nodiscard]] Status check_calls(const std::vector<std::string>& calls);

class CallSearch {
 public:
    [[nodiscard]] static Result<CallSearch> create(const CallSearchConfig& config);

    // Appends what was found.
    void process(std::span<const tone::BasebandFrame> frames, std::vector<CallFound>& out);
    void reset();
    // That the call was sent a short while ago, against all else.
    [[nodiscard]] double log_odds(std::size_t call) const;
    [[nodiscard]] const std::vector<std::string>& calls() const { return config_.calls; }

 private:
    explicit CallSearch(CallSearchConfig config);
    void check(std::vector<CallFound>& out);
    // Rather this call than any that has one character another: by how much.
    [[nodiscard]] double over_near_calls(std::size_t call, double wpm) const;
    [[nodiscard]] double likeliest_wpm(std::size_t call) const;
    void level_speeds();

    struct Speed {
        double wpm;
        std::unique_ptr<CallLattice> lattice;
    };
    CallSearchConfig config_;
    std::vector<Speed> speeds_;
    CallFrames prepare_;
    std::vector<CallFrame> fresh_;
    std::deque<CallFrame> recent_;
    std::vector<FrameIndex> ask_again_at_, tell_again_at_;  // by call
    FrameIndex reached_ = 0;
    int since_check_ = 0;
    int since_levelled_ = 0;
};

}  // namespace skedlark::copy
