// When speeds are looked for and checked: the schedule is ours, the times are counted here by hand.
#include "dsp/copy/scan_schedule.h"

#include <gtest/gtest.h>

#include <vector>

#include "dsp/tone/frame.h"

namespace skedlark::copy {
namespace {

// Seconds of the scans in so many seconds from `from_s` on.
std::vector<double> scans(ScanSchedule& schedule, double from_s, double seconds,
                          Standing standing) {
    std::vector<double> out;
    const auto end = tone::frames_from_seconds(from_s + seconds);
    for (std::int64_t now = tone::frames_from_seconds(from_s); now < end; ++now) {
        if (schedule.due(now)) {
            out.push_back(static_cast<double>(now) / tone::kBasebandRateHz);
            schedule.plan(now, standing);
        }
    }
    return out;
}

TEST(ScanSchedule, LooksOftenAtFirstAndNeverGivesUp) {
    ScanSchedule schedule;
    schedule.restart(0);
    EXPECT_EQ(scans(schedule, 0.0, 40.0, Standing::unread),
              (std::vector<double>{3.0, 4.5, 6.0, 9.0, 13.0, 21.0, 29.0, 37.0}));
}

TEST(ScanSchedule, CountsFromWhereItWasRestarted) {
    ScanSchedule schedule;
    schedule.restart(tone::frames_from_seconds(100.0));
    EXPECT_EQ(scans(schedule, 100.0, 7.0, Standing::unread),
              (std::vector<double>{103.0, 104.5, 106.0}));
}

TEST(ScanSchedule, ChecksSeldomWhatIsSure) {
    ScanSchedule schedule;
    schedule.restart(0);
    EXPECT_EQ(scans(schedule, 0.0, 140.0, Standing::sure),
              (std::vector<double>{3.0, 13.0, 73.0, 133.0}));
}

TEST(ScanSchedule, ChecksWhatStaysDoubtfulLessAndLess) {
    ScanSchedule schedule;
    schedule.restart(0);
    scans(schedule, 0.0, 13.5, Standing::doubtful);
    EXPECT_EQ(scans(schedule, 13.5, 120.0, Standing::doubtful),
              (std::vector<double>{21.0, 37.0, 69.0, 101.0, 133.0}));
    schedule.found_speed();
    EXPECT_EQ(scans(schedule, 133.5, 60.0, Standing::doubtful),
              (std::vector<double>{165.0, 173.0, 189.0}));
}

TEST(ScanSchedule, SilenceIsADoubt) {
    ScanSchedule schedule;
    schedule.restart(0);
    scans(schedule, 0.0, 14.0, Standing::sure);
    schedule.doubt();
    EXPECT_EQ(scans(schedule, 14.0, 60.0, Standing::sure), (std::vector<double>{21.0}));
}

}  // namespace
}  // namespace skedlark::copy
