#include "tests/accuracy/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cstdio>
#include <thread>

#include "dsp/synth/text_makers.h"

namespace skedlark::accuracy {
namespace {

constexpr std::uint64_t kBootstrapSeed = 20;  // the draws' own, so that a table can be made again

template <typename Part>
std::vector<support::ErrorCount> part_of(const std::vector<support::TextScore>& scores, Part part) {
    std::vector<support::ErrorCount> counts;
    counts.reserve(scores.size());
    for (const support::TextScore& score : scores) counts.push_back(score.*part);
    return counts;
}

}  // namespace

std::string letter_groups(int groups, std::uint64_t seed) {
    synth::Random random(support::seed_for_part(seed, 0));
    return synth::random_groups(groups, synth::GroupKind::letters, random);
}

std::vector<support::TextScore> over_seeds(
    const StudyOptions& options, const std::function<support::TextScore(std::uint64_t)>& run) {
    std::vector<support::TextScore> scores(static_cast<std::size_t>(options.seeds));
    std::atomic<int> next{0};
    const auto work = [&] {
        for (int i = next++; i < options.seeds; i = next++) {
            scores[static_cast<std::size_t>(i)] =
                run(options.first_seed + static_cast<std::uint64_t>(i));
        }
    };
    std::vector<std::jthread> others;
    for (int t = 1; t < options.threads; ++t) others.emplace_back(work);
    work();
    others.clear();
    return scores;
}

Rate rate_of(const std::vector<support::ErrorCount>& messages) {
    Rate rate;
    for (const support::ErrorCount& message : messages) rate.count += message;
    const support::Interval over_messages = support::bootstrap_interval(messages, kBootstrapSeed);
    // A message can hold more errors than characters; Wilson speaks of at most one each.
    const support::Interval single =
        support::wilson_interval(std::min(rate.count.errors, rate.count.truth), rate.count.truth);
    rate.interval = {std::min(over_messages.low, single.low),
                     std::max(over_messages.high, single.high)};
    return rate;
}

std::vector<support::ErrorCount> all_of(const std::vector<support::TextScore>& scores) {
    return part_of(scores, &support::TextScore::all);
}
std::vector<support::ErrorCount> letters_of(const std::vector<support::TextScore>& scores) {
    return part_of(scores, &support::TextScore::letters);
}
std::vector<support::ErrorCount> spaces_of(const std::vector<support::TextScore>& scores) {
    return part_of(scores, &support::TextScore::spaces);
}

std::vector<std::string> score_columns() {
    return {"cer", "cer_low", "cer_high", "letters", "spaces", "characters"};
}

std::vector<std::string> score_cells(const std::vector<support::TextScore>& scores) {
    constexpr int kDigits = 5;
    const Rate all = rate_of(all_of(scores));
    return {support::cell(all.count.rate(), kDigits),
            support::cell(all.interval.low, kDigits),
            support::cell(all.interval.high, kDigits),
            support::cell(rate_of(letters_of(scores)).count.rate(), kDigits),
            support::cell(rate_of(spaces_of(scores)).count.rate(), kDigits),
            support::cell(all.count.truth)};
}

int deliver(const support::CsvTable& table, const StudyOptions& options) {
    if (options.out.empty()) {
        std::fputs(table.text().c_str(), stdout);
        return 0;
    }
    if (const Status done = table.write(options.out); !done) {
        std::fprintf(stderr, "%s\n", done.error().message.c_str());
        return 3;
    }
    return 0;
}

std::string seeds_note(const StudyOptions& options) {
    return fmt::format("seeds {} to {}, intervals 95 % over whole messages", options.first_seed,
                       options.first_seed + static_cast<std::uint64_t>(options.seeds) - 1);
}

}  // namespace skedlark::accuracy
