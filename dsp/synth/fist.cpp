#include "dsp/synth/fist.h"

#include <array>
#include <string>

namespace skedlark::synth {
namespace {

constexpr auto kFists = std::to_array<NamedFist>({
    {"machine", "exact standard lengths", Fist{}},
    {"steady",
     "practised hand, close to the standard",
     {{1.0, 0.07}, {3.05, 0.05}, {1.0, 0.08}, {3.1, 0.12}, {7.2, 0.18}}},
    {"ordinary",
     "everyday hand, speed wanders",
     {{1.0, 0.12}, {3.3, 0.09}, {0.95, 0.14}, {3.4, 0.22}, {8.0, 0.30}, 0.08}},
    {"swinging",
     "long dashes, short inner gaps",
     {{1.0, 0.10}, {4.4, 0.12}, {0.8, 0.12}, {3.2, 0.20}, {7.5, 0.25}}},
    {"semi-automatic",
     "even dots by the key, dashes by hand",
     {{1.0, 0.02}, {3.7, 0.16}, {1.0, 0.06}, {3.3, 0.20}, {7.5, 0.25}}},
    {"poor",
     "uneven in everything, speed wanders",
     {{1.0, 0.20}, {3.0, 0.16}, {1.05, 0.22}, {3.2, 0.30}, {7.0, 0.35}, 0.15}},
});

}  // namespace

std::span<const NamedFist> named_fists() { return kFists; }

Result<Fist> fist_by_name(std::string_view name) {
    std::string names;
    for (const NamedFist& named : kFists) {
        if (named.name == name) return named.fist;
        names += (names.empty() ? "" : ", ") + std::string(named.name);
    }
    return Error{ErrorCode::not_found, "fist: \"" + std::string(name) + "\", allowed " + names};
}

}  // namespace skedlark::synth
