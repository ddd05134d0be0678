// The dial of one band as it stands today: settings for frequencies with their uncertainty, and
// back.
//
// Stage:   dial. In: a receiver, the name of a band, known stations. Out: settings.
// Units:   divisions as read, megahertz, kilohertz to a division.
// Shape:   a setting is a normal distribution about its division.
// Time:    none.
// Errors:  create(): not_found for a band that is not there (says which are), invalid_value;
//          setting(): invalid_value for a frequency outside the chart.
// Threads: values.
// Source:  variance of a setting = reading + chart + correction, independent of each other.
// Checked: tests/dsp/dial/dial_test.cpp
#pragma once

#include <span>
#include <string>
#include <vector>

#include "dsp/dial/chart.h"
#include "dsp/dial/correction.h"

namespace skedlark::dial {

struct Setting {
    double mhz = 0.0;
    double div = 0.0;         // where the station is at zero beat: what everything here counts from
    double listen_div = 0.0;  // where it sounds at the listening pitch
    double sd_div = 0.0;
    double low95_div = 0.0;
    double high95_div = 0.0;
    double khz_per_div = 0.0;
};

class Dial {
 public:
    [[nodiscard]] static Result<Dial> create(const Receiver& receiver, const std::string& band,
                                             std::span<const KnownStation> known = {});

    [[nodiscard]] Result<Setting> setting(double mhz) const;
    // Frequency that is at zero beat there, and the standard deviation of that statement.
    [[nodiscard]] double mhz_at(double div) const;
    [[nodiscard]] double mhz_sd(double div) const;
    [[nodiscard]] double khz_per_div(double div) const;
    // Of a station's place, given its frequency.
    [[nodiscard]] double sd_div(double div) const;

    [[nodiscard]] const Receiver& receiver() const { return receiver_; }
    [[nodiscard]] const Band& band() const { return receiver_.bands[band_]; }
    [[nodiscard]] const BandChart& chart() const { return chart_; }
    [[nodiscard]] const Correction& correction() const { return correction_; }

 private:
    Dial(const Receiver& receiver, std::size_t band, BandChart chart, Correction correction);
    [[nodiscard]] double div_of(double mhz) const;

    Receiver receiver_;
    std::size_t band_;
    BandChart chart_;
    Correction correction_;
};

// Names of the bands whose chart holds the frequency, finest (fewest kilohertz to a division) first.
// not_found, with the bands there are, where none does.
[[nodiscard]] Result<std::vector<std::string>> bands_with(const Receiver& receiver, double mhz);

// A station that can be heard without asking: the channels allocated to standard frequencies and
// time signals, as far as the chart holds them. Source: ITU Radio Regulations, Article 5 (from
// memory).
inline constexpr double kStandardFrequenciesMhz[] = {2.5, 5.0, 10.0, 15.0, 20.0, 25.0};
[[nodiscard]] std::vector<Setting> check_points(const Dial& dial);

}  // namespace skedlark::dial
