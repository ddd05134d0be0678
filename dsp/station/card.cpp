#include "dsp/station/card.h"

#include <fmt/format.h>

#include <cmath>

#include "dsp/station/repeat_rule.h"

namespace skedlark::station {

namespace {

using std::chrono::milliseconds;

double seconds_between(UtcTime from, UtcTime to) {
    return 1.0e-3 * static_cast<double>((to - from).count());
}

milliseconds doubt_of(const ClockState& clock) {
    return milliseconds(std::llround(1000.0 * clock.uncertainty_95_s.value_or(0.0)));
}

class CardMaker {
 public:
    CardMaker(const Plan& plan, const CardConfig& config, const Occurrence& due,
              const std::optional<ContactBudget>& budget)
        : plan_(plan), config_(config), due_(due), contact_(plan.contacts[due.contact]) {
        card_.battery = budget;
    }

    Result<ContactCard> make() {
        fill_names();
        if (const Status status = fill_legs(); !status) return status.error();
        fill_times();
        fill_notes();
        return std::move(card_);
    }

 private:
    void fill_names() {
        card_.contact = contact_.name;
        card_.own_call = plan_.call;
        card_.kit = contact_.kit;
        card_.clock = config_.clock;
        for (const Station& station : plan_.stations) {
            if (station.call == contact_.station) card_.with = station;
        }
    }

    Result<Leg> make_leg(UtcTime start, Minutes duration, const Channel& channel) const {
        Leg leg{start, start + duration, channel.receive_khz, {}, find_answer(plan_, channel), {}};
        if (config_.dial) leg.dial = config_.dial(channel.receive_khz);
        if (config_.zone != "UTC") {
            auto local = local_time(config_.zone, start);
            if (!local) return local.error();
            leg.local_start = std::move(*local);
        }
        return leg;
    }

    Status fill_legs() {
        auto leg = make_leg(due_.start, contact_.duration, contact_.channel);
        if (!leg) return leg.error();
        card_.leg = std::move(*leg);
        for (const Fallback& fallback : contact_.fallbacks) {
            auto more = make_leg(due_.start + fallback.after, fallback.duration, fallback.channel);
            if (!more) return more.error();
            card_.fallbacks.push_back(std::move(*more));
        }
        return Done{};
    }

    void fill_times() {
        const milliseconds doubt = doubt_of(config_.clock);
        card_.now = true_now(config_.machine_now, config_.clock);
        card_.switch_on = due_.switch_on - doubt;
        card_.give_up = due_.start + contact_.give_up + doubt;
        card_.to_start_s = seconds_between(card_.now, due_.start);
        card_.to_switch_on_s = seconds_between(card_.now, card_.switch_on);
        for (std::size_t i = card_.fallbacks.size(); i-- > 0;) {
            if (card_.fallbacks[i].end > card_.now) card_.next_fallback = i;
        }
        card_.next_contact =
            next_time(contact_.start, contact_.repeat, due_.start + milliseconds(1));
        card_.stage = stage_now();
    }

    [[nodiscard]] Stage stage_now() const {
        if (card_.now < card_.switch_on) return Stage::waiting;
        if (card_.now < due_.start) return Stage::warming_up;
        if (card_.now < card_.give_up) return Stage::running;
        for (const Leg& leg : card_.fallbacks) {
            if (leg.start <= card_.now && card_.now < leg.end) return Stage::in_fallback;
        }
        return Stage::given_up;
    }

    void fill_notes() {
        note_answer("", card_.leg);
        for (std::size_t i = 0; i < card_.fallbacks.size(); ++i) {
            note_answer(fmt::format("fallback {}: ", i + 1), card_.fallbacks[i]);
        }
        note_sweep();
        note_battery();
        note_local();
    }

    void note_answer(const std::string& which, const Leg& leg) {
        if (!leg.answer.problem.empty()) card_.notes.push_back(which + leg.answer.problem);
        if (leg.dial && !leg.dial->problem.empty()) {
            card_.notes.push_back(which + leg.dial->problem);
        }
    }

    void note_sweep() {
        const double window_min = seconds_between(due_.start, card_.give_up) / 60.0;
        if (card_.leg.dial && card_.leg.dial->sweep_min.value_or(0.0) > window_min) {
            card_.notes.push_back(
                fmt::format("the sweep takes {:.1f} min, but giving up is after {:.1f} min",
                            *card_.leg.dial->sweep_min, window_min));
        }
    }

    void note_battery() {
        if (!card_.battery) return;
        if (card_.battery->contact.short_by > 0.0) {
            card_.notes.push_back(
                fmt::format("battery \"{}\" does not last to the end", card_.battery->battery));
        } else if (!card_.fallbacks.empty() && card_.battery->after_fallbacks_share <= 0.0) {
            card_.notes.push_back(fmt::format("battery \"{}\" does not last for all fallbacks",
                                              card_.battery->battery));
        }
        if (card_.battery->on_charger) {
            card_.notes.push_back(
                fmt::format("battery \"{}\" is on the charger", card_.battery->battery));
        }
    }

    // The plan stays with UTC when the clock on the wall is put forward or back.
    void note_local() {
        const auto before = last_time(contact_.start, contact_.repeat, due_.start);
        if (!before || !card_.leg.local_start) return;
        const auto then = local_time(config_.zone, *before);
        if (!then) return;
        const auto moved = *card_.leg.local_start->written.offset - *then->written.offset;
        if (moved.count() == 0) return;
        card_.notes.push_back(
            fmt::format("by local time {} min {} than last time: the clocks have changed, the plan "
                        "stays in UTC",
                        std::abs(moved.count()), moved.count() > 0 ? "later" : "earlier"));
    }

    const Plan& plan_;
    const CardConfig& config_;
    const Occurrence& due_;
    const Contact& contact_;
    ContactCard card_;
};

}  // namespace

const char* name_of(Stage stage) {
    switch (stage) {
        case Stage::waiting:
            return "waiting";
        case Stage::warming_up:
            return "warming_up";
        case Stage::running:
            return "running";
        case Stage::given_up:
            return "given_up";
        case Stage::in_fallback:
            return "in_fallback";
    }
    return "";
}

UtcTime true_now(UtcTime machine_now, const ClockState& clock) {
    return machine_now - milliseconds(std::llround(1000.0 * clock.offset_s));
}

Result<std::vector<ContactCard>> make_cards(const Plan& plan, const CardConfig& config) {
    const UtcTime now = true_now(config.machine_now, config.clock);
    const auto due = due_from(plan, now, config.count);
    const auto budgets = budget_of(plan, now, due);
    std::vector<ContactCard> cards;
    for (std::size_t i = 0; i < due.size(); ++i) {
        auto card = CardMaker(plan, config, due[i], budgets[i]).make();
        if (!card) return card.error();
        cards.push_back(std::move(*card));
    }
    return cards;
}

}  // namespace skedlark::station
