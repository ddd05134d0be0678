#include "tests/accuracy/search/contact.h"

#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>

#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

using Random = std::mt19937_64;

double between(Random& random, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
}
double normal(Random& random, double mean, double sd) {
    return std::normal_distribution<double>(mean, sd)(random);
}

// A band of 3 to 6 MHz or so: kilohertz to a division anywhere from 10 to 60, rising or falling
// along the dial by up to half.
dial::Dial charted(std::uint64_t seed) {
    Random random(support::seed_for_part(seed, 0));
    const double khz_per_div = between(random, 10.0, 60.0);
    const double bend = between(random, -0.5, 0.5);
    dial::Receiver receiver;
    receiver.name = "Simulated";
    receiver.reading_sd_div = between(random, 0.05, 0.2);
    dial::Band band{.name = "1", .from_mhz = 2.9, .to_mhz = 12.0};
    for (int point = 0; point <= 10; ++point) {
        const double x = point / 10.0;
        const double mhz = 3.0 + 0.1 * khz_per_div * (x + 0.5 * bend * x * (x - 1.0));
        band.points.push_back({100.0 * x, mhz});
    }
    band.chart_sd_div = between(random, 0.1, 1.0);
    receiver.bands = {band};
    return *dial::Dial::create(receiver, "1");
}

dial::Setting wanted_on(const dial::Dial& dial, std::uint64_t seed) {
    Random random(support::seed_for_part(seed, 1));
    return *dial.setting(dial.mhz_at(between(random, 15.0, 85.0)));
}

}  // namespace

Contact::Contact(std::uint64_t seed, double window_s)
    : dial_(charted(seed)), setting_(wanted_on(dial_, seed)), window_s_(window_s) {
    Random random(support::seed_for_part(seed, 2));
    expected_snr_db_ = between(random, -16.0, -6.0);
    snr_db_ = normal(random, expected_snr_db_, kLevelSdDb);
    loss_db_ = between(random, 1.5, 4.0);
    // The chart is better or worse than the operator thinks.
    const double wrongly = between(random, 0.7, 1.4);
    div_ = setting_.div + normal(random, 0.0, wrongly * setting_.sd_div);
    // Up to 0.3 kHz a minute is expected of a warm set.
    expected_drift_div_per_s_ = 0.3 / 60.0 / setting_.khz_per_div;
    drift_div_per_s_ = normal(random, 0.0, wrongly * expected_drift_div_per_s_);
}

double Contact::drift_sd_div(double seconds) const { return expected_drift_div_per_s_ * seconds; }

bool Contact::notices(const SweepMeant& sweep, double begins_s, std::mt19937_64& chances) const {
    const double pace = sweep.div_per_min / 60.0 * std::exp(normal(chances, 0.0, 0.1));
    const double shift = normal(chances, 0.0, 0.05);
    const bool sends = std::bernoulli_distribution(kSending)(chances);
    const double level_db = snr_db_ + normal(chances, 0.0, 2.0);  // fading from pass to pass
    const double start = sweep.from_div - sweep.run_on_div + shift;
    const double stop = sweep.to_div + sweep.run_on_div + shift;
    const double met_s = begins_s + std::max(0.0, (div_ - start) / pace);
    const double at = div_ + drift_div_per_s_ * met_s;
    const double reach = 1e-3 * 3000.0 / dial_.khz_per_div(at);
    const double heard = std::min(stop, at + reach) - std::max(start, at - reach);
    const double z = normal(chances, 0.0, 1.0);
    if (heard <= 0.0 || !sends) return false;

    const double rate_hz_per_s = 1000.0 * dial_.khz_per_div(at) * pace;
    const double dwell_s = heard / (2.0 * reach) * 2.0 * kPassbandHz / rate_hz_per_s;
    const double looks = std::max(1.0, std::round(dwell_s * kSpeedWpm / 1.2));
    const double energy =
        std::pow(10.0, (level_db - loss_db_) / 10.0) * 2500.0 * 22.0 / 50.0 * dwell_s;
    const double threshold =
        boost::math::gamma_q_inv(looks, kFalseAlarmsPerPass / (600.0 * kPassbandHz));
    const double direct = z + std::sqrt(2.0 * energy);
    const double rest = std::gamma_distribution<double>(looks - 0.5, 2.0)(chances);
    return direct * direct + rest > 2.0 * threshold;
}

}  // namespace skedlark::accuracy
