#include "dsp/bench/response_points.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"
#include "dsp/spectrum/real_fft.h"
#include "dsp/spectrum/window.h"

namespace skedlark::bench {
namespace {

constexpr double kEndsS = 0.04;
constexpr double kShortestStepS = 0.2;
constexpr double kSweepFrameS = 0.1;
constexpr double kShortestNoiseS = 10.0;
constexpr double kLowestHz = 40.0;
// A line this far over the noise in its own width is one: of a thousand bins noise reaches 10.
constexpr double kLeastOverNoise = 20.0;
constexpr double kSecondTone = 0.1;
constexpr double kDbPerNeper = 4.342944819032518;  // of power
constexpr double kMostPitchHz = 20000.0;

struct Line {
    double hz = 0.0;
    double power = 0.0;  // mean square of the tone
    double relative_sd = 0.0;
    double over_noise_db = 0.0;
    double second_hz = 0.0;
    bool there = false;
};

class LineMeter {
 public:
    static Result<LineMeter> create(std::size_t frames, double rate_hz) {
        int size = 256;
        while (static_cast<std::size_t>(size) < frames) size *= 2;
        auto fft = spectrum::RealFft::create(size);
        if (!fft) return fft.error();
        return LineMeter(std::move(*fft), frames, rate_hz);
    }

    // spread_hz: how far the tone moves within the frames.
    Line measure(std::span<const float> audio, double spread_hz) {
        const auto input = fft_.input();
        std::fill(input.begin(), input.end(), 0.0F);
        double mean = 0.0;
        for (std::size_t i = 0; i < frames_; ++i)
            mean += static_cast<double>(audio[i]) / static_cast<double>(frames_);
        for (std::size_t i = 0; i < frames_; ++i)
            input[i] = (audio[i] - static_cast<float>(mean)) * window_.weights[i];
        const auto bins = fft_.transform();
        power_.resize(bins.size());
        for (std::size_t i = 0; i < bins.size(); ++i)
            power_[i] = static_cast<double>(std::norm(bins[i]));
        return read(spread_hz);
    }

 private:
    LineMeter(spectrum::RealFft fft, std::size_t frames, double rate_hz)
        : fft_(std::move(fft)),
          window_(spectrum::make_window(spectrum::WindowKind::hann, static_cast<int>(frames))),
          frames_(frames),
          bin_hz_(rate_hz / fft_.size()),
          length_s_(static_cast<double>(frames) / rate_hz) {
        for (const float w : window_.weights)
            squares_ += static_cast<double>(w) * static_cast<double>(w);
    }

    Line read(double spread_hz) const {
        Line line;
        const double reach_hz = 3.0 / length_s_ + spread_hz;
        const std::size_t first = strongest(-1.0, 0.0);
        const double noise = noise_about(first, reach_hz);
        double sum = 0.0, moment = 0.0, bins = 0.0;
        const auto reach = static_cast<std::size_t>(reach_hz / bin_hz_) + 1;
        for (std::size_t i = first > reach ? first - reach : 1;
             i <= std::min(power_.size() - 1, first + reach); ++i) {
            sum += power_[i] - noise;
            moment += (power_[i] - noise) * static_cast<double>(i) * bin_hz_;
            bins += 1.0;
        }
        if (!(power_[first] > kLeastOverNoise * noise) || !(sum > 0.0)) return line;
        line.there = true;
        line.hz = moment / sum;
        const double scale = 2.0 / (static_cast<double>(fft_.size()) * squares_);
        line.power = scale * sum;
        // Density of the noise, one-sided, and the two ways it moves the level: beside the tone and under it.
        const double density = scale * noise / bin_hz_;
        const double beside = std::sqrt(2.0 * 1.5 * density / (line.power * length_s_));
        const double under = density / line.power * std::sqrt(bins * bin_hz_ / length_s_);
        line.relative_sd = std::hypot(beside, under);
        line.over_noise_db = db_from_power(line.power / std::max(density * 1.5 / length_s_, 1e-30));
        const std::size_t second = strongest(line.hz, reach_hz + 20.0);
        const double order = static_cast<double>(second) * bin_hz_ / line.hz;
        const bool harmonic = std::abs(order - std::round(order)) < 0.02 * order && order > 1.5;
        if (!harmonic && power_[second] > kSecondTone * power_[first] &&
            power_[second] > kLeastOverNoise * noise_about(second, reach_hz)) {
            line.second_hz = static_cast<double>(second) * bin_hz_;
        }
        return line;
    }

