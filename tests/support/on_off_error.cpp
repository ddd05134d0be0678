#include "tests/support/on_off_error.h"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/complement.hpp>
#include <boost/math/distributions/non_central_chi_squared.hpp>
#include <boost/math/tools/minima.hpp>
#include <cmath>

#include "dsp/core/units.h"

namespace skedlark::support {

// Q_m(a, b) is the chance that a noncentral chi-square of 2m degrees, noncentrality a^2, passes
// b^2.
double marcum_q(int m, double a, double b) {
    if (b <= 0.0) return 1.0;
    if (a <= 0.0) {
        const boost::math::chi_squared central(2.0 * m);
        return boost::math::cdf(boost::math::complement(central, b * b));
    }
    const boost::math::non_central_chi_squared law(2.0 * m, a * a);
    return boost::math::cdf(boost::math::complement(law, b * b));
}

double dot_energy_db(double snr_db, double bandwidth_hz, double speed_wpm) {
    return snr_db + db_from_power(bandwidth_hz) + db_from_power(dit_s(speed_wpm));
}

OnOffError noncoherent_on_off(double dot_energy_ratio) {
    const double a = std::sqrt(2.0 * dot_energy_ratio);
    const auto at = [a](double b) {
        return OnOffError{b, 1.0 - marcum_q(1, a, b), std::exp(-0.5 * b * b)};
    };
    constexpr int kBits = 30;
    const auto [threshold, mean] = boost::math::tools::brent_find_minima(
        [&at](double b) { return at(b).mean(); }, 0.05 * a, 1.5 * a + 2.0, kBits);
    (void)mean;
    return at(threshold);
}

}  // namespace skedlark::support
