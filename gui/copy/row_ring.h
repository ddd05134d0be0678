// Rows of the waterfall of the last ten minutes, as bytes.
//
// Stage:   gui/copy, no Qt. In: rows in dB over the noise. Out: rows by number, each with its time
//          and the pitch in its middle.
// Units:   a byte is 0 at kPaperDb over the noise and 255 at kFullDb; work-rate frames; hertz.
// Shape:   rows are numbered from 0 for ever; the last `capacity` are kept.
// Time:    frames as given.
// Errors:  none.
// Threads: one at a time; add() does not allocate.
// Source:  none
// Checked: tests/desk/copy/rings_test.cpp
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "dsp/core/units.h"

namespace skedlark::gui {

inline constexpr double kKeptS = 600.0;    // the last ten minutes, picture and audio
inline constexpr double kRowHopS = 0.032;  // 31 columns a second
inline constexpr int kRowPoints = 240;
// What noise reaches most of the time stays paper: tried 0 to 5 dB.
inline constexpr double kPaperDb = 3.0;
// Full ink: tried 12 to 24 dB, so that a tone at the limit of copying still shows.
inline constexpr double kFullDb = 18.0;

struct RowInfo {
    FrameIndex frame = 0;    // of its middle
    float middle_hz = 0.0F;  // of the wanted pitch then
    float span_hz = 0.0F;    // to each side
};

[[nodiscard]] std::uint8_t byte_of_db(float over_noise_db);

class RowRing {
 public:
    explicit RowRing(int capacity = static_cast<int>(kKeptS / kRowHopS), int points = kRowPoints);

    void add(const RowInfo& info, std::span<const std::uint8_t> bytes);
    void clear();
    [[nodiscard]] std::int64_t begin_row() const;  // first one kept
    [[nodiscard]] std::int64_t end_row() const { return end_; }
    [[nodiscard]] const RowInfo& info(std::int64_t row) const;
    [[nodiscard]] std::span<const std::uint8_t> bytes(std::int64_t row) const;
    // The first kept row at or after a frame; end_row() where there is none.
    [[nodiscard]] std::int64_t row_at(FrameIndex frame) const;

 private:
    [[nodiscard]] std::size_t slot(std::int64_t row) const;

    int capacity_;
    int points_;
    std::vector<RowInfo> infos_;
    std::vector<std::uint8_t> bytes_;
    std::int64_t end_ = 0;
    std::int64_t begin_ = 0;
};

}  // namespace skedlark::gui