    [[nodiscard]] std::size_t strongest(double beside_hz, double apart_hz) const {
        auto best = static_cast<std::size_t>(kLowestHz / bin_hz_) + 1;
        double most = -1.0;
        for (std::size_t i = best; i + 1 < power_.size(); ++i) {
            const double hz = static_cast<double>(i) * bin_hz_;
            if (hz > kMostPitchHz || (beside_hz > 0.0 && std::abs(hz - beside_hz) < apart_hz))
                continue;
            if (power_[i] > most) {
                most = power_[i];
                best = i;
            }
        }
        return best;
    }
    // Median of the bins to both sides, far enough that the window's skirts are under the noise.
    [[nodiscard]] double noise_about(std::size_t bin, double reach_hz) const {
        std::vector<double> beside;
        const double middle = static_cast<double>(bin) * bin_hz_;
        const double from = reach_hz + 4.0 / length_s_,
                     to = from + std::max(60.0, 40.0 / length_s_);
        for (std::size_t i = 1; i < power_.size(); ++i) {
            const double apart = std::abs(static_cast<double>(i) * bin_hz_ - middle);
            if (apart >= from && apart <= to) beside.push_back(power_[i]);
        }
        if (beside.empty()) return 0.0;
        const auto half = beside.begin() + static_cast<std::ptrdiff_t>(beside.size() / 2);
        std::nth_element(beside.begin(), half, beside.end());
        return *half / std::numbers::ln2;
    }

    spectrum::RealFft fft_;
    spectrum::Window window_;
    std::size_t frames_;
    double bin_hz_, length_s_;
    double squares_ = 0.0;
    std::vector<double> power_;
};

ResponsePoint point_of(const Line& line, BeatSide side, double generator_db) {
    ResponsePoint point;
    point.offset_hz = side == BeatSide::above ? line.hz : -line.hz;
    point.level_db = {db_from_power(2.0 * line.power) - generator_db,
                      expanded_95(kDbPerNeper * line.relative_sd)};
    point.over_noise_db = line.over_noise_db;
    point.generator_db = generator_db;
    return point;
}

Error in_step(std::size_t number, const Stretch& at, const std::string& why) {
    return {ErrorCode::invalid_value,
            fmt::format("step {} ({} to {} s): {}", number, at.from_s, at.to_s, why)};
}

}  // namespace

Result<std::vector<ResponsePoint>> step_points(std::span<const float> audio, double sample_rate_hz,
                                               const std::vector<GeneratorStep>& steps) {
    if (Status s = check_audio(audio, sample_rate_hz, 1.0); !s) return s.error();
    if (steps.size() < 3)
        return Error{ErrorCode::invalid_value,
                     fmt::format("steps: {} are too few; at least 3 are needed", steps.size())};
    std::vector<Stretch> stretches;
    for (const GeneratorStep& step : steps) stretches.push_back(step.at);
    if (Status s =
            check_stretches("step", stretches, static_cast<double>(audio.size()) / sample_rate_hz);
        !s)
        return s.error();
    std::vector<ResponsePoint> points;
    for (std::size_t n = 0; n < steps.size(); ++n) {
        const GeneratorStep& step = steps[n];
        if (!(std::abs(step.generator_db) < 300.0))
            return in_step(
                n + 1, step.at,
                fmt::format("the generator's level {} dB is not allowed", step.generator_db));
        if (step.at.to_s - step.at.from_s < kShortestStepS)
            return in_step(n + 1, step.at,
                           fmt::format("too short; at least {} s are needed", kShortestStepS));
        const auto from = static_cast<std::size_t>((step.at.from_s + kEndsS) * sample_rate_hz);
        const auto frames = std::min<std::size_t>(
            1U << 21, static_cast<std::size_t>((step.at.to_s - step.at.from_s - 2.0 * kEndsS) *
                                               sample_rate_hz));
        const auto piece = audio.subspan(from, frames);
        if (Status s = check_clipping(piece); !s) return in_step(n + 1, step.at, s.error().message);
        auto meter = LineMeter::create(frames, sample_rate_hz);
        if (!meter) return meter.error();
        const Line line = meter->measure(piece, 3.0);
        if (line.there && line.second_hz > 0.0)
            return in_step(
                n + 1, step.at,
                fmt::format("two tones, near {:.0f} and {:.0f} Hz", line.hz, line.second_hz));
        // A step that the receiver lets nothing through of says only that.
        if (!line.there) continue;
        ResponsePoint point = point_of(line, step.side, step.generator_db);
        point.generator_hz = step.generator_hz;
        points.push_back(point);
    }
    if (points.size() < 3)
        return Error{
            ErrorCode::not_found,
            fmt::format(
                "audio: a tone stands over the noise in {} of {} steps; at least 3 are needed",
                points.size(), steps.size())};
    return points;
}

Result<std::vector<ResponsePoint>> sweep_points(std::span<const float> audio, double sample_rate_hz,
                                                const Stretch& sweep, BeatSide first) {
    if (Status s = check_audio(audio, sample_rate_hz, 1.0); !s) return s.error();
    if (Status s =
            check_stretches("sweep", {sweep}, static_cast<double>(audio.size()) / sample_rate_hz);
        !s)
        return s.error();
    const auto frames = static_cast<std::size_t>(kSweepFrameS * sample_rate_hz);
    auto meter = LineMeter::create(frames, sample_rate_hz);
    if (!meter) return meter.error();
    std::vector<Line> lines;
    const auto begin = static_cast<std::size_t>(sweep.from_s * sample_rate_hz),
               end = static_cast<std::size_t>(sweep.to_s * sample_rate_hz);
    for (std::size_t at = begin; at + frames <= end; at += frames / 2) {
        const Line line = meter->measure(audio.subspan(at, frames), 20.0);
        if (line.there) lines.push_back(line);
    }
    if (lines.size() < 10)
        return Error{ErrorCode::not_found,
                     fmt::format("audio: a tone stands over the noise in {} frames of the sweep; "
                                 "at least 10 are needed",
                                 lines.size())};
    std::vector<double> steps;
    for (std::size_t i = 1; i < lines.size(); ++i)
        steps.push_back(std::abs(lines[i].hz - lines[i - 1].hz));
    const auto half = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), half, steps.end());
    // More than 20 Hz in a frame is outside the line that is summed.
    if (*half > 10.0) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("sweep: {:.0f} Hz/s is too fast; at most 200 Hz/s can be followed",
                                 *half / (0.5 * kSweepFrameS))};
    }
    // Zero beat: the lowest pitch, where the pitch falls before it and rises after.
    const auto lowest = static_cast<std::size_t>(
        std::min_element(lines.begin(), lines.end(),
                         [](const auto& a, const auto& b) { return a.hz < b.hz; }) -
        lines.begin());
    const bool crosses = lowest > 2 && lowest + 3 < lines.size();
    const BeatSide other = first == BeatSide::above ? BeatSide::below : BeatSide::above;
    std::vector<ResponsePoint> points;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (lines[i].hz < 1.5 * kLowestHz) continue;
        points.push_back(point_of(lines[i], crosses && i > lowest ? other : first, 0.0));
    }
    return points;
}

