#include "dsp/fist/faults.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

// Transmitter: a lag of this share of the unit, that varies beyond its error by so much.
constexpr double kLagShare = 0.15;
constexpr double kSwallowsShare = 0.45;
constexpr double kLagSpread = 0.06;
constexpr double kLagOverError = 3.5;
// Or a lag beyond all hands, with dots more uneven than any hand's.
constexpr double kClearLagShare = 0.4;
constexpr double kCutDotCv = 0.4;
constexpr double kTextLostShare = 0.05;
constexpr double kFirstLateShare = 0.12;
constexpr double kFirstLateOverError = 4.0;
constexpr int kFewestFirst = 8;
// Hand, in units.
constexpr double kShortDash = 2.5;
constexpr double kClosedGap = 2.4;
constexpr double kStretchedGap = 4.3;
constexpr double kClosedWord = 5.0;
constexpr double kDriftPercent = 25.0;
constexpr double kDriftOverError = 8.0;
constexpr double kMeansOverError = 3.0;
constexpr double kUnevenDotCv = 0.12;
constexpr double kEvenPeriod = 0.4;  // variance of the period over that of dot and gap
// Note.
constexpr double kChirpHz = 8.0;
constexpr double kHumDepth = 0.04;
constexpr double kBounceShare = 0.05;
constexpr double kNoteOverError = 5.0;

constexpr const char* kCleanContacts =
    "Clean the key's contacts and set the spring a little firmer.";

double mean_of(const Statistics& s, ElementKind kind) { return s.of(kind).mean_s; }

bool is_element_gap(const Judged& j, std::size_t gap) {
    return j.sending.gap_counts[gap] != 0 && j.sending.kinds.gaps[gap] == ElementKind::element_gap;
}

class Finder {
 public:
    explicit Finder(const Judged& judged)
        : j_(judged),
          s_(judged.statistics),
          lag_(start_lag(judged.keying, judged.sending, judged.statistics, judged.alignment)),
          unit_s_(0.5 * (mean_of(s_, ElementKind::dot) + mean_of(s_, ElementKind::element_gap))) {}

    std::vector<Fault> run() {
        if (j_.keying.marks.size() >= 20 && unit_s_ > 0.0) {
            dots_clipped();
            first_late();
            uneven_dots();
            dash_short();
            gaps();
            speed();
        }
        if (j_.tone != nullptr) note();
        if (j_.of_key) bouncing_key();
        return std::move(faults_);
    }

 private:
    void add(FaultKind kind, double at_s, std::string said, std::string advice) {
        faults_.push_back({kind, at_s, std::move(said), std::move(advice)});
    }
    [[nodiscard]] bool has(FaultKind kind) const {
        return std::any_of(faults_.begin(), faults_.end(),
                           [&](const Fault& fault) { return fault.kind == kind; });
    }
    [[nodiscard]] double start_s() const { return j_.keying.marks.front().on_s; }

    // Where a length of this kind first lies beyond `limit_s`.
    template <typename Beyond>
    [[nodiscard]] double first_mark(ElementKind kind, Beyond beyond) const {
        for (std::size_t i = 0; i < j_.keying.marks.size(); ++i) {
            if (j_.sending.mark_counts[i] != 0 && j_.sending.kinds.marks[i] == kind &&
                beyond(j_.keying.marks[i].length_s())) {
                return j_.keying.marks[i].on_s;
            }
        }
        return start_s();
    }
    template <typename Beyond>
    [[nodiscard]] double first_gap(ElementKind kind, Beyond beyond) const {
        for (std::size_t i = 0; i + 1 < j_.keying.marks.size(); ++i) {
            if (j_.sending.gap_counts[i] != 0 && j_.sending.kinds.gaps[i] == kind &&
                beyond(j_.keying.gap_s(i))) {
                return j_.keying.marks[i].off_s;
            }
        }
        return start_s();
    }

