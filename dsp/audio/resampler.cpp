#include "dsp/audio/resampler.h"

#include <fmt/format.h>
#include <soxr.h>

#include <algorithm>
#include <cassert>
#include <cmath>

#include "dsp/audio/source.h"

namespace skedlark::audio {
namespace {

// The library's default of 17 gathers up to 158 ms before it gives anything; with 10 it is 73 ms at
// the same speed and quality (resampler_test, LagsLittle, moves with it).
constexpr unsigned kLog2LargestDft = 10;

soxr_t handle_of(void* pointer) { return static_cast<soxr_t>(pointer); }

}  // namespace

void Resampler::SoxrDeleter::operator()(void* handle) const noexcept {
    soxr_delete(handle_of(handle));
}

Result<Resampler> Resampler::create(double in_rate_hz, double out_rate_hz) {
    for (const double rate_hz : {in_rate_hz, out_rate_hz}) {
        if (!(rate_hz >= kMinSampleRateHz && rate_hz <= kMaxSampleRateHz)) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("sample rate {} Hz is outside {} to {} Hz", rate_hz,
                                     kMinSampleRateHz, kMaxSampleRateHz)};
        }
    }
    Resampler made(in_rate_hz, out_rate_hz);
    if (in_rate_hz == out_rate_hz) return made;

    const soxr_io_spec_t io = soxr_io_spec(SOXR_FLOAT32_I, SOXR_FLOAT32_I);
    const soxr_quality_spec_t quality = soxr_quality_spec(SOXR_HQ, 0);
    soxr_runtime_spec_t runtime = soxr_runtime_spec(1);
    runtime.log2_large_dft_size = kLog2LargestDft;
    soxr_error_t error = nullptr;
    made.soxr_.reset(soxr_create(in_rate_hz, out_rate_hz, 1, &error, &io, &quality, &runtime));
    if (error != nullptr || !made.soxr_) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("cannot resample from {} Hz to {} Hz: {}", in_rate_hz, out_rate_hz,
                                 error != nullptr ? error : "no memory")};
    }
    return made;
}

Resampler::Progress Resampler::process(std::span<const float> in, std::span<float> out) noexcept {
    if (!soxr_) {
        const std::size_t count = std::min(in.size(), out.size());
        std::copy_n(in.begin(), count, out.begin());
        return {static_cast<int>(count), static_cast<int>(count)};
    }
    if (out.empty()) return {};
    static const float nothing = 0.0F;  // a null input would mean the end of the stream
    std::size_t taken = 0;
    std::size_t written = 0;
    const soxr_error_t error =
        soxr_process(handle_of(soxr_.get()), in.empty() ? &nothing : in.data(), in.size(), &taken,
                     out.data(), out.size(), &written);
    assert(error == nullptr);
    static_cast<void>(error);
    taken_ += static_cast<FrameIndex>(taken);
    written_ += static_cast<FrameIndex>(written);
    return {static_cast<int>(taken), static_cast<int>(written)};
}

FrameIndex Resampler::due_frames() const {
    // The small slack keeps a product that is whole but for rounding from counting one frame more.
    return static_cast<FrameIndex>(std::ceil(static_cast<double>(taken_) * out_ / in_ - 1e-6));
}

int Resampler::flush(std::span<float> out) noexcept {
    if (!soxr_ || out.empty()) return 0;
    const FrameIndex missing = due_frames() - written_;
    if (missing <= 0) return 0;
    out = out.first(std::min(out.size(), static_cast<std::size_t>(missing)));
    std::size_t written = 0;
    const soxr_error_t error =
        soxr_process(handle_of(soxr_.get()), nullptr, 0, nullptr, out.data(), out.size(), &written);
    assert(error == nullptr);
    static_cast<void>(error);
    // The library may round the last fraction of a frame away: nothing sounds there.
    if (written == 0) {
        std::fill(out.begin(), out.end(), 0.0F);
        written = out.size();
    }
    written_ += static_cast<FrameIndex>(written);
    return static_cast<int>(written);
}

void Resampler::reset() noexcept {
    if (soxr_) soxr_clear(handle_of(soxr_.get()));
    taken_ = 0;
    written_ = 0;
}

}  // namespace skedlark::audio