Result<std::vector<ResponsePoint>> noise_points(std::span<const float> audio, double sample_rate_hz,
                                                double smooth_hz) {
    if (Status s = check_audio(audio, sample_rate_hz, kShortestNoiseS); !s) return s.error();
    if (Status s = check_clipping(audio); !s) return s.error();
    if (Status s = within_range("smooth_hz", smooth_hz, 10.0, 500.0); !s) return s.error();
    int size = 1024;
    while (size < 0.12 * sample_rate_hz) size *= 2;
    auto fft = spectrum::RealFft::create(size);
    if (!fft) return fft.error();
    const auto window = spectrum::make_window(spectrum::WindowKind::hann, size);
    double squares = 0.0;
    for (const float w : window.weights) squares += static_cast<double>(w) * static_cast<double>(w);
    std::vector<double> density(static_cast<std::size_t>(fft->bins()), 0.0);
    double looks = 0.0;
    for (std::size_t at = 0; at + static_cast<std::size_t>(size) <= audio.size();
         at += static_cast<std::size_t>(size / 2)) {
        const auto input = fft->input();
        for (std::size_t i = 0; i < input.size(); ++i) input[i] = audio[at + i] * window.weights[i];
        const auto bins = fft->transform();
        for (std::size_t i = 0; i < bins.size(); ++i)
            density[i] += static_cast<double>(std::norm(bins[i]));
        looks += 1.0;
    }
    for (double& d : density) d *= 2.0 / (looks * squares * sample_rate_hz);
    const double bin_hz = sample_rate_hz / size;
    const auto reach = static_cast<std::size_t>(std::max(1.0, 0.5 * smooth_hz / bin_hz));
    // Half-overlapping Hann looks are worth 0.947 of so many independent ones; neighbouring bins, 1 in 1.5.
    const double worth =
        0.947 * looks * std::max(1.0, (2.0 * static_cast<double>(reach) + 1.0) / 1.5);
    std::vector<ResponsePoint> points;
    // No two points share a bin.
    for (std::size_t i = reach + 2; i + reach + 1 < density.size(); i += 2 * reach + 1) {
        double sum = 0.0;
        for (std::size_t k = i - reach; k <= i + reach; ++k) sum += density[k];
        ResponsePoint point;
        point.offset_hz = static_cast<double>(i) * bin_hz;
        point.level_db = {db_from_power(std::max(1e-30, sum / static_cast<double>(2 * reach + 1))),
                          expanded_95(kDbPerNeper / std::sqrt(worth))};
        point.over_noise_db = 100.0;
        points.push_back(point);
    }
    return points;
}

}  // namespace skedlark::bench
