// All readings of a message as a graph, and the two ways to take one: the likeliest whole, or the
// symbols with the highest posterior.
//
// Stage:   tests (bounds). In: arcs with log weights. Out: text.
// Shape:   nodes 0 to last; every arc leads to a higher node; node 0 is the start, the last is the
//          end.
// Units:   weights are natural logarithms of likelihood times prior.
// Errors:  no path from start to end gives an empty text.
// Threads: none.
// Source:  forward-backward and Viterbi algorithms, Rabiner, Proc. IEEE 77 (1989) 257-286.
// Checked: tests/accuracy/lattice_test.cpp, against the sum over all paths written out.
#pragma once

#include <string>
#include <vector>

namespace skedlark::accuracy {

struct Arc {
    int from = 0;
    int to = 0;
    double log_weight = 0.0;
    std::string text;  // a character, a blank, or nothing (a gap inside a word)
};

class Lattice {
 public:
    explicit Lattice(int nodes) : nodes_(nodes) {}
    void add(Arc arc);
    // Orders the arcs; call once after the last add().
    void finish();

    [[nodiscard]] std::string likeliest_text() const;
    // The path with the largest sum of arc posteriors, each weighted by the nodes its arc spans:
    // the most of the message read right on average. (Unweighted, two short symbols would win over
    // one.)
    [[nodiscard]] std::string posterior_text() const;
    // Posterior of each arc, in the order of arcs().
    [[nodiscard]] std::vector<double> posteriors() const;
    [[nodiscard]] const std::vector<Arc>& arcs() const { return arcs_; }

 private:
    [[nodiscard]] std::string best_path(const std::vector<double>& gain) const;

    int nodes_;
    std::vector<Arc> arcs_;
};

}  // namespace skedlark::accuracy
