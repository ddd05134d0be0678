// Rows of the bench study, one function a test.
//
// Stage:   tests. In: how many seeds, from which. Out: CSV on standard output.
#pragma once

#include <cstdint>

namespace skedlark::accuracy {

struct StudyRun {
    int seeds = 100;
    std::uint64_t first_seed = 1000;
};

void tone_rows(const StudyRun& study);

}  // namespace skedlark::accuracy
