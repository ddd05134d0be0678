#include "tests/accuracy/lattice.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

namespace skedlark::accuracy {
namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

double log_sum(double a, double b) {
    if (a < b) std::swap(a, b);
    return b == kNever ? a : a + std::log1p(std::exp(b - a));
}

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

void Lattice::add(Arc arc) {
    assert(arc.from >= 0 && arc.from < arc.to && arc.to < nodes_);
    arcs_.push_back(std::move(arc));
}

void Lattice::finish() {
    std::stable_sort(arcs_.begin(), arcs_.end(),
                     [](const Arc& a, const Arc& b) { return a.from < b.from; });
}

std::string Lattice::best_path(const std::vector<double>& gain) const {
    std::vector<double> best(at(nodes_), kNever);
    std::vector<int> through(at(nodes_), -1);
    best[0] = 0.0;
    for (std::size_t i = 0; i < arcs_.size(); ++i) {
        const Arc& arc = arcs_[i];
        const double score = best[at(arc.from)] + gain[i];
        if (score > best[at(arc.to)]) {
            best[at(arc.to)] = score;
            through[at(arc.to)] = static_cast<int>(i);
        }
    }
    std::vector<const Arc*> path;
    for (int node = nodes_ - 1; node > 0;) {
        if (through[at(node)] < 0) return {};
        path.push_back(&arcs_[at(through[at(node)])]);
        node = path.back()->from;
    }
    std::string text;
    for (auto arc = path.rbegin(); arc != path.rend(); ++arc) text += (*arc)->text;
    return text;
}

std::string Lattice::likeliest_text() const {
    std::vector<double> gain;
    gain.reserve(arcs_.size());
    for (const Arc& arc : arcs_) gain.push_back(arc.log_weight);
    return best_path(gain);
}

std::vector<double> Lattice::posteriors() const {
    std::vector<double> forward(at(nodes_), kNever);
    std::vector<double> backward(at(nodes_), kNever);
    const std::size_t end = at(nodes_ - 1);
    forward[0] = 0.0;
    backward[end] = 0.0;
    for (const Arc& arc : arcs_) {
        forward[at(arc.to)] = log_sum(forward[at(arc.to)], forward[at(arc.from)] + arc.log_weight);
    }
    for (auto arc = arcs_.rbegin(); arc != arcs_.rend(); ++arc) {
        backward[at(arc->from)] =
            log_sum(backward[at(arc->from)], backward[at(arc->to)] + arc->log_weight);
    }
    std::vector<double> result;
    result.reserve(arcs_.size());
    for (const Arc& arc : arcs_) {
        const double through = forward[at(arc.from)] + arc.log_weight + backward[at(arc.to)];
        result.push_back(through == kNever ? 0.0 : std::exp(through - forward[end]));
    }
    return result;
}

std::string Lattice::posterior_text() const {
    std::vector<double> gain = posteriors();
    for (std::size_t i = 0; i < arcs_.size(); ++i) gain[i] *= arcs_[i].to - arcs_[i].from;
    return best_path(gain);
}

}  // namespace skedlark::accuracy
