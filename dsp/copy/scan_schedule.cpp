#include "dsp/copy/scan_schedule.h"

#include <algorithm>
#include <iterator>

#include "dsp/tone/frame.h"

namespace skedlark::copy {
namespace {

// Seconds of audio after which the speed is looked for, then every kScanAgainS.
constexpr double kScanAtS[] = {3.0, 4.5, 6.0, 9.0, 13.0};
constexpr double kScanAgainS = 8.0;
// A known speed is checked this often.
constexpr double kCheckAgainS = 60.0;
// In doubt first after kCheckDoubtS, then after twice as long each time that no other speed was
// found, for a poor hand stays doubtful.
constexpr double kCheckDoubtMostS = 32.0;

}  // namespace

void ScanSchedule::restart(std::int64_t now) {
    since_ = last_ = now;
    scans_ = 0;
    next_ = now + tone::frames_from_seconds(kScanAtS[0]);
    again_s_ = kCheckDoubtS;
}

void ScanSchedule::found_speed() { again_s_ = kCheckDoubtS; }

void ScanSchedule::plan(std::int64_t now, Standing standing) {
    last_ = now;
    ++scans_;
    if (standing == Standing::sure) {
        scans_ = std::max(scans_, std::size(kScanAtS) - 1);  // only the last of the early ones
    }
    if (scans_ < std::size(kScanAtS)) {
        next_ = since_ + tone::frames_from_seconds(kScanAtS[scans_]);
        return;
    }
    const double wait_s = standing == Standing::unread     ? kScanAgainS
                          : standing == Standing::doubtful ? again_s_
                                                           : kCheckAgainS;
    again_s_ =
        standing == Standing::doubtful ? std::min(2.0 * again_s_, kCheckDoubtMostS) : kCheckDoubtS;
    next_ = now + tone::frames_from_seconds(wait_s);
}

void ScanSchedule::doubt() {
    next_ = std::min(next_, last_ + tone::frames_from_seconds(kCheckDoubtS));
}

}  // namespace skedlark::copy
