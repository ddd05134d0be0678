#include "dsp/station/set_up_drill.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <random>

#include "dsp/station/dial_lookup.h"

namespace skedlark::station {

namespace {

constexpr double kGridKhz = 0.5;

bool same(const std::string& a, const std::string& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) {
        return std::tolower(static_cast<unsigned char>(x)) ==
               std::tolower(static_cast<unsigned char>(y));
    });
}

bool none(const std::string& text) { return text.empty() || same(text, "none"); }

// The engine is fixed by the standard, its distributions are not.
class Dice {
 public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    std::size_t below(std::size_t count) { return static_cast<std::size_t>(engine_() % count); }
    double uniform() { return static_cast<double>(engine_() >> 11U) * 0x1p-53; }

 private:
    std::mt19937_64 engine_;
};

bool on_dial(const dial::Receiver& receiver, double khz) {
    return dial::bands_with(receiver, khz / 1000.0).ok();
}

std::vector<SetUpTask> of_plan(const Plan& plan, const dial::Receiver& receiver) {
    std::vector<SetUpTask> out;
    for (const Contact& contact : plan.contacts) {
        const auto add = [&](const Channel& channel, const std::string& name) {
            if (!on_dial(receiver, channel.receive_khz)) return;
            out.push_back({name, plan.call, contact.station, channel.receive_khz,
                           find_answer(plan, channel)});
        };
        add(contact.channel, contact.name);
        for (std::size_t i = 0; i < contact.fallbacks.size(); ++i)
            add(contact.fallbacks[i].channel, fmt::format("{}, fallback {}", contact.name, i + 1));
    }
    std::erase_if(out, [](const SetUpTask& task) { return !task.answer.problem.empty(); });
    return out;
}

SetUpTask invented(const Plan& plan, const dial::Receiver& receiver, Dice& dice) {
    SetUpTask task{"invented", plan.call, "", 0.0, {}};
    if (!plan.stations.empty())
        task.base_call = plan.stations[dice.below(plan.stations.size())].call;
    const dial::Band& band = receiver.bands[dice.below(receiver.bands.size())];
    const double from_khz = 1000.0 * std::min(band.points.front().mhz, band.points.back().mhz);
    const double to_khz = 1000.0 * std::max(band.points.front().mhz, band.points.back().mhz);
    const double khz = from_khz + (0.05 + 0.9 * dice.uniform()) * (to_khz - from_khz);
    task.receive_khz = kGridKhz * std::round(khz / kGridKhz);
    if (plan.crystals.empty()) return task;
    const std::size_t first = dice.below(plan.crystals.size());
    for (std::size_t i = 0; i < plan.crystals.size(); ++i) {
        Channel channel;
        channel.crystal = plan.crystals[(first + i) % plan.crystals.size()].name;
        task.answer = find_answer(plan, channel);
        if (task.answer.problem.empty()) return task;
    }
    task.answer = {};
    return task;
}

SetUpMark mark_band(const SetUpTask& task, const SetUpAnswer& answer,
                    const dial::Receiver& receiver, const std::vector<std::string>& bands) {
    const double mhz = task.receive_khz / 1000.0;
    const auto at = std::find_if(bands.begin(), bands.end(),
                                 [&](const std::string& b) { return same(b, answer.band); });
    if (at == bands.end() && answer.band.empty()) {
        return {"band", false,
                fmt::format("Band left open: {:g} kHz is on band {}.", task.receive_khz,
                            bands.front())};
    }
    if (at == bands.end()) {
        return {"band", false,
                fmt::format("Band {}: {:g} kHz is not on it, but on band {}.", answer.band,
                            task.receive_khz, bands.front())};
    }
    if (at == bands.begin()) return {"band", true, fmt::format("Band {} is right.", *at)};
    const auto fine = dial::Dial::create(receiver, bands.front());
    const auto coarse = dial::Dial::create(receiver, *at);
    if (!fine || !coarse) return {"band", true, fmt::format("Band {} holds it.", *at)};
    return {"band", true,
            fmt::format("Band {} holds it; band {} is finer there: {:.1f} kHz to a division, not "
                        "{:.1f}.",
                        *at, bands.front(), fine->khz_per_div(fine->setting(mhz)->div),
                        coarse->khz_per_div(coarse->setting(mhz)->div))};
}

