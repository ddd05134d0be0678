#include "dsp/station/answer.h"

#include <fmt/format.h>

#include <cmath>

#include "dsp/station/plan_reader.h"

namespace skedlark::station {

namespace {

bool serves(const TransmitterBand& band, const Crystal& crystal, std::optional<double> wanted_khz) {
    const double khz = crystal.khz * band.multiplier;
    return khz >= band.from_khz && khz <= band.to_khz &&
           (!wanted_khz || std::abs(khz - *wanted_khz) <= kCrystalReachKhz);
}

std::string no_answer(const Answer& answer, const Channel& channel) {
    if (answer.crystal && channel.answer_khz) {
        return fmt::format("crystal {} ({} kHz) does not give {} kHz in any band",
                           answer.crystal->name, answer.crystal->khz, *channel.answer_khz);
    }
    if (answer.crystal) {
        return fmt::format("no transmitter band for crystal {} ({} kHz)", answer.crystal->name,
                           answer.crystal->khz);
    }
    return fmt::format("no crystal and band give {} kHz (within {} kHz)", *channel.answer_khz,
                       kCrystalReachKhz);
}

}  // namespace

Answer find_answer(const Plan& plan, const Channel& channel) {
    Answer answer;
    answer.wanted = !channel.crystal.empty() || channel.answer_khz.has_value();
    if (!answer.wanted) return answer;
    const Crystal* named = find_named(plan.crystals, channel.crystal);
    if (named != nullptr) answer.crystal = *named;
    double best_miss_khz = kCrystalReachKhz + 1.0;
    for (const Crystal& crystal : plan.crystals) {
        if (named != nullptr && crystal.name != named->name) continue;
        for (const TransmitterBand& band : plan.bands) {
            if (!serves(band, crystal, channel.answer_khz)) continue;
            const double khz = crystal.khz * band.multiplier;
            const double miss_khz = std::abs(khz - channel.answer_khz.value_or(khz));
            // Of equal ones the lower multiplier: a stage that multiplies gives less power.
            const bool better =
                !answer.band || miss_khz < best_miss_khz ||
                (miss_khz == best_miss_khz && band.multiplier < answer.band->multiplier);
            if (!better) continue;
            best_miss_khz = miss_khz;
            answer.crystal = crystal;
            answer.band = band;
            answer.khz = khz;
        }
    }
    if (!answer.band) answer.problem = no_answer(answer, channel);
    return answer;
}

}  // namespace skedlark::station
