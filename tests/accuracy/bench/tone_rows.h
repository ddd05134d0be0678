// Rows of the bench study, one function a test.
//
// Stage:   tests. In: how many seeds, from which. Out: CSV on standard output.
#pragma once

#include <cstdint>
#include <string>

namespace skedlark::accuracy {

struct StudyRun {
    int seeds = 100;
    std::uint64_t first_seed = 1000;
    std::string rows{};  // only those whose condition holds this

    [[nodiscard]] bool wants(const std::string& condition) const {
        return condition.find(rows) != std::string::npos;
    }
};

void tone_rows(const StudyRun& study);
void sensitivity_rows(const StudyRun& study);
void hum_rows(const StudyRun& study);

}  // namespace skedlark::accuracy
