// Is a stated confidence true? Of the characters shown at 90 %, are nine in ten right?
//
// Stage:   tests. In: confidence of each copied character and whether it was right.
// Units:   probabilities, 0 to 1.
// Errors:  no characters give zeros.
// Threads: none.
// Source:  calibration error: Guo et al., ICML 2017; bins of equal count: Nixon et al., CVPR
//          workshops 2019; score: Brier, Monthly Weather Review 78 (1950) 1-3.
// Checked: tests/support/reliability_test.cpp
#pragma once

#include <vector>

namespace skedlark::support {

struct Judged {
    double confidence = 0.0;
    bool right = false;
};

struct ReliabilityBin {
    double mean_confidence = 0.0;
    double share_right = 0.0;
    long count = 0;
};

struct Reliability {
    long count = 0;
    double share_right = 0.0;
    double calibration_error = 0.0;    // mean over characters of |confidence - share right| by bin
    double brier = 0.0;                // mean square of confidence minus (right ? 1 : 0)
    double brier_constant = 0.0;       // the same for the best constant: p (1 - p)
    double errors_below_0_8 = 0.0;     // share of the wrong characters with confidence below 0.8
    std::vector<ReliabilityBin> bins;  // by rising confidence, counts differ by at most one
    // How much better than the constant: 1 perfect, 0 no better, below 0 worse.
    [[nodiscard]] double brier_skill() const;
};

[[nodiscard]] Reliability reliability(std::vector<Judged> judged, int bins = 10);

}  // namespace skedlark::support
