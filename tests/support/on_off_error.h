// Error rates of on-off keying from theory, which measured rates are held against.
//
// Stage:   tests.
// Units:   energies as ratio E / N0 (E = energy of one dot with the key down) or in dB.
// Source:  noncoherent on-off keying, e.g. Proakis, Digital Communications (from memory):
//          Pe = [exp(-b^2/2) + 1 - Q1(sqrt(2 E/N0), b)] / 2 with marks and gaps equally likely.
// Errors:  none.
// Threads: none.
// Checked: tests/support/on_off_error_test.cpp
#pragma once

namespace skedlark::support {

// Generalised Marcum Q of order m (1 or more), a and b from 0.
[[nodiscard]] double marcum_q(int m, double a, double b);

// Energy of a dot over noise density, dB, from an SNR in a bandwidth.
[[nodiscard]] double dot_energy_db(double snr_db, double bandwidth_hz, double speed_wpm);

// Threshold on the envelope in units of the noise's standard deviation per axis.
struct OnOffError {
    double threshold = 0.0;   // the best one
    double miss = 0.0;        // a mark taken for a gap
    double false_mark = 0.0;  // a gap taken for a mark
    [[nodiscard]] double mean() const { return 0.5 * (miss + false_mark); }
};
[[nodiscard]] OnOffError noncoherent_on_off(double dot_energy_ratio);

}  // namespace skedlark::support