    // Of a key itself each break is one, no noise makes any.
    void bouncing_key() {
        const auto broken = [](const MeasuredMark& mark) { return mark.breaks > 0; };
        const auto& marks = j_.keying.marks;
        const auto count = std::count_if(marks.begin(), marks.end(), broken);
        const double share = static_cast<double>(count) / static_cast<double>(marks.size());
        if (marks.empty() || share <= kBounceShare) return;
        add(FaultKind::contact_bounce, std::find_if(marks.begin(), marks.end(), broken)->on_s,
            fmt::format("{} of {} marks break off and begin again", count, marks.size()),
            kCleanContacts);
    }

    void dots_clipped() {
        const bool by_lengths = lag_.mean_s > kLagShare * unit_s_ &&
                                lag_.sd_s > kLagSpread * unit_s_ && lag_.over_error > kLagOverError;
        const bool by_dots =
            lag_.mean_s > kClearLagShare * unit_s_ && s_.of(ElementKind::dot).cv() > kCutDotCv;
        if (!by_lengths && !by_dots && !lost_by_text()) return;
        const double at_s =
            first_mark(ElementKind::dot, [&](double length) { return length < 0.6 * unit_s_; });
        add(FaultKind::dots_clipped, at_s,
            fmt::format("the transmitter starts {:.0f} ms late, {:.0f} ms more or less each time: "
                        "dots go out {:.0f} ms long where {:.0f} were keyed, dashes {:.0f}{}",
                        1e3 * std::max(0.0, lag_.mean_s), 1e3 * lag_.sd_s,
                        1e3 * mean_of(s_, ElementKind::dot), 1e3 * unit_s_,
                        1e3 * mean_of(s_, ElementKind::dash), missing_dots()),
            "The hand is not at fault. Tune the oscillator a little off its very peak, to the side "
            "where it starts at once, until quick dots come through whole; send slower until "
            "then.");
    }
    [[nodiscard]] std::string missing_dots() const {
        if (j_.alignment != nullptr && j_.alignment->dots_gone > 0) {
            return fmt::format("; {:.0f} % of the dots do not go out at all",
                               100.0 * lag_.dots_lost);
        }
        return lag_.mean_s > kSwallowsShare * unit_s_ ? "; some dots do not go out at all" : "";
    }
    // Dots missing whose place was held, dashes hardly ever.
    [[nodiscard]] bool lost_by_text() const {
        if (j_.alignment == nullptr || j_.alignment->dots_meant < 20) return false;
        const Alignment& a = *j_.alignment;
        int lost = 0;
        for (const TextError& error : a.errors) lost += error.dots_lost;
        const double dots = static_cast<double>(lost) / a.dots_meant;
        const double dashes = static_cast<double>(a.dashes_gone) / std::max(1, a.dashes_meant);
        return lost >= 4 && dots > kTextLostShare && dashes < 0.25 * dots &&
               lag_.mean_s > 0.5 * kLagShare * unit_s_;
    }

    // Marks after a rest against the others of their kind.
    void first_late() {
        double late = 0.0, variance = 0.0;
        int count = 0;
        double at_s = -1.0;
        for (const ElementKind kind : {ElementKind::dot, ElementKind::dash}) {
            double sums[2] = {}, squares[2] = {};
            int n[2] = {};
            for (std::size_t i = 1; i < j_.keying.marks.size(); ++i) {
                if (j_.sending.mark_counts[i] == 0 || j_.sending.kinds.marks[i] != kind) continue;
                const int rested = j_.sending.kinds.gaps[i - 1] == ElementKind::word_gap ? 1 : 0;
                const double length = j_.keying.marks[i].length_s();
                sums[rested] += length;
                squares[rested] += length * length;
                ++n[rested];
                if (rested == 1 && at_s < 0.0) at_s = j_.keying.marks[i].on_s;
            }
            if (n[0] < kFewestFirst || n[1] < kFewestFirst / 2) continue;
            const double usual = sums[0] / n[0];
            const double first = sums[1] / n[1];
            const double spread =
                squares[0] / n[0] - usual * usual + squares[1] / n[1] - first * first;
            late += n[1] * (usual - first);
            variance += n[1] * 0.5 * spread * (1.0 + static_cast<double>(n[1]) / n[0]);
            count += n[1];
        }
        if (count < kFewestFirst) return;
        const double late_s = late / count;
        const double error_s = std::sqrt(std::max(variance, 1e-12)) / count;
        if (late_s < kFirstLateShare * unit_s_ || late_s < kFirstLateOverError * error_s) return;
        add(FaultKind::first_late, at_s,
            fmt::format("the first element after a rest goes out {:.0f} ms shorter than the others",
                        1e3 * late_s),
            "The oscillator is slow from cold: tune it off its peak, or send a V before the "
            "message so that it is warm.");
    }

