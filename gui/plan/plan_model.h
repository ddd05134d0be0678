// What the plan page knows: the contacts due with their cards, and the time line of the next day.
//
// Stage:   gui/plan, no Qt. In: Plan, receiver, known stations, the time. Out: cards, time line.
// Units:   instants of UTC; places on the time line 0 (now) to 1 (kLineHours later).
// Shape:   set_…() when something changed, then update() with each second.
// Time:    update() takes well under a millisecond for a plan of some tens of contacts.
// Errors:  what is wrong stands in problem(): a zone that is not known leaves the times in UTC.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/plan/plan_model_test.cpp
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/dial.h"
#include "dsp/station/card.h"
#include "dsp/station/conflicts.h"
#include "dsp/station/plan.h"

namespace skedlark::gui {

inline constexpr int kLineHours = 24;
inline constexpr std::size_t kCardsShown = 12;
inline constexpr int kConflictDays = 14;

enum class BarKind { warm_up, contact, fallback, charging };

struct TimeBar {
    BarKind kind = BarKind::contact;
    double from = 0.0;  // cut at 0 and 1
    double to = 0.0;
    std::string label{};                // "evening QXB2", "fallback 1", "shelf on the charger"
    std::optional<std::size_t> card{};  // of a contact: which of cards() it is, if it is shown
};

struct TimeTick {
    double at = 0.0;
    std::string utc{};    // "18:00"
    std::string local{};  // "" where the plan's zone is UTC
    bool midnight = false;
};

struct TimeLine {
    std::vector<TimeBar> bars{};
    std::vector<TimeTick> ticks{};  // every third hour of UTC
    std::string zone{};             // "CET"; "" for UTC
};

class PlanModel {
 public:
    void set_plan(std::optional<station::Plan> plan);
    void set_receiver(const std::optional<dial::Receiver>& receiver,
                      const std::vector<dial::KnownStation>& known);
    void update(UtcTime now);

    [[nodiscard]] bool has_plan() const { return plan_.has_value(); }
    [[nodiscard]] bool has_receiver() const { return static_cast<bool>(dial_); }
    // The soonest first; empty where nothing is due any more.
    [[nodiscard]] const std::vector<station::ContactCard>& cards() const { return cards_; }
    // The card of the same contact at the same start; empty: it is over.
    [[nodiscard]] std::optional<std::size_t> find(const std::string& contact, UtcTime start) const;
    // Of the next kConflictDays; looked for once a minute.
    [[nodiscard]] const std::vector<station::Conflict>& conflicts() const { return conflicts_; }
    [[nodiscard]] const TimeLine& time_line() const { return line_; }
    [[nodiscard]] const std::string& problem() const { return problem_; }

 private:
    void make_line(UtcTime now, const std::string& zone);
    void look_for_conflicts(UtcTime now, const station::DialLookup& dial);
    void add_bars(UtcTime now);
    void add_charging(UtcTime now);
    void add_bar(BarKind kind, UtcTime now, UtcTime from, UtcTime to, TimeBar bar);

    std::optional<station::Plan> plan_;
    station::DialLookup dial_;
    std::map<double, station::DialSetting> settings_;  // asked before
    std::vector<station::ContactCard> cards_;
    std::vector<station::Conflict> conflicts_;
    std::optional<UtcTime> conflicts_at_;  // when they were looked for; empty: not since a change
    TimeLine line_;
    std::string problem_;
    std::string receiver_problem_;
};

}  // namespace skedlark::gui
