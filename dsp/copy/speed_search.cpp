#include "dsp/copy/speed_search.h"

#include <algorithm>
#include <cmath>

#include "dsp/copy/level_tracker.h"
#include "dsp/core/units.h"

namespace skedlark::copy {
namespace {

// Levels tried around the one the excess power suggests, dB: upwards while that helps, then
// downwards until one is sure (a raw note shows little of its power at a time).
constexpr double kScanUpDb[] = {0.0, 2.5, 5.0};
constexpr double kScanDownDb[] = {-2.0, -6.0};
// Evidence against noise, in natural logarithms, before anything is read.
constexpr double kLeastEvidence = 14.0;
// With less at the likeliest level other levels are not worth trying.
constexpr double kHopelessEvidence = 2.0;
// Share of the posterior that must lie within kSameSpeed of the best speed, or kSureAfterS have
// passed.
constexpr double kSpeedSure = 0.97;
constexpr double kSameSpeed = 0.12;
constexpr double kSureAfterS = 8.0;

double log_evidence(const SpeedScan& scan) { return scan.scores.front().log_evidence; }

// How far Morse is ahead of noise and of keying without Morse lengths.
double lead(const SpeedScan& scan) {
    return log_evidence(scan) - std::max(0.0, scan.stray_evidence);
}

}  // namespace

FoundSpeed find_speed(MarkEvidence& evidence, std::int64_t from, const SpeedRange& range) {
    const std::int64_t now = evidence.size();
    const double guess = excess_amplitude(evidence, from, now);
    FoundSpeed best;
    const auto take_if = [&](double db, const auto& score) {
        const double tried = guess * amplitude_from_db(db);
        evidence.relevel(from, tried);
        SpeedScan scan = scan_speeds(evidence, from, now, range);
        if (!best.scan.scores.empty() && score(scan) <= score(best.scan)) {
            return false;
        }
        best = {std::move(scan), tried};
        return true;
    };
    for (const double db : kScanUpDb) {
        if (!take_if(db, log_evidence) || log_evidence(best.scan) < kHopelessEvidence) {
            break;
        }
    }
    // Evidence grows as the level falls, whatever is sent; its lead over other keying does not.
    for (const double db : kScanDownDb) {
        if (is_sure(best.scan, now - from) || log_evidence(best.scan) < kHopelessEvidence) {
            break;
        }
        take_if(db, lead);
    }
    return best;
}

bool is_sure(const SpeedScan& scan, std::int64_t frames) {
    if (lead(scan) < kLeastEvidence) {
        return false;
    }
    const SpeedScore& best = scan.scores.front();
    double near = 0.0, all = 0.0;
    for (const SpeedScore& score : scan.scores) {
        const double share = std::exp(score.log_evidence - best.log_evidence);
        all += share;
        near += std::abs(std::log(score.dot_frames / best.dot_frames)) < kSameSpeed ? share : 0.0;
    }
    return near > kSpeedSure * all ||
           static_cast<double>(frames) >= kSureAfterS * tone::kBasebandRateHz;
}

}  // namespace skedlark::copy