    // The spring keeps the beat while the contact makes dots long and short.
    void uneven_dots() {
        double dots = 0.0, gaps = 0.0, periods = 0.0, sum[3] = {}, error = 0.0;
        int n = 0;
        for (std::size_t i = 0; i + 1 < j_.keying.marks.size(); ++i) {
            if (!is_element_gap(j_, i) || j_.sending.kinds.marks[i] != ElementKind::dot ||
                j_.sending.kinds.marks[i + 1] != ElementKind::dot ||
                j_.sending.mark_counts[i] == 0) {
                continue;
            }
            const double dot = j_.keying.marks[i].length_s();
            const double gap = j_.keying.gap_s(i);
            ++n;
            dots += dot * dot;
            gaps += gap * gap;
            periods += (dot + gap) * (dot + gap);
            sum[0] += dot;
            sum[1] += gap;
            sum[2] += dot + gap;
            error += j_.keying.marks[i].length_variance();
        }
        if (n < 20) return;
        const auto variance = [&](double squares, double total) {
            return std::max(0.0, squares / n - total / n * (total / n) - error / n);
        };
        const double dot_variance = variance(dots, sum[0]);
        const double both = dot_variance + variance(gaps, sum[1]);
        if (std::sqrt(dot_variance) < kUnevenDotCv * sum[0] / n) return;
        if (variance(periods, sum[2]) > kEvenPeriod * both) return;
        add(FaultKind::uneven_dots,
            first_mark(ElementKind::dot,
                       [&](double length) {
                           return std::abs(length / (sum[0] / n) - 1.0) > 2.0 * kUnevenDotCv;
                       }),
            fmt::format("dots come at an even beat but are uneven: {:.0f} ms, give or take {:.0f}",
                        1e3 * sum[0] / n, 1e3 * std::sqrt(dot_variance)),
            "The dot contact of the semi-automatic key: clean it and set its gap and spring so "
            "that it closes firmly on every swing.");
    }

    void dash_short() {
        const LengthStatistics& dot = s_.of(ElementKind::dot);
        const LengthStatistics& dash = s_.of(ElementKind::dash);
        if (dot.count < 5 || dash.count < 5) return;
        // What the transmitter cut off both is no fault of the hand.
        const double lag_s = has(FaultKind::dots_clipped) ? std::max(0.0, lag_.mean_s) : 0.0;
        const double ratio = (dash.mean_s + lag_s) / (dot.mean_s + lag_s);
        const double error =
            ratio * std::sqrt(dash.cv() * dash.cv() / dash.count + dot.cv() * dot.cv() / dot.count);
        if (ratio > kShortDash - kMeansOverError * error) return;
        add(FaultKind::dash_short,
            first_mark(ElementKind::dash,
                       [&](double length) { return length < kShortDash * dot.mean_s; }),
            fmt::format("dashes are {:.1f} dots long, three are wanted", ratio),
            "Hold the dashes: count one-two-three on each before the key comes up.");
    }

