// What is read from a pitch curve: when it settles, what the supply does, whether it comes back.
//
// Stage:   bench. In: a PitchCurve, marks of the person at the bench. Out: figures.
// Units:   hertz, seconds from the audio's start.
// Shape:   none.
// Time:    none.
// Errors:  marks that are out of order or outside the recording: check_marks(), invalid_value. A figure
//          that the curve does not hold is left empty.
// Threads: pure.
// Source:  least squares of a line with a step at the mark (JCGM 100:2008, from memory), so that warming up is
//          not taken for the supply.
// Checked: tests/dsp/bench/drift_reading_test.cpp
#pragma once

#include <optional>
#include <vector>

#include "dsp/bench/figure.h"
#include "dsp/bench/pitch_curve.h"
#include "dsp/core/result.h"

namespace skedlark::bench {

enum class Supply { low, normal, high };

struct SupplyMark {
    double at_s = 0.0;
    Supply supply = Supply::normal;
};
struct PowerMark {
    double off_s = 0.0;
    double on_s = 0.0;  // above off_s
};

struct SupplyEffect {
    SupplyMark mark{};
    // Within the first ten seconds (plate supply), and by the end of the stretch (heaters too; what drifts
    // anyway is in it).
    std::optional<Figure> prompt_hz{};
    std::optional<Figure> settled_hz{};
};

struct Retrace {
    PowerMark mark{};
    Figure change_hz{};       // after as long on as before it was switched off, less before
    double after_on_s = 0.0;  // how long it had been on again
};

[[nodiscard]] Status check_marks(const std::vector<SupplyMark>& supply,
                                 const std::vector<PowerMark>& power, double length_s);

// Mean pitch between two times; empty where less than a third of it was measured.
[[nodiscard]] std::optional<Figure> mean_pitch(const PitchCurve& curve, double from_s, double to_s);

// The least time from which on the pitch spans no more than within_hz in every stretch of for_s (or to the
// end, where less is left). Empty where that is not before the last tenth.
[[nodiscard]] std::optional<Figure> settled_from(const PitchCurve& curve, double within_hz,
                                                 double for_s);
// Greatest span in any stretch of for_s from `from_s` on, what noise adds taken off.
[[nodiscard]] Figure greatest_span(const PitchCurve& curve, double for_s, double from_s);

[[nodiscard]] std::vector<SupplyEffect> supply_effects(const PitchCurve& curve,
                                                       const std::vector<SupplyMark>& marks);
[[nodiscard]] std::vector<Retrace> retraces(const PitchCurve& curve,
                                            const std::vector<PowerMark>& marks);

}  // namespace skedlark::bench
