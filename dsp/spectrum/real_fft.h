// Discrete Fourier transform of real input, and of complex input, in float.
//
// Stage:   spectrum; the only place where FFTW is called.
// Units:   unscaled sums: X[k] = sum x[n] exp(-2 pi i k n / size).
// Shape:   real: size floats in, size / 2 + 1 bins out; complex: size in, size out.
// Time:    none.
// Errors:  create() returns invalid_value for a size outside 2 to 2^22; transform() cannot fail.
// Threads: one thread per instance. create() and destruction take the one planner mutex, because in
//          FFTW only executing a plan is thread-safe; transform() does not allocate or lock.
// Source:  FFTW 3, estimated plans: quick to make and the same plan, so the same bits, at each run.
// Checked: tests/dsp/spectrum/real_fft_test.cpp, against the plain sum in double.
#pragma once

#include <complex>
#include <memory>
#include <span>

#include "dsp/core/result.h"

namespace skedlark::spectrum {

class RealFft {
 public:
    [[nodiscard]] static Result<RealFft> create(int size);
    RealFft(RealFft&&) noexcept;
    RealFft& operator=(RealFft&&) noexcept;
    ~RealFft();

    [[nodiscard]] int size() const noexcept { return size_; }
    [[nodiscard]] int bins() const noexcept { return size_ / 2 + 1; }
    // Write here, then transform(); the input survives it.
    [[nodiscard]] std::span<float> input() noexcept;
    // The bins stay valid until the next transform().
    std::span<const std::complex<float>> transform() noexcept;

 private:
    struct Plan;
    RealFft(int size, std::unique_ptr<Plan> plan);
    int size_;
    std::unique_ptr<Plan> plan_;
};

class ComplexFft {
 public:
    [[nodiscard]] static Result<ComplexFft> create(int size);
    ComplexFft(ComplexFft&&) noexcept;
    ComplexFft& operator=(ComplexFft&&) noexcept;
    ~ComplexFft();

    [[nodiscard]] int size() const noexcept { return size_; }
    [[nodiscard]] std::span<std::complex<float>> input() noexcept;
    std::span<const std::complex<float>> transform() noexcept;

 private:
    struct Plan;
    ComplexFft(int size, std::unique_ptr<Plan> plan);
    int size_;
    std::unique_ptr<Plan> plan_;
};

}  // namespace skedlark::spectrum
