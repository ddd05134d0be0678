#include "tests/accuracy/lattice.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

// Every path from the start to the end, written out: the definition itself.
struct Path {
    std::string text;
    double weight = 0.0;
    std::vector<std::size_t> arcs;
};
void walk(const Lattice& lattice, int node, int end, Path path, std::vector<Path>& all) {
    if (node == end) all.push_back(path);
    for (std::size_t i = 0; i < lattice.arcs().size(); ++i) {
        const Arc& arc = lattice.arcs()[i];
        if (arc.from != node) continue;
        Path longer = path;
        longer.text += arc.text;
        longer.weight += arc.log_weight;
        longer.arcs.push_back(i);
        walk(lattice, arc.to, end, longer, all);
    }
}

TEST(Lattice, EqualsTheSumOverAllPaths) {
    std::mt19937_64 random(support::test_seed(21));
    std::uniform_real_distribution<double> weight(-3.0, 3.0);
    std::bernoulli_distribution there(0.7);
    for (int trial = 0; trial < 50; ++trial) {
        constexpr int kNodes = 7;
        Lattice lattice(kNodes);
        for (int from = 0; from < kNodes; ++from) {
            for (int to = from + 1; to < kNodes; ++to) {
                const bool chain = to == from + 1;
                if (chain || there(random)) {
                    lattice.add({from, to, weight(random), std::string(1, "ABCDEFG"[to])});
                }
            }
        }
        lattice.finish();
        std::vector<Path> paths;
        walk(lattice, 0, kNodes - 1, {}, paths);
        double total = 0.0;
        std::vector<double> through(lattice.arcs().size(), 0.0);
        const Path* best = &paths.front();
        for (const Path& path : paths) {
            total += std::exp(path.weight);
            for (const std::size_t arc : path.arcs) through[arc] += std::exp(path.weight);
            if (path.weight > best->weight) best = &path;
        }
        EXPECT_EQ(lattice.likeliest_text(), best->text);
        const std::vector<double> posteriors = lattice.posteriors();
        for (std::size_t i = 0; i < posteriors.size(); ++i) {
            EXPECT_NEAR(posteriors[i], through[i] / total, 1e-12);
        }
    }
}

TEST(Lattice, PosteriorReadingPrefersWhatMostReadingsShare) {
    // One likeliest whole (weight .4), two others (.3 each) that agree on the first half.
    Lattice lattice(3);
    lattice.add({0, 2, std::log(0.4), "X"});
    lattice.add({0, 1, 0.0, "A"});
    lattice.add({1, 2, std::log(0.3), "B"});
    lattice.add({1, 2, std::log(0.3), "C"});
    lattice.finish();
    EXPECT_EQ(lattice.likeliest_text(), "X");
    EXPECT_EQ(lattice.posterior_text().front(), 'A');
}

TEST(Lattice, NoPathIsNoText) {
    Lattice lattice(3);
    lattice.add({0, 1, 0.0, "A"});
    lattice.finish();
    EXPECT_EQ(lattice.likeliest_text(), "");
    EXPECT_EQ(lattice.posterior_text(), "");
}

}  // namespace
}  // namespace skedlark::accuracy
