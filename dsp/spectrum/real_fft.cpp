#include "dsp/spectrum/real_fft.h"

#include <fftw3.h>

#include <mutex>
#include <string>

namespace skedlark::spectrum {
namespace {

constexpr int kMaxSize = 1 << 22;

std::mutex& planner_mutex() {
    static std::mutex mutex;
    return mutex;
}

struct FftwFree {
    void operator()(void* memory) const { fftwf_free(memory); }
};

// One plan with the arrays it was made for; a plan may run on no others.
template <typename In, typename Out>
struct FftwPlan {
    FftwPlan(std::size_t in_count, std::size_t out_count)
        : in(static_cast<In*>(fftwf_malloc(sizeof(In) * in_count))),
          out(static_cast<Out*>(fftwf_malloc(sizeof(Out) * out_count))) {
        std::fill_n(in.get(), in_count, In{});
    }
    ~FftwPlan() {
        const std::lock_guard lock(planner_mutex());
        fftwf_destroy_plan(plan);
    }
    FftwPlan(const FftwPlan&) = delete;
    FftwPlan& operator=(const FftwPlan&) = delete;

    std::unique_ptr<In, FftwFree> in;
    std::unique_ptr<Out, FftwFree> out;
    fftwf_plan plan = nullptr;
};

Status check_size(int size) {
    if (size < 2 || size > kMaxSize) {
        return Error{ErrorCode::invalid_value, "transform size " + std::to_string(size) +
                                                   " is outside 2 to " + std::to_string(kMaxSize)};
    }
    return Done{};
}

// std::complex<float> and fftwf_complex have the same layout (both standards promise it).
fftwf_complex* as_fftw(std::complex<float>* values) {
    return reinterpret_cast<fftwf_complex*>(values);
}

}  // namespace

struct RealFft::Plan : FftwPlan<float, std::complex<float>> {
    explicit Plan(int size)
        : FftwPlan(static_cast<std::size_t>(size), static_cast<std::size_t>(size / 2 + 1)) {
        const std::lock_guard lock(planner_mutex());
        plan = fftwf_plan_dft_r2c_1d(size, in.get(), as_fftw(out.get()),
                                     FFTW_ESTIMATE | FFTW_PRESERVE_INPUT);
    }
};

struct ComplexFft::Plan : FftwPlan<std::complex<float>, std::complex<float>> {
    explicit Plan(int size)
        : FftwPlan(static_cast<std::size_t>(size), static_cast<std::size_t>(size)) {
        const std::lock_guard lock(planner_mutex());
        plan = fftwf_plan_dft_1d(size, as_fftw(in.get()), as_fftw(out.get()), FFTW_FORWARD,
                                 FFTW_ESTIMATE | FFTW_PRESERVE_INPUT);
    }
};

Result<RealFft> RealFft::create(int size) {
    if (auto checked = check_size(size); !checked) return checked.error();
    return RealFft(size, std::make_unique<Plan>(size));
}

RealFft::RealFft(int size, std::unique_ptr<Plan> plan) : size_(size), plan_(std::move(plan)) {}
RealFft::RealFft(RealFft&&) noexcept = default;
RealFft& RealFft::operator=(RealFft&&) noexcept = default;
RealFft::~RealFft() = default;

std::span<float> RealFft::input() noexcept {
    return {plan_->in.get(), static_cast<std::size_t>(size_)};
}

std::span<const std::complex<float>> RealFft::transform() noexcept {
    fftwf_execute(plan_->plan);
    return {plan_->out.get(), static_cast<std::size_t>(bins())};
}

Result<ComplexFft> ComplexFft::create(int size) {
    if (auto checked = check_size(size); !checked) return checked.error();
    return ComplexFft(size, std::make_unique<Plan>(size));
}

ComplexFft::ComplexFft(int size, std::unique_ptr<Plan> plan)
    : size_(size), plan_(std::move(plan)) {}
ComplexFft::ComplexFft(ComplexFft&&) noexcept = default;
ComplexFft& ComplexFft::operator=(ComplexFft&&) noexcept = default;
ComplexFft::~ComplexFft() = default;

std::span<std::complex<float>> ComplexFft::input() noexcept {
    return {plan_->in.get(), static_cast<std::size_t>(size_)};
}

std::span<const std::complex<float>> ComplexFft::transform() noexcept {
    fftwf_execute(plan_->plan);
    return {plan_->out.get(), static_cast<std::size_t>(size_)};
}

}  // namespace skedlark::spectrum
