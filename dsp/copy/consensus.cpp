#include "dsp/copy/consensus.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace skedlark::copy {
namespace {

// Readings of one character whose middles lie within so many dots are the same event.
constexpr double kSameDots = 1.5;
// Edges of neighbours may overlap by so many dots through scatter of the samples.
constexpr double kOverlapDots = 1.0;
// Share of readings that must have something sent at a place before an open mark is printed there.
constexpr double kPresentShare = 0.6;
constexpr std::size_t kMostOthers = 4;

struct Cluster {
    int node = 0;
    int count = 0;
    int word_gaps = 0;
    double from = 0.0, to = 0.0;  // means
    [[nodiscard]] double middle() const { return 0.5 * (from + to); }
    void add(const SampledCharacter& character) {
        ++count;
        from += (static_cast<double>(character.from()) - from) / count;
        to += (static_cast<double>(character.to()) - to) / count;
        word_gaps +=
            character.before == GapKind::word || character.before == GapKind::pause ? 1 : 0;
    }
};

std::vector<Cluster> cluster(const std::vector<SampledPath>& paths, double since,
                             double dot_frames) {
    std::vector<Cluster> clusters;
    for (const SampledPath& path : paths) {
        for (const SampledCharacter& character : path) {
            if (!character.complete || static_cast<double>(character.from()) < since) {
                continue;
            }
            const double middle = 0.5 * static_cast<double>(character.from() + character.to());
            const auto same = std::find_if(clusters.begin(), clusters.end(), [&](const Cluster& c) {
                return c.node == character.node &&
                       std::abs(c.middle() - middle) < kSameDots * dot_frames;
            });
            if (same != clusters.end()) {
                same->add(character);
            } else {
                Cluster fresh;
                fresh.node = character.node;
                fresh.add(character);
                clusters.push_back(fresh);
            }
        }
    }
    std::sort(clusters.begin(), clusters.end(),
              [](const Cluster& a, const Cluster& b) { return a.to < b.to; });
    return clusters;
}

// Indices of the set of clusters that do not overlap with the largest sum of (share - floor).
std::vector<std::size_t> choose(const std::vector<Cluster>& clusters,
                                const ConsensusConfig& config) {
    const std::size_t count = clusters.size();
    std::vector<double> best(count + 1, 0.0);
    std::vector<std::size_t> before(count + 1, 0);
    std::vector<bool> taken(count, false);
    for (std::size_t i = 0; i < count; ++i) {
        std::size_t j = i;
        while (j > 0 && clusters[j - 1].to > clusters[i].from + kOverlapDots * config.dot_frames) {
            --j;
        }
        before[i] = j;
        const double gain =
            static_cast<double>(clusters[i].count) / config.paths - config.open_mark_below;
        taken[i] = best[j] + gain > best[i];
        best[i + 1] = taken[i] ? best[j] + gain : best[i];
    }
    std::vector<std::size_t> chosen;
    for (std::size_t i = count; i > 0;) {
        if (taken[i - 1]) {
            chosen.push_back(i - 1);
            i = before[i - 1];
        } else {
            --i;
        }
    }
    std::reverse(chosen.begin(), chosen.end());
    return chosen;
}

bool overlap(const Cluster& a, const AgreedCharacter& b) {
    const double shared = std::min(a.to, b.to) - std::max(a.from, b.from);
    return shared > 0.5 * std::min(a.to - a.from, b.to - b.from);
}

// Places between `from` and `to` where most readings have some character, but no two the same one.
void add_open_marks(const std::vector<Cluster>& clusters, const ConsensusConfig& config,
                    std::vector<AgreedCharacter>& out) {
    std::vector<AgreedCharacter> open;
    for (const Cluster& c : clusters) {
        const auto hit = [&](const AgreedCharacter& a) {
            return std::min(c.to, a.to) - std::max(c.from, a.from) > 0.0;
        };
        if (std::any_of(out.begin(), out.end(), hit)) {
            continue;
        }
        const double share = static_cast<double>(c.count) / config.paths;
        const double gap = static_cast<double>(c.word_gaps) / config.paths;
        const auto place = std::find_if(open.begin(), open.end(), hit);
        if (place == open.end()) {
            open.push_back({-1, c.from, c.to, share, gap, {{c.node, share}}});
        } else {
            // Weighted place, so that many weak readings of one character make one open mark.
            const double all = place->share + share;
            place->from = (place->from * place->share + c.from * share) / all;
            place->to = (place->to * place->share + c.to * share) / all;
            place->share = all;
            place->word_gap_before += gap;
            place->others.emplace_back(c.node, share);
        }
    }
    for (AgreedCharacter& mark : open) {
        if (mark.share >= kPresentShare) {
            mark.word_gap_before /= mark.share;
            std::sort(mark.others.begin(), mark.others.end(),
                      [](const auto& a, const auto& b) { return a.second > b.second; });
            mark.share = mark.others.front().second;
            mark.others.resize(std::min(mark.others.size(), kMostOthers));
            out.push_back(mark);
        }
    }
    std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.to < b.to; });
}

}  // namespace

std::vector<AgreedCharacter> agree(const std::vector<SampledPath>& paths, double since,
                                   const ConsensusConfig& config) {
    const std::vector<Cluster> clusters = cluster(paths, since, config.dot_frames);
    std::vector<AgreedCharacter> out;
    for (const std::size_t i : choose(clusters, config)) {
        const Cluster& c = clusters[i];
        AgreedCharacter agreed{c.node,
                               c.from,
                               c.to,
                               static_cast<double>(c.count) / config.paths,
                               static_cast<double>(c.word_gaps) / c.count,
                               {}};
        for (std::size_t k = 0; k < clusters.size(); ++k) {
            if (k != i && overlap(clusters[k], agreed)) {
                agreed.others.emplace_back(clusters[k].node,
                                           static_cast<double>(clusters[k].count) / config.paths);
            }
        }
        std::sort(agreed.others.begin(), agreed.others.end(),
                  [](const auto& a, const auto& b) { return a.second > b.second; });
        agreed.others.resize(std::min(agreed.others.size(), kMostOthers));
        out.push_back(std::move(agreed));
    }
    add_open_marks(clusters, config, out);
    return out;
}

}  // namespace skedlark::copy
