#include "dsp/copy/code_tree.h"

#include <cassert>
#include <string_view>

#include "dsp/morse/code_table.h"

namespace skedlark::copy {
namespace {

// Relative chance of a symbol before anything was heard. Letters and figures are taken as equal, so
// that ciphers and plain text are read alike; the rest is rare in traffic, but must not be ruled
// out.
constexpr double kWeightLetterOrFigure = 1.0;
constexpr double kWeightCommonSign = 0.15;  // . , ? / = -
constexpr double kWeightRareSign = 0.02;
constexpr double kWeightProcedure = 0.04;

double weight_of(const morse::Symbol& symbol) {
    if (symbol.procedure) {
        return kWeightProcedure;
    }
    const char c = symbol.text.front();
    if (symbol.text.size() == 1 && ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'))) {
        return kWeightLetterOrFigure;
    }
    constexpr std::string_view kCommon = ".,?/=-";
    return symbol.text.size() == 1 && kCommon.find(c) != std::string_view::npos ? kWeightCommonSign
                                                                                : kWeightRareSign;
}

CodeTree build() {
    CodeTree tree;
    tree.size = 1;
    tree.dot_child.fill(-1);
    tree.dash_child.fill(-1);
    tree.parent.fill(-1);
    std::array<double, kNodeStride> own{};    // weight of the symbols that end here
    std::array<double, kNodeStride> below{};  // and of all that pass through
    for (const morse::Symbol& symbol : morse::symbols()) {
        int node = 0;
        const double weight = weight_of(symbol);
        below[0] += weight;
        for (const char element : symbol.elements) {
            int& child = (element == '.' ? tree.dot_child : tree.dash_child)[node];
            if (child < 0) {
                assert(tree.size < kNodeStride);
                child = tree.size++;
                tree.parent[child] = node;
                tree.by_dash[child] = element == '-';
            }
            node = child;
            below[node] += weight;
        }
        own[node] += weight;
        if (tree.reading[node].text.empty()) {
            tree.reading[node] = {std::string(symbol.text), symbol.procedure};
        }
    }
    for (int node = 0; node < tree.size; ++node) {
        const auto share = [&](int child) {
            return child < 0 ? 0.0F : static_cast<float>(below[child] / below[node]);
        };
        tree.dot_odds[node] = share(tree.dot_child[node]);
        tree.dash_odds[node] = share(tree.dash_child[node]);
        tree.end_odds[node] = static_cast<float>(own[node] / below[node]);
    }
    return tree;
}

}  // namespace

const CodeTree& CodeTree::standard() {
    static const CodeTree tree = build();
    return tree;
}

}  // namespace skedlark::copy
