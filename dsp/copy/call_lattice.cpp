#include "dsp/copy/call_lattice.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <utility>

#include "dsp/copy/flush_denormals.h"
#include "dsp/morse/code_table.h"
#include "dsp/tone/frame.h"

namespace skedlark::copy {
namespace {

// About so many steps a dot: fine enough for lengths that scatter by an eighth.
constexpr double kDotSteps = 8.0;
// Means in dots and spreads wide enough for any hand, the speed known to half a step of the grid.
constexpr Hand kAnyHand{3.15, 0.98, 3.2, 7.5, 0.14, 0.13, 0.17, 0.26, 0.33};
constexpr double kHeldDots = 2.5;
constexpr double kHeldS = 20.0;  // mean time a key is held down

// What follows a mark of other keying. The share of gaps: counts of the standard's traffic.
constexpr double kPauseAfterMark = 0.03;
constexpr double kElementGaps = 0.62;
constexpr double kCharacterGaps = 0.28;
constexpr double kWordGaps = 0.10;
// A word is the expected call: never heard yet; heard before; right after itself.
constexpr double kCallAsWord = 0.002;
constexpr double kCallAgainAsWord = 0.1;
constexpr double kCallAtOnceAgain = 0.6;

constexpr double kRememberedS = 40.0;  // that a call was heard

constexpr double kMostBeforeScaling = 1e60;

LengthTable mixed(std::initializer_list<std::pair<const LengthTable*, double>> parts) {
    LengthTable out;
    out.first = parts.begin()->first->first;
    int last = 0;
    for (const auto& [table, share] : parts) {
        out.first = std::min(out.first, table->first);
        last = std::max(last, table->last());
    }
    out.odds.assign(static_cast<std::size_t>(last - out.first + 1), 0.0F);
    for (const auto& [table, share] : parts)
        for (std::size_t i = 0; i < table->odds.size(); ++i)
            out.odds[static_cast<std::size_t>(table->first - out.first) + i] +=
                static_cast<float>(share) * table->odds[i];
    out.at_least.resize(out.odds.size());
    float sum = 0.0F;
    for (std::size_t i = out.odds.size(); i-- > 0;) out.at_least[i] = sum += out.odds[i];
    return out;
}

LengthTable cut_to_past(LengthTable table) {
    const auto most = static_cast<std::size_t>(LanesPast::kPast - 2 - table.first);
    if (table.odds.size() > most) {
        table.odds.resize(most);
        table.at_least.resize(most);
    }
    return table;
}

LengthTable one_length(int steps) {
    LengthTable out;
    out.first = steps;
    out.odds = {1.0F};
    out.at_least = {1.0F};
    return out;
}

// Weight of what began at any boundary and is not over at the latest; ratios: for a mark.
double under_way(const LanesPast& begun, const LengthTable& lengths,
                 const std::vector<Lanes>* ratios) {
    double sum = 0.0;
    for (int steps = 0; steps < lengths.last(); ++steps) {
        const auto odds = static_cast<double>(lengths.survival(steps + 1));
        const Lanes& from = begun.back(steps);
        if (ratios == nullptr || steps == 0) {
            sum += odds * from.sum();
            continue;
        }
        const Lanes& ratio = (*ratios)[static_cast<std::size_t>(steps)];
        for (int l = 0; l < kCallLanes; ++l) sum += odds * from.at[l] * ratio.at[l];
    }
    return sum;
}

}  // namespace

CallLengths::CallLengths(double dot_steps) {
    const Timing timing = timing_of(kAnyHand, dot_steps);
    dot = length_table(timing.dot);
    dash = length_table(timing.dash);
    element_gap = length_table(timing.element_gap);
    character_gap = length_table(timing.character_gap);
    word_gap = cut_to_past(length_table(timing.word_gap));
    any_mark = mixed({{&dot, 0.5}, {&dash, 0.5}});
    any_gap = cut_to_past(mixed(
        {{&element_gap, kElementGaps}, {&character_gap, kCharacterGaps}, {&word_gap, kWordGaps}}));
    stray_mark = stray_table(kStrayMarkDots * dot_steps, stray_least(dot_steps), dash.last());
    held = one_length(static_cast<int>(std::lround(kHeldDots * dot_steps)));
}

int CallLengths::longest_mark() const { return std::max(dash.last(), held.last()); }

CallChances::CallChances(double step_s, int held_steps)
    : key(0.05 * step_s),
      stray(0.02 * step_s),
      hold(0.02 * step_s),
      call(3e-4 * step_s),
      call_again(0.05 * step_s),
      stray_on(2.0 * step_s),
      stray_off(0.3 * step_s),
      held_on(std::exp(-held_steps * step_s / kHeldS)) {}

void CallRivals::clear(double idle) {
    idle_ = idle;
    stray_idle_ = 0.0;
    for (LanesPast* past : {&begun_, &ended_, &stray_begun_, &held_begun_}) past->clear();
}

void CallRivals::scale(double factor) {
    idle_ *= factor;
    stray_idle_ *= factor;
    for (LanesPast* past : {&begun_, &ended_, &stray_begun_, &held_begun_}) past->scale(factor);
}

double CallRivals::take_idle(double share) {
    const double taken = share * idle_;
    idle_ -= taken;
    return taken;
}

void CallRivals::advance(const std::vector<Lanes>& marks) {
    const Lanes ended = over_marks(begun_, lengths_.any_mark, marks);
    const Lanes gaps = over_gaps(ended_, lengths_.any_gap);
    const double stray_ended = over_marks(stray_begun_, lengths_.stray_mark, marks).sum();
    const Lanes held = over_marks(held_begun_, lengths_.held, marks);
    const double a_lane = 1.0 / kCallLanes;

    Lanes begun;
    begun.fill(idle_ * chances_.key * a_lane);
    begun.add(gaps, 1.0 - kPauseAfterMark);
    Lanes stray_begun;
    stray_begun.fill((idle_ * chances_.stray + stray_idle_ * chances_.stray_on) * a_lane);
    Lanes held_begun;
    held_begun.fill(idle_ * chances_.hold * a_lane);
    held_begun.add(held, chances_.held_on);

    idle_ = idle_ * (1.0 - chances_.key - chances_.stray - chances_.hold) +
            kPauseAfterMark * ended.sum() + stray_idle_ * chances_.stray_off +
            (1.0 - chances_.held_on) * held.sum();
    stray_idle_ = stray_idle_ * (1.0 - chances_.stray_on - chances_.stray_off) + stray_ended;
    begun_.append(begun);
    ended_.append(ended);
    stray_begun_.append(stray_begun);
    held_begun_.append(held_begun);
}

void CallRivals::go_on_after(const Lanes& ended) {
    ended_.back(0).add(ended, 1.0 - kPauseAfterMark);
    idle_ += kPauseAfterMark * ended.sum();
}

double CallRivals::total(const std::vector<Lanes>& marks) const {
    return idle_ + stray_idle_ + under_way(begun_, lengths_.any_mark, &marks) +
           (1.0 - kPauseAfterMark) * under_way(ended_, lengths_.any_gap, nullptr) +
           under_way(stray_begun_, lengths_.stray_mark, &marks) +
           under_way(held_begun_, lengths_.held, &marks);
}

void CallRivals::swallow(CallRivals& other) {
    idle_ += other.idle_;
    stray_idle_ += other.stray_idle_;
    const auto add = [](LanesPast& to, const LanesPast& from) {
        for (int i = 0; i < LanesPast::kPast; ++i) to.back(i).add(from.back(i), 1.0);
    };
    add(begun_, other.begun_);
    add(ended_, other.ended_);
    add(stray_begun_, other.stray_begun_);
    add(held_begun_, other.held_begun_);
    other.clear(0.0);
}

double CallLattice::Chain::under_way(const CallLengths& lengths,
                                     const std::vector<Lanes>& marks_now) const {
    double sum = 0.0;
    for (const Mark& mark : marks) {
        sum += copy::under_way(mark.begun, mark.dash ? lengths.dash : lengths.dot, &marks_now);
        const bool last = &mark == &marks.back();
        sum += (last ? kCallAtOnceAgain : 1.0) * copy::under_way(mark.ended,
                                                                 last ? lengths.word_gap
                                                                 : mark.ends_character
                                                                     ? lengths.character_gap
                                                                     : lengths.element_gap,
                                                                 nullptr);
    }
    return sum;
}

CallLattice::CallLattice(double dot_frames, std::span<const std::string> calls)
    : step_frames_(std::max(1, static_cast<int>(std::lround(dot_frames / kDotSteps)))),
      lengths_(dot_frames / step_frames_),
      chances_(step_frames_ / tone::kBasebandRateHz, lengths_.held.first),
      marks_(lengths_.longest_mark()),
      before_(lengths_, chances_) {
    for (const std::string& call : calls) {
        Chain chain{{}, CallRivals(lengths_, chances_)};
        for (const char c : call) {
            const morse::Symbol* symbol = morse::find_by_text({&c, 1});
            if (symbol == nullptr) continue;
            for (const char element : symbol->elements) chain.marks.push_back({element == '-'});
            chain.marks.back().ends_character = true;
        }
        chains_.push_back(std::move(chain));
    }
    reset();
}

void CallLattice::reset() {
    marks_.reset();
    before_.clear(1.0);
    for (Chain& chain : chains_) {
        chain.after.clear(0.0);
        for (Mark& mark : chain.marks) {
            mark.begun.clear();
            mark.ended.clear();
        }
    }
    pending_.clear();
    log_scale_ = 0.0;
}

void CallLattice::process(std::span<const CallFrame> frames) {
    const FlushDenormals flush;
    for (const CallFrame& frame : frames) {
        pending_.push_back(frame);
        if (static_cast<int>(pending_.size()) < step_frames_) continue;
        step(pending_);
        pending_.clear();
    }
}

void CallLattice::step(std::span<const CallFrame> frames) {
    marks_.append(frames);
    for (Chain& chain : chains_) advance(chain);
    before_.advance(marks_.ratios());
    keep_in_range();
}

// Before the rivals go on: silence and marks are those of the boundary before.
void CallLattice::advance(Chain& chain) {
    const std::vector<Lanes>& ratios = marks_.ratios();
    Lanes begun;
    begun.fill((before_.take_idle(chances_.call) + chain.after.take_idle(chances_.call_again)) /
               kCallLanes);
    begun.add(over_gaps(before_.ended(), lengths_.word_gap), kWordGaps * kCallAsWord);
    begun.add(over_gaps(chain.after.ended(), lengths_.word_gap), kWordGaps * kCallAgainAsWord);
    begun.add(over_gaps(chain.marks.back().ended, lengths_.word_gap), kCallAtOnceAgain);
    chain.after.advance(ratios);
    Lanes ended;
    for (Mark& mark : chain.marks) {
        ended = over_marks(mark.begun, mark.dash ? lengths_.dash : lengths_.dot, ratios);
        mark.begun.append(begun);
        begun = over_gaps(mark.ended,
                          mark.ends_character ? lengths_.character_gap : lengths_.element_gap);
        mark.ended.append(ended);
    }
    Lanes other;
    other.add(ended, 1.0 - kCallAtOnceAgain);
    chain.after.go_on_after(other);
}

void CallLattice::keep_in_range() {
    // What is under way weighs no more than what ended, but for one mark's worth.
    double most = before_.idle();
    for (int l = 0; l < kCallLanes; ++l) most = std::max({most, before_.ended().back(0).at[l]});
    for (const Chain& chain : chains_) {
        most = std::max({most, chain.after.idle()});
        for (const Mark& mark : chain.marks) most = std::max(most, mark.ended.back(0).sum());
    }
    if (most < kMostBeforeScaling) return;
    const double factor = 1.0 / most;
    log_scale_ += std::log(most);
    before_.scale(factor);
    for (Chain& chain : chains_) {
        chain.after.scale(factor);
        for (Mark& mark : chain.marks) {
            mark.begun.scale(factor);
            mark.ended.scale(factor);
        }
    }
}

double CallLattice::log_heard(std::size_t call) const {
    const Chain& chain = chains_[call];
    const double just_ended =
        kCallAtOnceAgain * under_way(chain.marks.back().ended, lengths_.word_gap, nullptr);
    return log_scale_ + std::log(chain.after.total(marks_.ratios()) + just_ended + 1e-300);
}

double CallLattice::log_not_heard(std::size_t call) const {
    double sum = before_.total(marks_.ratios());
    for (const Chain& chain : chains_) {
        if (&chain == &chains_[call]) continue;
        sum += chain.after.total(marks_.ratios()) + chain.under_way(lengths_, marks_.ratios());
    }
    return log_scale_ + std::log(sum + 1e-300);
}

double CallLattice::log_total() const {
    double sum = before_.total(marks_.ratios());
    for (const Chain& chain : chains_)
        sum += chain.after.total(marks_.ratios()) + chain.under_way(lengths_, marks_.ratios());
    return log_scale_ + std::log(sum + 1e-300);
}

void CallLattice::fade(double seconds) {
    const double factor = std::exp(-seconds / kRememberedS);
    for (Chain& chain : chains_) {
        chain.after.scale(factor);
        for (Mark& mark : chain.marks) {
            mark.begun.scale(factor);
            mark.ended.scale(factor);
        }
    }
}

void CallLattice::forget(std::size_t call) {
    Chain& chain = chains_[call];
    before_.swallow(chain.after);
    for (Mark& mark : chain.marks) {
        mark.begun.clear();
        mark.ended.clear();
    }
}

}  // namespace skedlark::copy
