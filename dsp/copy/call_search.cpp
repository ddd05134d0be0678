#include "dsp/copy/call_search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <string_view>
#include <utility>

#include "dsp/core/units.h"

namespace skedlark::copy {
namespace {

constexpr double kDotWpmS = 1.2;  // of the 50-unit word
constexpr double kSlowestWpm = 7.0;
constexpr double kFastestWpm = 45.0;
constexpr double kToldWithin = 1.35;  // a told speed may be off by this factor
constexpr double kSpeedStep = 1.1;
constexpr std::size_t kShortestCall = 2;
constexpr std::size_t kLongestCall = 15;
// A speed that lately explained little is never given up: this share of all goes to it.
constexpr double kLevelEveryS = 1.0;
constexpr double kLevelShare = 1e-3;

// What was heard so long ago is weighed again where a call is about to be told.
constexpr double kRecentS = 40.0;
constexpr std::size_t kNearAtOnce = 16;
// Near calls are as likely as each other, all of them together as the expected one; in natural
// logarithms: told above the first, given up below the second, asked again in between. Tried 0 to 3
// for the first: at 3 half of the calls at -16 dB wait for ever.
constexpr double kLeastOverNear = 1.0;
constexpr double kGivenUp = -2.0;
constexpr double kAskAgainS = 1.5;    // where it could be this or another
constexpr double kTellAgainS = 30.0;  // a call sent over and over

// Calls that differ in one character, those that are expected themselves left out.
std::vector<std::string> near_calls(const std::vector<std::string>& expected, std::size_t which) {
    std::vector<std::string> out;
    std::string call = expected[which];
    for (char& c : call) {
        const char own = c;
        for (const char other : std::string_view("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/")) {
            c = other;
            if (std::find(expected.begin(), expected.end(), call) == expected.end())
                out.push_back(call);
        }
        c = own;
    }
    return out;
}

double log_add(double a, double b) {
    const double high = std::max(a, b);
    return high + std::log1p(std::exp(std::min(a, b) - high));
}

Result<std::string> checked(const std::string& call) {
    std::string out;
    for (const char c : call) {
        const auto byte = static_cast<unsigned char>(c);
        if (std::isalnum(byte) == 0 && c != '/') {
            return Error{ErrorCode::invalid_value,
                         fmt::format("call: '{}' holds '{}', allowed letters A to Z, figures and /",
                                     call, c)};
        }
        out += static_cast<char>(std::toupper(byte));
    }
    if (out.size() < kShortestCall || out.size() > kLongestCall) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("call: '{}' has {} characters, allowed {} to {}", call, out.size(),
                                 kShortestCall, kLongestCall)};
    }
    return out;
}

}  // namespace

CallSearch::CallSearch(CallSearchConfig config)
    : config_(std::move(config)),
      ask_again_at_(config_.calls.size()),
      tell_again_at_(config_.calls.size()) {
    const bool told = config_.speed_wpm > 0.0;
    const double slowest = told ? config_.speed_wpm / kToldWithin : kSlowestWpm;
    const double fastest = told ? config_.speed_wpm * kToldWithin : kFastestWpm;
    for (double wpm = slowest; wpm < fastest * 1.0001; wpm *= kSpeedStep) {
        const double dot_frames = kDotWpmS / wpm * tone::kBasebandRateHz;
        speeds_.push_back({wpm, std::make_unique<CallLattice>(dot_frames, config_.calls)});
    }
}

Status check_calls(const std::vector<std::string>& calls) {
    if (calls.empty() || calls.size() > kMostCalls) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("call: {} given, allowed 1 to {}", calls.size(), kMostCalls)};
    }
    for (const std::string& call : calls) {
        if (const auto right = checked(call); !right) return right.error();
    }
    return Done{};
}

Result<CallSearch> CallSearch::create(const CallSearchConfig& config) {
    if (const Status right = check_calls(config.calls); !right) return right.error();
    if (config.speed_wpm != 0.0 && !(config.speed_wpm >= 4.0 && config.speed_wpm <= 60.0)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("speed_wpm: {}, allowed 4 to 60 or 0", config.speed_wpm)};
    }
    CallSearchConfig own = config;
    for (std::string& call : own.calls) call = *checked(call);
    return CallSearch(std::move(own));
}

void CallSearch::reset() {
    for (Speed& speed : speeds_) speed.lattice->reset();
    prepare_ = {};
    recent_.clear();
    std::fill(ask_again_at_.begin(), ask_again_at_.end(), 0);
    std::fill(tell_again_at_.begin(), tell_again_at_.end(), 0);
    since_check_ = 0;
    since_levelled_ = 0;
}

