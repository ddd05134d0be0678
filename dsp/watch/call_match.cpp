#include "dsp/watch/call_match.h"

#include <fmt/format.h>

#include <algorithm>

namespace skedlark::watch {
namespace {

constexpr std::size_t kShortest = 2;
constexpr std::size_t kLongest = 15;
// A reading not among those named.
constexpr double kUnnamed = 1e-4;
constexpr double kReadWell = 0.7;

bool in_calls(char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/'; }

}  // namespace

Result<CallMatch> CallMatch::create(const std::vector<std::string>& calls) {
    std::vector<std::string> capitals;
    for (const std::string& call : calls) {
        std::string upper = call;
        for (char& c : upper)
            if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
        if (upper.size() < kShortest || upper.size() > kLongest)
            return Error{ErrorCode::invalid_value,
                         fmt::format("call '{}': {} characters, allowed {} to {}",
                                     call.substr(0, 40), call.size(), kShortest, kLongest)};
        for (std::size_t n = 0; n < upper.size(); ++n) {
            if (in_calls(upper[n])) continue;
            return Error{ErrorCode::invalid_value,
                         fmt::format("call '{}': character {} is not allowed; allowed: letters, "
                                     "figures and /",
                                     call, n + 1)};
        }
        capitals.push_back(upper);
    }
    return CallMatch(std::move(capitals));
}

void CallMatch::add(const CharEvent& event) {
    if (!event.final) return;
    if (event.text == " ") {
        end_word();
        return;
    }
    std::map<std::string, double> readings;
    for (const auto& [text, odds] : event.others) readings[text] = odds;
    readings[event.text] = event.confidence;
    last_.push_back(std::move(readings));
    if (last_.size() > kLongest) last_.pop_front();
    word_ += event.procedure ? "?" : event.text;
    word_confidence_ *= event.confidence;
    look_for_calls();
}

void CallMatch::look_for_calls() {
    for (const std::string& call : calls_) {
        if (last_.size() < call.size()) continue;
        double odds = 1.0;
        for (std::size_t n = 0; n < call.size(); ++n) {
            const auto& readings = last_[last_.size() - call.size() + n];
            const auto found = readings.find(std::string(1, call[n]));
            odds *= found == readings.end() ? kUnnamed : found->second;
        }
        if (odds >= kLeast && (!expected_ || odds > expected_->confidence))
            expected_ = CallHeard{call, odds};
    }
}

void CallMatch::end_word() {
    if (word_.empty()) return;
    const bool plain = std::all_of(word_.begin(), word_.end(), in_calls);
    const bool call = after_de_ && plain && word_.size() >= 3 && word_confidence_ >= kReadWell;
    if (call && std::find(calls_.begin(), calls_.end(), word_) == calls_.end() &&
        (!other_ || word_confidence_ > other_->confidence))
        other_ = CallHeard{word_, word_confidence_};
    after_de_ = word_ == "DE";
    word_.clear();
    word_confidence_ = 1.0;
}

}  // namespace skedlark::watch
