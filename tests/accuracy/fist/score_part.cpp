// The score against each fault put in, growing: lengths alone, no audio.
#include <fmt/format.h>

#include <functional>

#include "dsp/fist/score.h"
#include "dsp/synth/text_makers.h"
#include "tests/accuracy/fist/parts.h"
#include "tests/support/seed.h"

namespace skedlark::study {
namespace {

struct Knob {
    const char* fault;
    double from, to;
    std::function<void(synth::Fist&, double)> turn;
};

std::vector<Knob> knobs() {
    return {
        {"character gap, dots", 3.0, 1.2, [](auto& f, double x) { f.character_gap.mean_dots = x; }},
        {"character gap stretched, dots", 3.0, 7.0,
         [](auto& f, double x) { f.character_gap.mean_dots = x; }},
        {"word gap, dots", 7.0, 3.0, [](auto& f, double x) { f.word_gap.mean_dots = x; }},
        {"dash, dots", 3.0, 1.2, [](auto& f, double x) { f.dash.mean_dots = x; }},
        {"dots uneven, cv", 0.0, 0.5, [](auto& f, double x) { f.dot.cv = std::max(f.dot.cv, x); }},
        {"character gaps uneven, cv", 0.0, 0.6,
         [](auto& f, double x) { f.character_gap.cv = std::max(f.character_gap.cv, x); }}};
}

// Lengths whose kinds are known, as the text tells them.
double score_of_marks(const std::vector<Run>& runs, const std::vector<synth::Mark>& marks,
                      double readable) {
    fist::Keying keying;
    fist::Sending sending;
    std::size_t at = 0;
    for (const Run& run : runs) {
        for (std::size_t n = 0; n < run.elements.size(); ++n, ++at) {
            if (at > 0) {
                const auto kind = n > 0                            ? morse::ElementKind::element_gap
                                  : run.gap_before == Gap::element ? morse::ElementKind::element_gap
                                  : run.gap_before == Gap::character
                                      ? morse::ElementKind::character_gap
                                      : morse::ElementKind::word_gap;
                sending.kinds.gaps.push_back(kind);
                sending.gap_counts.push_back(1);
            }
            sending.kinds.marks.push_back(marks[at].dash ? morse::ElementKind::dash
                                                         : morse::ElementKind::dot);
            sending.mark_counts.push_back(1);
            keying.marks.push_back({marks[at].on_s, marks[at].off_s});
        }
    }
    return fist::score_of(fist::measured_models(keying, sending), readable).total;
}

}  // namespace

support::CsvTable score_table(const FistStudy& study) {
    support::CsvTable out({"hand", "fault", "value", "score_mean", "score_least", "score_most"});
    constexpr int kSteps = 6;
    for (const auto& named : synth::named_fists()) {
        if (!study.hand.empty() && named.name != study.hand) continue;
        for (const Knob& knob : knobs()) {
            for (int step = 0; step <= kSteps; ++step) {
                const double value = knob.from + (knob.to - knob.from) * step / kSteps;
                double sum = 0.0, least = 100.0, most = 0.0;
                for (int n = 0; n < study.seeds; ++n) {
                    synth::Random random(support::seed_for_part(
                        study.first_seed + static_cast<std::uint64_t>(n), 3));
                    const auto runs = as_meant(synth::random_groups(
                                                   study.groups, synth::GroupKind::letters, random))
                                          .runs;
                    synth::Fist hand = named.fist;
                    knob.turn(hand, value);
                    const double score = score_of_marks(runs, key(runs, hand, 18.0, random), 1.0);
                    sum += score / study.seeds;
                    least = std::min(least, score);
                    most = std::max(most, score);
                }
                out.add_row({std::string(named.name), knob.fault, fmt::format("{:.2f}", value),
                             fmt::format("{:.2f}", sum), fmt::format("{:.2f}", least),
                             fmt::format("{:.2f}", most)});
            }
        }
    }
    return out;
}

}  // namespace skedlark::study