void CallSearch::process(std::span<const tone::BasebandFrame> frames, std::vector<CallFound>& out) {
    const auto check_frames = static_cast<int>(tone::frames_from_seconds(kCheckS));
    const auto level_frames = static_cast<int>(tone::frames_from_seconds(kLevelEveryS));
    while (!frames.empty()) {
        const auto part = frames.first(
            std::min(frames.size(), static_cast<std::size_t>(check_frames - since_check_)));
        frames = frames.subspan(part.size());
        fresh_.clear();
        for (const tone::BasebandFrame& frame : part) fresh_.push_back(prepare_.take(frame));
        for (Speed& speed : speeds_) speed.lattice->process(fresh_);
        reached_ = part.back().at_frame;
        recent_.insert(recent_.end(), fresh_.begin(), fresh_.end());
        const auto most = static_cast<std::size_t>(tone::frames_from_seconds(kRecentS));
        if (recent_.size() > most)
            recent_.erase(recent_.begin(), recent_.end() - static_cast<std::ptrdiff_t>(most));
        since_check_ += static_cast<int>(part.size());
        if (since_check_ < check_frames) continue;
        since_levelled_ += since_check_;
        since_check_ = 0;
        check(out);
        if (since_levelled_ >= level_frames) {
            since_levelled_ = 0;
            for (Speed& speed : speeds_) speed.lattice->fade(kLevelEveryS);
            level_speeds();
        }
    }
}

double CallSearch::log_odds(std::size_t call) const {
    double heard = -1e300;
    double not_heard = -1e300;
    for (const Speed& speed : speeds_) {
        heard = log_add(heard, speed.lattice->log_heard(call));
        not_heard = log_add(not_heard, speed.lattice->log_not_heard(call));
    }
    return heard - not_heard;
}

double CallSearch::likeliest_wpm(std::size_t call) const {
    return std::max_element(speeds_.begin(), speeds_.end(),
                            [&](const Speed& a, const Speed& b) {
                                return a.lattice->log_heard(call) < b.lattice->log_heard(call);
                            })
        ->wpm;
}

void CallSearch::check(std::vector<CallFound>& out) {
    for (std::size_t call = 0; call < config_.calls.size(); ++call) {
        const double odds = log_odds(call);
        if (odds < config_.least_log_odds || reached_ < ask_again_at_[call]) continue;
        const double wpm = likeliest_wpm(call);
        const double over_near = over_near_calls(call, wpm);
        if (over_near < kLeastOverNear && over_near > kGivenUp) {
            ask_again_at_[call] = reached_ + frames_from_seconds(kAskAgainS);
            continue;
        }
        if (over_near > 0.0 && reached_ >= tell_again_at_[call]) {
            out.push_back({call, reached_, std::min(odds, over_near), wpm});
            tell_again_at_[call] = reached_ + frames_from_seconds(kTellAgainS);
        }
        // Told, or explained by another call: what comes later must speak for itself.
        for (Speed& speed : speeds_) speed.lattice->forget(call);
    }
}

double CallSearch::over_near_calls(std::size_t call, double wpm) const {
    const std::vector<CallFrame> frames(recent_.begin(), recent_.end());
    const double dot_frames = kDotWpmS / wpm * tone::kBasebandRateHz;
    const auto heard_of = [&](std::span<const std::string> calls) {
        CallLattice lattice(dot_frames, calls);
        lattice.process(frames);
        double heard = -1e300;
        for (std::size_t i = 0; i < calls.size(); ++i) heard = log_add(heard, lattice.log_heard(i));
        return heard;
    };
    const std::vector<std::string> near = near_calls(config_.calls, call);
    double rivals = -1e300;
    for (std::span<const std::string> left(near); !left.empty();) {
        const auto some = left.first(std::min(left.size(), kNearAtOnce));
        left = left.subspan(some.size());
        rivals = log_add(rivals, heard_of(some));
    }
    return heard_of({&config_.calls[call], 1}) -
           (rivals - std::log(static_cast<double>(near.size())));
}

void CallSearch::level_speeds() {
    std::vector<double> totals;
    double all = -1e300;
    for (const Speed& speed : speeds_) {
        totals.push_back(speed.lattice->log_total());
        all = log_add(all, totals.back());
    }
    const double mean = all - std::log(static_cast<double>(speeds_.size()));
    for (std::size_t i = 0; i < speeds_.size(); ++i) {
        const double levelled =
            log_add(totals[i] + std::log1p(-kLevelShare), mean + std::log(kLevelShare));
        speeds_[i].lattice->add_log(levelled - totals[i] - mean);
    }
}

}  // namespace skedlark::copy
