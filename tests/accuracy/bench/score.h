// Errors of one figure over many seeds: bias, spread, worst, and how often its interval holds the
// truth.
//
// Stage:   tests. In: figures and their truth. Out: one line of CSV.
// Units:   those of the figure.
// Checked: by the smoke test of tests/accuracy/bench/CMakeLists.txt
#pragma once

#include <string>
#include <vector>

#include "dsp/bench/figure.h"

namespace skedlark::accuracy {

class Score {
 public:
    void add(const bench::Figure& figure, double truth);
    void fail() { ++failed_; }
    // "seeds,failed,bias,rms,95 % of errors within,worst,coverage,mean uncertainty"
    [[nodiscard]] std::string line() const;
    [[nodiscard]] double rms() const;

 private:
    std::vector<double> errors_;
    std::vector<double> uncertainties_;
    int held_ = 0;
    int failed_ = 0;
};

inline constexpr const char* kScoreHeading =
    "test,condition,figure,seeds,failed,bias,rms,within_95,worst,coverage,mean_uncertainty_95";

}  // namespace skedlark::accuracy
