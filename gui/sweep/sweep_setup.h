// What a sweep is to be: the stretch, the way the dial is turned, how fast.
//
// Stage:   gui/sweep, no Qt. In: what the operator set, the receiver, the frequency wanted. Out: the
//          motion of the dial; what is offered for a frequency.
// Units:   divisions at zero beat, divisions a minute, kilohertz a second of the pitch, seconds.
// Errors:  invalid_value naming the field of the page, its value and what is allowed.
// Threads: none.
// Source:  none; limits and safe pace are those of dial/sweep_plan.h.
// Checked: tests/desk/sweep/sweep_setup_test.cpp
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/dial/chance_by_rate.h"
#include "dsp/dial/dial.h"
#include "dsp/dial/motion.h"

namespace skedlark::gui {

// paced: the page leads at a pace; marked: space at each division; stepped: turn a little, rest;
// over_file: a file that holds one even turn from its start to its end.
enum class SweepWay { paced, marked, stepped, over_file };

struct SweepSetup {
    std::string band{};
    double from_div = 0.0;
    double to_div = 0.0;
    SweepWay way = SweepWay::paced;
    double rate_khz_per_s = 1.0;  // paced, and what is aimed at where divisions are marked
    double step_div = 0.1;
    double rest_s = 20.0;
    double move_s = 2.0;
    std::optional<double> wanted_mhz{};
    std::vector<std::string> calls{};  // that tell the wanted station
};

// Of a number typed into a field of the page: a comma is read as a point.
[[nodiscard]] Result<double> read_field(std::string_view field, std::string_view text, double low,
                                        double high);

[[nodiscard]] Status check_setup(const SweepSetup& setup, const dial::Dial& dial);
// The pace in the middle of the stretch.
[[nodiscard]] double div_per_min(const SweepSetup& setup, const dial::Dial& dial);
[[nodiscard]] double khz_per_s(double div_per_min, const SweepSetup& setup, const dial::Dial& dial);
// Of marks it becomes known only as they are set. file_s: the length of the file.
[[nodiscard]] Result<dial::Motion> motion_of(const SweepSetup& setup, const dial::Dial& dial,
                                             std::optional<double> file_s);

// What to expect of the wanted station where nobody says: as skedlark sweep does.
[[nodiscard]] Result<dial::ChanceByRate> usual_chance(const dial::Receiver& receiver);
// Band, limits and safe pace for a frequency; the rest as in `now`. The run-on is part of it.
[[nodiscard]] Result<SweepSetup> offered_for(double mhz, const dial::Receiver& receiver,
                                             const std::vector<dial::KnownStation>& known,
                                             const SweepSetup& now);

}  // namespace skedlark::gui
