// Where on the dial the wanted station can still be: a probability over divisions.
//
// Stage:   dial. In: a setting with its uncertainty; then each pass of the dial, with what was heard
//          and how well a station would have been heard. Out: chance by division, chance so far.
// Units:   divisions as read; chances 0 to 1.
// Shape:   cells of step_div; each holds kLevels equally likely levels of the station, so that
//          several passes that heard nothing also speak for a weak station, not only against the
//          place. A share stays outside the map (`elsewhere`): not on this dial, or not sending at
//          all.
// Time:    none of its own; drift() widens the map for time that has gone by.
// Errors:  create() and heard() return invalid_value naming the field; the map is then as before.
// Threads: values.
// Source:  Bayes' rule. What was not heard: Koopman, Oper. Res. 5 (1957) 613-626. Candidates among
//          other stations: the probabilistic data association of Bar-Shalom and Fortmann, Tracking
//          and Data Association (1988), with one chance of detection for each cell.
// Checked: tests/dsp/dial/place_map_test.cpp
#pragma once

#include <array>
#include <string>
#include <vector>

#include "dsp/dial/chance_by_rate.h"
#include "dsp/dial/dial.h"

namespace skedlark::dial {

struct MapConfig {
    double reach_sds = 4.0;  // the map ends so many standard deviations from the setting, 2 to 8
    double least_reach_div = 3;   // but no nearer than this, 0.1 to 1000, and never beyond the dial
    double elsewhere = 0.0;       // 0 to 0.9
    double others_per_div = 0.2;  // keyed stations that are not ours, on the mean; 0.001 to 100
};

enum class Heard { keyed, steady, expected_call, other_call };

struct Candidate {
    double div = 0.0;     // zero beat
    double sd_div = 0.1;  // above 0, to 100
    Heard heard = Heard::keyed;
    double confidence = 1.0;  // of a call, 0 to 1
};

// Noise met by a station at this division, over what is usual in the pass; from where half of it was
// not heard at all: 3 dB.
struct PassNoise {
    double div = 0.0;
    double over_usual_db = 0.0;  // -100 to 100
};

// The dial moved evenly from one division to another.
struct Pass {
    double from_div = 0.0;
    double to_div = 0.0;
    double div_per_min = 1.0;      // above 0, to 1000
    double position_sd_div = 0.1;  // of the ends, 0 to 100
    std::vector<Candidate> candidates{};
    std::vector<PassNoise> noise{};  // by rising division; none: as usual all along
};

class PlaceMap {
 public:
    using ByLevel = std::array<double, kLevels>;
    // All of it, for the file; restore() checks every field.
    struct State {
        std::string receiver{}, band{};
        double wanted_mhz = 0.0, low_div = 0.0, step_div = 0.0;
        double elsewhere = 0.0, elsewhere_at_first = 0.0, others_per_div = 0.0;
        int passes = 0;
        std::vector<ByLevel> now{};   // with elsewhere sums to 1
        std::vector<ByLevel> left{};  // what would not have been found so far
        std::vector<Candidate> candidates{};
    };

    // A normal about the setting.
    [[nodiscard]] static Result<PlaceMap> create(const Dial& dial, const Setting& setting,
                                                 const MapConfig& config = {});

    // `chance`: of noticing the station at the usual noise of this pass.
    [[nodiscard]] Status heard(const Pass& pass, const ChanceByRate& chance);
    // The receiver may have wandered by a normal of this standard deviation, 0 to 100.
    [[nodiscard]] Status drift(double sd_div);

    [[nodiscard]] std::size_t cells() const { return state_.now.size(); }
    [[nodiscard]] double step_div() const { return state_.step_div; }
    [[nodiscard]] double low_div() const { return state_.low_div; }  // edge of the first cell
    [[nodiscard]] double high_div() const;                           // edge of the last one
    [[nodiscard]] double div_of(std::size_t cell) const;             // its middle
    [[nodiscard]] double khz_per_div(std::size_t cell) const { return khz_per_div_[cell]; }
    [[nodiscard]] const ByLevel& by_level(std::size_t cell) const { return state_.now[cell]; }
    // Chance that the station is in this cell, or between two divisions.
    [[nodiscard]] double chance(std::size_t cell) const;
    [[nodiscard]] double chance_between(double from_div, double to_div) const;
    [[nodiscard]] double elsewhere() const { return state_.elsewhere; }
    // Chance that the passes so far would have brought the station in.
    [[nodiscard]] double chance_so_far() const;
    // Divisions that share out `chance` of the map evenly on both sides, and the likeliest cell.
    struct Place {
        double likeliest_div = 0.0;
        double low_div = 0.0;
        double high_div = 0.0;
    };
    [[nodiscard]] Place place(double chance = 0.95) const;

    [[nodiscard]] const std::string& receiver() const { return state_.receiver; }
    [[nodiscard]] const std::string& band() const { return state_.band; }
    [[nodiscard]] double wanted_mhz() const { return state_.wanted_mhz; }
    [[nodiscard]] int passes() const { return state_.passes; }
    [[nodiscard]] const std::vector<Candidate>& candidates() const { return state_.candidates; }

    [[nodiscard]] const State& state() const { return state_; }
    [[nodiscard]] static Result<PlaceMap> restore(const Dial& dial, const State& state);

 private:
    PlaceMap() = default;
    void set_khz_per_div(const Dial& dial);
    [[nodiscard]] std::vector<double> place_odds(const Pass& pass) const;
    [[nodiscard]] double others_at(const Candidate& candidate) const;
    void normalise();

    State state_{};
    std::vector<double> khz_per_div_{};
};

}  // namespace skedlark::dial
