// Faults put into the sending of a known text: how many are found and placed, how many are false.
#include <fmt/format.h>

#include <cstdlib>
#include <iostream>

#include "dsp/fist/alignment.h"
#include "dsp/synth/text_makers.h"
#include "tests/accuracy/fist/parts.h"
#include "tests/support/seed.h"

namespace skedlark::study {
namespace {

struct Count {
    int characters = 0, put_in = 0, found = 0, kind_right = 0, false_ones = 0, failed = 0;
};

// Within a character of each other; of a row of equal characters no one can tell which is missing.
bool near(const Sending& sending, std::size_t a, std::size_t b) {
    if (a > b) std::swap(a, b);
    if (b <= a + 1) return true;
    for (std::size_t i = a; i <= std::min(b, sending.letters.size() - 1); ++i) {
        if (sending.letters[i] != sending.letters[a]) return false;
    }
    return true;
}

void judge(const Sending& sending, const fist::Alignment& alignment, bool list, Count& count) {
    count.characters += static_cast<int>(sending.characters);
    for (const PutIn& fault : sending.faults) {
        ++count.put_in;
        bool found = false, kind = false;
        for (const fist::TextError& error : alignment.errors) {
            if (!near(sending, error.meant_at, fault.meant_at)) continue;
            found = true;
            kind = kind || name_of(error.kind) == fault.kind;
        }
        count.found += found ? 1 : 0;
        count.kind_right += kind ? 1 : 0;
        if (list && !found)
            std::cerr << "missed " << fault.kind << " at " << fault.meant_at << "\n";
    }
    for (const fist::TextError& error : alignment.errors) {
        bool real = false;
        for (const PutIn& fault : sending.faults) {
            real = real || near(sending, error.meant_at, fault.meant_at);
        }
        count.false_ones += real ? 0 : 1;
        if (list && !real) {
            std::cerr << "false " << name_of(error.kind) << " at " << error.meant_at << " ("
                      << error.at_s << " s): " << error.meant << " as " << error.sent << "\n";
        }
    }
}

}  // namespace

support::CsvTable alignment_table(const FistStudy& study) {
    support::CsvTable out({"hand", "snr_2500hz_db", "characters", "put_in", "found_share",
                           "kind_right_share", "false_per_200", "not_aligned"});
    for (const auto& named : synth::named_fists()) {
        if (!study.hand.empty() && named.name != study.hand) continue;
        Count count;
        for (int n = 0; n < study.seeds; ++n) {
            const std::uint64_t seed = study.first_seed + static_cast<std::uint64_t>(n);
            synth::Random random(support::seed_for_part(seed, 1));
            const std::string text =
                synth::random_groups(study.groups, synth::GroupKind::letters, random);
            const Sending sending = with_faults(text, 12, random);
            const auto marks = key(sending.runs, named.fist, random.uniform(12.0, 22.0), random);
            const auto audio = sound_of(marks, {study.snr_db}, seed);
            const auto track = fist::follow_tone(audio, 700.0);
            if (!track) std::abort();
            const auto tone = fist::bring_down(audio, *track);
            const fist::Keying keying = fist::measure_edges(tone, fist::find_marks(tone));
            const auto hand = fist::find_hand(keying);
            if (!hand) {
                ++count.failed;
                continue;
            }
            const auto aligned = fist::align(keying, *hand, *morse::symbols_from_text(text));
            if (!aligned) std::abort();
            if (study.list) std::cerr << named.name << " seed " << seed << "\n";
            judge(sending, *aligned, study.list, count);
        }
        out.add_row(
            {std::string(named.name), fmt::format("{:.1f}", study.snr_db),
             std::to_string(count.characters), std::to_string(count.put_in),
             fmt::format("{:.4f}", 1.0 * count.found / std::max(1, count.put_in)),
             fmt::format("{:.4f}", 1.0 * count.kind_right / std::max(1, count.put_in)),
             fmt::format("{:.3f}", 200.0 * count.false_ones / std::max(1, count.characters)),
             std::to_string(count.failed)});
    }
    return out;
}

}  // namespace skedlark::study
