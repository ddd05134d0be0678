// What one sweep is asked to be: the stretch, the way of the dial, its pace; and what is advised.
//
// Stage:   gui/sweep, no Qt. In: the dial, the contact's card. Out: a setup, a safe pace, a stretch.
// Units:   divisions as read; kilohertz a second of the dial; divisions a minute; seconds.
// Shape:   values.
// Time:    none.
// Errors:  invalid_value naming the field, its value and what is allowed.
// Threads: none.
// Source:  none; the station expected (-10 dB, give or take 6, at 16 wpm) is that of skedlark sweep.
// Checked: tests/desk/sweep/sweep_setup_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/chance_by_rate.h"
#include "dsp/dial/dial.h"
#include "dsp/dial/motion.h"
#include "dsp/station/card.h"

namespace skedlark::gui {

// Who sets the pace: the tool, the operator by marks, or the tool with rests between steps.
enum class DialWay { paced, marked, stepped };

struct SweepSetup {
    DialWay way = DialWay::paced;
    double from_div = 0.0;
    double to_div = 0.0;
    // Empty: as long as the file lasts (paced), not known (marked).
    std::optional<double> div_per_min{};
    double step_div = 0.1;
    double rest_s = 20.0;
    double move_s = 2.0;
    double count_in_s = 5.0;  // 0 to 60: to put a hand to the dial
    std::optional<double> wanted_mhz{};
    std::vector<std::string> calls{};  // looked for where the dial rests and on the way back
    std::string map_file{};            // empty: the map is kept in memory alone
};

[[nodiscard]] Status check(const SweepSetup& setup, const dial::Dial& dial);

// Not for marks: there it comes as it is made. audio_s: of the input, where known.
[[nodiscard]] Result<dial::Motion> motion_of(const SweepSetup& setup, const dial::Dial& dial,
                                             std::optional<double> audio_s);

[[nodiscard]] Result<dial::ChanceByRate> usual_chance(const dial::Receiver& receiver);

// Of the way from one division to another, at its middle.
[[nodiscard]] double div_per_min(const dial::Dial& dial, double at_div, double khz_per_s);
[[nodiscard]] double khz_per_s(const dial::Dial& dial, double at_div, double div_per_min);

// The fastest at which nine in ten of the usual stations are noticed; empty: none is.
[[nodiscard]] std::optional<double> safe_khz_per_s(const dial::Dial& dial, double wanted_mhz);

struct FirstStretch {
    std::string band{};
    double wanted_mhz = 0.0;
    double from_div = 0.0;
    double to_div = 0.0;
};
// As the card says, or two divisions each side of where the dial has it; empty where neither can be.
[[nodiscard]] std::optional<FirstStretch> first_stretch(const station::Leg& leg,
                                                        const dial::Receiver& receiver);

// "saddle-hut-set_2_3765.0.json": a name that any file system takes.
[[nodiscard]] std::string map_file_name(const dial::Dial& dial, double wanted_mhz);

}  // namespace skedlark::gui
