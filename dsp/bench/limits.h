// Limits that a measurement must keep, and whether it does.
//
// Stage:   bench. In: TOML, measurements. Out: Limits, Judgement.
// Units:   those in the measurement's name.
// Shape:   one table a test, one field a measurement: sinad_db = { min = 20.0 } or { max = 3.0 } or both.
// Time:    none.
// Errors:  invalid_value or damaged naming file, line and field, with the names that are allowed.
// Threads: pure.
// Source:  limits of the project's own, marked so: no standard gives any for a rebuilt set of this kind.
// Checked: tests/dsp/bench/limits_test.cpp
#pragma once

#include <toml++/toml.h>

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "dsp/bench/report.h"
#include "dsp/core/result.h"

namespace skedlark::bench {

struct Limit {
    std::optional<double> min{};
    std::optional<double> max{};
    bool own = false;  // the project's own, not of the person's file
};

// A measurement a test may give. To add a test, add its rows to the table in limits.cpp.
struct MeasurementKind {
    std::string_view test;
    std::string_view name;
    Limit limit{};  // as it holds without a file; mostly none
};
[[nodiscard]] std::span<const MeasurementKind> measurement_kinds();

class Limits {
 public:
    // The project's own.
    Limits();
    // Those of a file; what it does not name keeps the project's own.
    [[nodiscard]] static Result<Limits> read(const std::string& path);
    [[nodiscard]] static Result<Limits> parse(std::string_view text, const std::string& file);

    // Empty where there is none.
    [[nodiscard]] std::optional<Limit> of(std::string_view test, std::string_view name) const;

 private:
    [[nodiscard]] static Result<Limits> of_table(const toml::table& table, const std::string& path);
    std::map<std::string, Limit, std::less<>> limits_;  // by "test.name"
};

struct Judgement {
    std::optional<bool> pass{};  // empty: a bound that does not settle it
    bool sure = true;            // the whole 95 % interval lies on the same side
};
[[nodiscard]] Judgement judge(const Measurement& measurement, const Limit& limit);

}  // namespace skedlark::bench