    void gaps() {
        const LengthStatistics& character = s_.of(ElementKind::character_gap);
        const LengthStatistics& word = s_.of(ElementKind::word_gap);
        if (character.count < 5) return;
        const double lag_s = has(FaultKind::dots_clipped) ? std::max(0.0, lag_.mean_s) : 0.0;
        const double units = (character.mean_s - lag_s) / unit_s_;
        const double error = character.sd_s / unit_s_ / std::sqrt(character.count);
        const bool words = word.count >= 5;
        const double word_units = words ? (word.mean_s - lag_s) / unit_s_ : morse::kWordGapUnits;
        const double word_error = words ? word.sd_s / unit_s_ / std::sqrt(word.count) : 0.0;
        if (units < kClosedGap - kMeansOverError * error) {
            add(FaultKind::gaps_closed,
                first_gap(ElementKind::character_gap,
                          [&](double gap) { return gap < kClosedGap * unit_s_; }),
                fmt::format("gaps between characters are {:.1f} dots, three are wanted", units),
                "Leave more room between characters: they run into each other.");
        } else if (word_units < kClosedWord - kMeansOverError * word_error) {
            add(FaultKind::gaps_closed,
                first_gap(ElementKind::word_gap,
                          [&](double gap) { return gap < kClosedWord * unit_s_; }),
                fmt::format("gaps between words are {:.1f} dots, seven are wanted", word_units),
                "Leave more room between words or groups.");
        }
        if (units < kStretchedGap + kMeansOverError * error) return;
        const double evenly =
            word_units / units / (morse::kWordGapUnits / morse::kCharacterGapUnits);
        const bool even = words && evenly > 0.75 && evenly < 1.4;
        add(FaultKind::gaps_stretched,
            first_gap(ElementKind::character_gap,
                      [&](double gap) { return gap > kStretchedGap * unit_s_; }),
            fmt::format("gaps between characters are {:.1f} dots, three are wanted; between words "
                        "{:.1f}",
                        units, word_units),
            even ? "Both are stretched alike: right for a learner's spacing, else close them up."
                 : "Close up the characters of a word, or they are copied as words.");
    }

    void speed() {
        if (!std::isfinite(s_.drift_percent)) return;
        const double error = std::abs(s_.drift_error_percent_per_min);
        if (std::abs(s_.drift_percent) < kDriftPercent ||
            std::abs(s_.drift_percent_per_min) < kDriftOverError * error) {
            return;
        }
        add(FaultKind::speed_runs_away, start_s(),
            fmt::format("from first to last the speed went {} by {:.0f} %",
                        s_.drift_percent > 0.0 ? "up" : "down", std::abs(s_.drift_percent)),
            s_.drift_percent > 0.0
                ? "Begin at a speed that can be held to the end, and listen for it."
                : "Begin slower: the speed at the start could not be held.");
    }

    void note() {
        const NoteQuality q = note_quality(*j_.tone, j_.keying);
        if (std::abs(q.chirp_hz.value) > kChirpHz &&
            std::abs(q.chirp_hz.over_error()) > kNoteOverError) {
            add(FaultKind::chirp, start_s(),
                fmt::format("the note begins {:.0f} Hz {} and settles", std::abs(q.chirp_hz.value),
                            q.chirp_hz.value > 0.0 ? "high" : "low"),
                "Load the oscillator less, or look at its supply: the pitch is pulled at "
                "key-down.");
        }
        if (q.hum_depth.value > kHumDepth && q.hum_depth.over_error() > kNoteOverError) {
            add(FaultKind::hum, start_s(),
                fmt::format("hum on the note at {:.0f} Hz, {:.0f} % deep", q.hum_hz,
                            100.0 * q.hum_depth.value),
                "Look at the smoothing of the transmitter's supply.");
        }
        if (q.bounce_share.value > kBounceShare && q.bounce_share.over_error() > kNoteOverError) {
            add(FaultKind::contact_bounce, q.first_bounce_s,
                fmt::format("{:.0f} % of the marks break off just after they begin",
                            100.0 * q.bounce_share.value),
                kCleanContacts);
        }
    }

    const Judged& j_;
    const Statistics& s_;
    StartLag lag_;
    double unit_s_;
    std::vector<Fault> faults_;
};

}  // namespace

std::string_view name_of(FaultKind kind) {
    constexpr std::array<std::string_view, kFaultKinds> kNames = {
        "dots_clipped",   "first_late",      "contact_bounce", "dash_short", "gaps_closed",
        "gaps_stretched", "speed_runs_away", "uneven_dots",    "chirp",      "hum"};
    return kNames[static_cast<std::size_t>(kind)];
}

bool is_of_hand(FaultKind kind) {
    switch (kind) {
        case FaultKind::dash_short:
        case FaultKind::gaps_closed:
        case FaultKind::gaps_stretched:
        case FaultKind::speed_runs_away:
            return true;
        default:
            return false;
    }
}

std::vector<Fault> find_faults(const Judged& judged) { return Finder(judged).run(); }

}  // namespace skedlark::fist
