// Expected calls in what is copied, with their odds.
//
// Stage:   watch. In: final characters of one tone, with their other readings. Out: the expected call
//          it most likely sent; a call that is none of them.
// Units:   confidence 0 to 1.
// Shape:   a character at a time; word gaps inside a call count for nothing.
// Time:    none of its own.
// Errors:  create() returns invalid_value: a call of fewer than 2 or more than 15 characters, or with
//          characters other than letters, figures and the stroke.
// Threads: one thread per instance.
// Source:  the product of the posteriors of its characters, the second and third readings included.
// Checked: tests/dsp/watch/call_match_test.cpp
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "dsp/core/events.h"
#include "dsp/core/result.h"

namespace skedlark::watch {

struct CallHeard {
    std::string call;
    double confidence = 0.0;
};

class CallMatch {
 public:
    // In any case; matched in capitals.
    [[nodiscard]] static Result<CallMatch> create(const std::vector<std::string>& calls);

    void add(const CharEvent& event);
    // The likeliest so far; empty where none is likelier than kLeast.
    static constexpr double kLeast = 0.2;
    [[nodiscard]] const std::optional<CallHeard>& expected() const { return expected_; }
    // What followed "DE" and is no expected call, where it was read well.
    [[nodiscard]] const std::optional<CallHeard>& other() const { return other_; }

 private:
    explicit CallMatch(std::vector<std::string> calls) : calls_(std::move(calls)) {}
    void look_for_calls();
    void end_word();

    std::vector<std::string> calls_;
    std::deque<std::map<std::string, double>> last_;  // readings of the latest characters
    std::string word_;
    double word_confidence_ = 1.0;
    bool after_de_ = false;
    std::optional<CallHeard> expected_, other_;
};

}  // namespace skedlark::watch
