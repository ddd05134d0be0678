// When the speed is looked for while it is not known, and checked afterwards.
//
// Stage:   copy, inside.
// Units:   baseband frames.
// Shape:   due(now) is asked each frame; after each scan plan() sets the next.
// Errors:  none.
// Threads: one thread per instance.
// Source:  common practice, no source: often at first, seldom when all goes well.
// Checked: tests/dsp/copy/scan_schedule_test.cpp
#pragma once

#include <cstddef>
#include <cstdint>

namespace skedlark::copy {

// How the text stands when a scan is planned: no speed known yet, read with doubts, read surely.
enum class Standing : std::uint8_t { unread, doubtful, sure };

class ScanSchedule {
 public:
    // Nothing is known from frame `now` on.
    void restart(std::int64_t now);
    // A speed was found: doubts about it are new ones.
    void found_speed();
    [[nodiscard]] bool due(std::int64_t now) const { return now >= next_; }
    // A scan is made now; sets when the next is due.
    void plan(std::int64_t now, Standing standing);
    // Nothing was said for long: a doubt, too, but never sooner than one check after the last.
    void doubt();

 private:
    std::int64_t since_ = 0, last_ = 0, next_ = 0;
    std::size_t scans_ = 0;
    double again_s_ = 0.0;  // while in doubt
};

// What is read is doubtful when so long nothing was said.
inline constexpr double kCheckDoubtS = 8.0;

}  // namespace skedlark::copy
