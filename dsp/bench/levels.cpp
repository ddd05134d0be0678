#include "dsp/bench/levels.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "dsp/core/csv.h"
#include "dsp/core/text_file.h"

namespace skedlark::bench {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr double kEmfDb = 6.020599913279624;  // twice the volts, matched
constexpr double kMinDbm = -180.0;
constexpr double kMaxDbm = 30.0;

struct Columns {
    bool timed = true;
    enum { dbm, microvolt, microvolt_emf } level = dbm;
    bool mhz = false;
};

class Reader {
 public:
    explicit Reader(const std::string& file) : file_(file) {}

    Status take(std::string_view line, int number) {
        line_ = number;
        const auto fields = csv::fields_of(line);
        return columns_ ? take_step(fields) : take_heading(fields);
    }
    Result<std::vector<LevelStep>> end() {
        if (!columns_) return wrong("holds no heading; allowed: seconds,dbm");
        if (steps_.empty()) return wrong("holds no step");
        if (const Status right = check_levels(); !right) return right.error();
        return steps_;
    }

 private:
    [[nodiscard]] Error wrong(const std::string& what) const {
        return {ErrorCode::invalid_value, fmt::format("{}:{}: {}", file_, line_, what)};
    }
    Status take_heading(const std::vector<std::string_view>& fields) {
        Columns columns;
        const bool first = fields[0] == "seconds" || fields[0] == "step";
        const bool second = fields.size() > 1 && (fields[1] == "dbm" || fields[1] == "microvolt" ||
                                                  fields[1] == "microvolt_emf");
        const bool third = fields.size() < 3 || (fields.size() == 3 && fields[2] == "mhz");
        if (!first || !second || !third) {
            return wrong(
                "the heading must name the columns: seconds or step, then dbm, microvolt or "
                "microvolt_emf, then mhz where there are several points");
        }
        columns.timed = fields[0] == "seconds";
        columns.level = fields[1] == "dbm"         ? Columns::dbm
                        : fields[1] == "microvolt" ? Columns::microvolt
                                                   : Columns::microvolt_emf;
        columns.mhz = fields.size() == 3;
        columns_ = columns;
        return Done{};
    }
    Status take_step(const std::vector<std::string_view>& fields) {
        const std::size_t wanted = columns_->mhz ? 3 : 2;
        const bool ends = fields.size() > 1 && fields[1] == "end";
        if (fields.size() != wanted && !(ends && fields.size() == 2))
            return wrong(fmt::format("{} columns; the heading names {}", fields.size(), wanted));
        if (ended_) return wrong("stands behind the end");
        LevelStep step;
        step.line = line_;
        const auto at = csv::number(fields[0]);
        if (!at) return wrong(fmt::format("'{}' is no number", fields[0]));
        if (columns_->timed) {
            if (*at < 0.0 || *at > 86400.0)
                return wrong(fmt::format("seconds: {}; allowed: 0 to 86400", *at));
            if (!steps_.empty() && *at <= *steps_.back().from_s) {
                return wrong(fmt::format("steps out of order: {} s stands behind {} s", *at,
                                         *steps_.back().from_s));
            }
            if (!steps_.empty()) steps_.back().to_s = *at;
            step.from_s = *at;
        } else if (*at != static_cast<double>(steps_.size() + 1)) {
            return wrong(fmt::format("steps out of order: step {} where {} is due", fields[0],
                                     steps_.size() + 1));
        }
        if (ends) {
            ended_ = true;
            return Done{};
        }
        if (const Status level = take_level(fields[1], step); !level) return level;
        if (columns_->mhz) {
            step.mhz = csv::number(fields[2]);
            if (!step.mhz || *step.mhz < 0.01 || *step.mhz > 1000.0)
                return wrong(fmt::format("mhz: '{}'; allowed: 0.01 to 1000", fields[2]));
        }
        steps_.push_back(step);
        return Done{};
    }
    Status take_level(std::string_view text, LevelStep& step) {
        if (text == "off") return Done{};
        if (text.empty())
            return wrong("the generator's level is missing; allowed: a number, off, end");
        const auto level = csv::number(text);
        if (!level) return wrong(fmt::format("level '{}'; allowed: a number, off, end", text));
        if (columns_->level != Columns::dbm && *level <= 0.0)
            return wrong(fmt::format("{} microvolt; allowed: above 0, or off", *level));
        step.dbm = columns_->level == Columns::dbm ? *level : dbm_from_microvolt(*level);
        if (columns_->level == Columns::microvolt_emf) *step.dbm -= kEmfDb;
        if (*step.dbm < kMinDbm || *step.dbm > kMaxDbm) {
            return wrong(
                fmt::format("{:.1f} dBm; allowed: {} to {} dBm", *step.dbm, kMinDbm, kMaxDbm));
        }
        return Done{};
    }
    Status check_levels() {
        std::map<double, double> last;
        for (const LevelStep& step : steps_) {
            if (!step.dbm) continue;
            const auto [entry, first] = last.try_emplace(step.mhz.value_or(0.0), *step.dbm);
            line_ = step.line;
            if (!first && *step.dbm <= entry->second) {
                return wrong(
                    fmt::format("levels must rise from step to step: {:.2f} dBm stands behind "
                                "{:.2f} dBm",
                                *step.dbm, entry->second));
            }
            entry->second = *step.dbm;
        }
        return Done{};
    }

    const std::string& file_;
    std::optional<Columns> columns_;
    std::vector<LevelStep> steps_;
    bool ended_ = false;
    int line_ = 0;
};

}  // namespace

double dbm_from_microvolt(double microvolt) {
    const double volts = microvolt * 1e-6;
    return 10.0 * std::log10(volts * volts / 50.0 * 1e3);
}
double microvolt_from_dbm(double dbm) {
    return 1e6 * std::sqrt(50.0 * 1e-3 * std::pow(10.0, 0.1 * dbm));
}

Result<std::vector<LevelStep>> parse_levels(std::string_view text, const std::string& file) {
    Reader reader(file);
    const Status read =
        csv::each_line(text, [&](std::string_view line, int at) { return reader.take(line, at); });
    if (!read) return read.error();
    return reader.end();
}

Result<std::vector<LevelStep>> read_levels(const std::string& path) {
    const auto text = skedlark::read_text_file(path, kMaxBytes);
    if (!text) return text.error();
    return parse_levels(*text, path);
}

}  // namespace skedlark::bench
