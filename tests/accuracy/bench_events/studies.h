// The studies of this folder: one function a measurement, each writes its tables.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "tests/support/csv.h"

namespace skedlark::accuracy {

struct StudyOptions {
    std::string folder{};  // empty: standard output
    std::vector<std::string> rows{};
    int seeds = 20;
    std::uint64_t first_seed = 1000;
    double hours = 0.0;
    double rate_hz = 48000.0;
    bool quick = false;
    bool verbose = false;
};

void deliver(const support::CsvTable& table, const StudyOptions& options, const std::string& name);

void contacts_study(const StudyOptions& options);
void drift_study(const StudyOptions& options);
void ring_study(const StudyOptions& options);
void passband_study(const StudyOptions& options);

}  // namespace skedlark::accuracy
