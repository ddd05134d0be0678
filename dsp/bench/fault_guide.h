// Where to look when a set is not right: symptoms, which measurement tells the causes apart, the order.
//
// Stage:   bench. In: sheets measured so far. Out: the guide as a table and as text; likely places in order.
// Units:   none.
// Shape:   one table; docs/fault-guide.md and the desk show the same text.
// Time:    none.
// Errors:  none; without a sheet the order is that of experience alone.
// Threads: pure.
// Source:  bench practice, from memory: valves fail first, plug contacts loosen, supplies hum. Hints, no verdicts.
// Checked: tests/dsp/bench/fault_guide_test.cpp, which also holds docs/fault-guide.md against it
#pragma once

#include <span>
#include <string>
#include <vector>

#include "dsp/bench/sheet.h"

namespace skedlark::bench {

struct FaultCause {
    std::string place;  // one of the places of likely_places()
    std::string shows;  // which measurement tells it, and how
    std::string look;   // what to do about it
};
struct FaultSymptom {
    std::string symptom;
    std::vector<std::string> measure;  // tests to do, in this order
    std::vector<FaultCause> causes;    // in the order in which to look
};
[[nodiscard]] std::span<const FaultSymptom> fault_guide();
// Said before anything is opened.
[[nodiscard]] std::span<const std::string> fault_cautions();
// The whole of docs/fault-guide.md.
[[nodiscard]] std::string fault_guide_markdown();

struct LikelyPlace {
    std::string place;
    double weight = 0.0;               // only for the order
    std::vector<std::string> because;  // what was measured; none: experience alone
};
// What speaks most first. A measurement that speaks for nothing is left out of it.
[[nodiscard]] std::vector<LikelyPlace> likely_places(std::span<const Sheet> sheets);

}  // namespace skedlark::bench
