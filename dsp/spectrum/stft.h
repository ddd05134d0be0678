// Short-time power spectra, row by row.
//
// Stage:   spectrum. In: mono samples. Out: one row of size / 2 + 1 powers every hop samples.
// Units:   density: full scale squared (mean square) per hertz, one-sided; dbfs: a sine of peak 1.0
//          in the middle of a bin reads 0 dBFS, floor -200.
// Shape:   any number of samples a call; the same rows for any split.
// Time:    a row holds for the middle of its window: row_centre_frame().
// Errors:  create() returns invalid_value; process() cannot fail.
// Threads: one thread per instance; process() does not allocate.
// Source:  Welch, IEEE Trans. AU-15 (1967), without the mean over rows.
// Checked: tests/dsp/spectrum/stft_test.cpp, against the plain sum in double and scipy.signal.welch
#pragma once

#include <algorithm>
#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/units.h"
#include "dsp/spectrum/real_fft.h"
#include "dsp/spectrum/window.h"

namespace skedlark::spectrum {

enum class RowScale { density, dbfs };

struct StftConfig {
    double sample_rate_hz = kWorkRateHz;  // above 0
    int size = 512;                       // 8 to 65536
    int hop = 256;                        // 1 to size
    WindowKind window = WindowKind::hann;
    RowScale scale = RowScale::density;
};

class Stft {
 public:
    [[nodiscard]] static Result<Stft> create(const StftConfig& config);

    // Calls on_row(std::span<const float>) for each row that became complete.
    template <typename OnRow>
    void process(std::span<const float> audio, OnRow&& on_row) {
        while (!audio.empty()) {
            const std::size_t taken = std::min(audio.size(), samples_to_row());
            push(audio.first(taken));
            audio = audio.subspan(taken);
            if (row_due()) on_row(make_row());
        }
    }
    [[nodiscard]] int bins() const noexcept { return config_.size / 2 + 1; }
    [[nodiscard]] double bin_hz() const noexcept { return config_.sample_rate_hz / config_.size; }
    // Middle of the latest row, in samples since the start.
    [[nodiscard]] FrameIndex row_centre_frame() const noexcept { return count_ - config_.size / 2; }
    void reset() noexcept;  // as after create()

 private:
    Stft(const StftConfig& config, RealFft fft);
    [[nodiscard]] std::size_t samples_to_row() const noexcept {  // at least 1
        return static_cast<std::size_t>(next_row_at_ - count_);
    }
    [[nodiscard]] bool row_due() const noexcept { return next_row_at_ == count_; }
    void push(std::span<const float> audio) noexcept;  // no more than samples_to_row()
    std::span<const float> make_row() noexcept;

    StftConfig config_;
    RealFft fft_;
    Window window_;
    std::vector<float> ring_, row_;
    std::size_t oldest_ = 0;  // in the ring
    FrameIndex count_ = 0;
    FrameIndex next_row_at_ = 0;  // the count that makes it complete
    double scale_ = 1.0;
};

}  // namespace skedlark::spectrum
