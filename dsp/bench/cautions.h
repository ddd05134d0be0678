// Cautions at the steps where something can hurt: one wording for all surfaces.
//
// Stage:   bench. Out: sentences.
// Source:  safety practice of work on valve sets (common practice, no source); each defers to the rules and
//          the licensed people of the place.
#pragma once

namespace skedlark::bench {

// For a test that works on sets opened up.
inline constexpr const char* kHighVoltageCaution =
    "Caution: a valve set holds lethal voltages, also after it was switched off. Before the "
    "hands go in: off, plug out, capacitors discharged through a resistor and checked with a "
    "meter. "
    "Sets without a mains transformer can be live at the chassis: work only behind an isolation "
    "transformer. Measure with one hand, the other in a pocket. The electrical rules of your place "
    "and people licensed for such work come before anything said here.";

// For a test with a generator and the set closed.
inline constexpr const char* kHeadphoneCaution =
    "Caution: take the headphones off the ears before the generator is stepped up. Lead it in "
    "through a "
    "capacitor: the aerial terminal of a set without a mains transformer can be live. The set "
    "stays "
    "closed for this test; before anything inside of it is touched: off, plug out, capacitors "
    "discharged.";

inline constexpr const char* kBatteryCaution =
    "Caution: do not run a cell flatter than its maker allows. Lead-acid cells give off explosive "
    "gas "
    "on the charger: ventilate, keep sparks away, follow the maker's and the local rules.";

}  // namespace skedlark::bench