SetUpMark mark_division(const SetUpTask& task, const SetUpAnswer& answer,
                        const dial::Receiver& receiver, const std::string& band,
                        const std::vector<dial::KnownStation>& known) {
    const auto today = dial::Dial::create(receiver, band, known_in(receiver, band, known));
    if (!today) return {"division", false, today.error().message};
    const auto setting = today->setting(task.receive_khz / 1000.0);
    if (!setting) return {"division", false, setting.error().message};
    const std::string where =
        fmt::format("{:.2f} on band {} (95 %: {:.2f} to {:.2f}; heard at {:.2f})", setting->div,
                    band, setting->low95_div, setting->high95_div, setting->listen_div);
    if (!answer.division) return {"division", false, fmt::format("Left open: it is {}.", where)};
    const double least = std::min(setting->low95_div, setting->listen_div);
    const double most = std::max(setting->high95_div, setting->listen_div);
    if (*answer.division >= least && *answer.division <= most) {
        return {"division", true,
                fmt::format("Division {:g} is right: {}.", *answer.division, where)};
    }
    const double off_div = *answer.division - setting->div;
    return {"division", false,
            fmt::format("Division {:g} is {:.2f} too {}, {:.0f} kHz: it is {}.", *answer.division,
                        std::abs(off_div), off_div > 0.0 ? "high" : "low",
                        std::abs(off_div) * setting->khz_per_div, where)};
}

std::vector<SetUpMark> mark_transmitter(const SetUpTask& task, const SetUpAnswer& answer) {
    if (!task.answer.crystal || !task.answer.band) {
        const bool right = none(answer.crystal) && none(answer.position);
        return {{"crystal", right, "No answer is sent: no crystal, no switch."}};
    }
    const Crystal& crystal = *task.answer.crystal;
    const TransmitterBand& band = *task.answer.band;
    const std::string times =
        band.multiplier > 1 ? fmt::format("{} times ", band.multiplier) : std::string();
    const auto in_short = [](const std::string& text) { return none(text) ? "None" : text; };
    const bool crystal_right = same(answer.crystal, crystal.name);
    const bool switch_right = same(answer.position, band.position);
    return {{"crystal", crystal_right,
             fmt::format("{} is {}: {:g} kHz is {}{:g} kHz, crystal {}.", in_short(answer.crystal),
                         crystal_right ? "right" : "wrong", task.answer.khz, times, crystal.khz,
                         crystal.name)},
            {"switch", switch_right,
             fmt::format("{} is {}: {:g} kHz lies in position {}, {:g} to {:g} kHz.",
                         in_short(answer.position), switch_right ? "right" : "wrong",
                         task.answer.khz, band.position, band.from_khz, band.to_khz)}};
}

}  // namespace

Result<SetUpTask> make_set_up(const Plan& plan, const dial::Receiver& receiver,
                              std::uint64_t seed) {
    if (receiver.bands.empty()) {
        return Error{ErrorCode::not_found, "the receiver has no band to set up"};
    }
    Dice dice(seed);
    const std::vector<SetUpTask> planned = of_plan(plan, receiver);
    // As many invented ones as planned ones, so that it is not learned by heart.
    if (!planned.empty() && dice.below(2) == 0) return planned[dice.below(planned.size())];
    return invented(plan, receiver, dice);
}

std::string in_words(const SetUpTask& task) {
    std::string out =
        fmt::format("{}: {} receives {} on {:g} kHz", task.contact, task.own_call,
                    task.base_call.empty() ? "the base" : task.base_call, task.receive_khz);
    if (task.answer.band) return out + fmt::format(" and answers on {:g} kHz.", task.answer.khz);
    return out + "; no answer is sent.";
}

std::vector<SetUpMark> mark_set_up(const SetUpTask& task, const SetUpAnswer& answer,
                                   const dial::Receiver& receiver,
                                   const std::vector<dial::KnownStation>& known) {
    std::vector<SetUpMark> marks;
    const auto bands = dial::bands_with(receiver, task.receive_khz / 1000.0);
    if (!bands) {
        marks.push_back({"band", false, bands.error().message});
    } else {
        marks.push_back(mark_band(task, answer, receiver, *bands));
        // On a wrong band no division is right; then that of the finest is told.
        const auto at = std::find_if(bands->begin(), bands->end(),
                                     [&](const std::string& b) { return same(b, answer.band); });
        SetUpAnswer on_band = answer;
        if (at == bands->end()) on_band.division.reset();
        marks.push_back(mark_division(task, on_band, receiver,
                                      at == bands->end() ? bands->front() : *at, known));
    }
    for (SetUpMark& mark : mark_transmitter(task, answer)) marks.push_back(std::move(mark));
    return marks;
}

}  // namespace skedlark::station
