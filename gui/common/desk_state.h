// What the pages share: the audio, the settings, the plan and receiver in use, the contact at hand.
//
// Stage:   gui/common. In: what one page sets. Out: signals to the others.
// Shape:   one for the window; pages hold a reference.
// Errors:  load_plan() and load_receiver() return those of their readers and change nothing then.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/common/desk_state_test.cpp
#pragma once

#include <QObject>
#include <QString>
#include <optional>
#include <vector>

#include "dsp/dial/dial.h"
#include "dsp/dial/receiver.h"
#include "dsp/station/card.h"
#include "dsp/station/plan.h"
#include "gui/common/settings.h"
#include "gui/common/theme.h"
#include "gui/listen/audio_hub.h"

namespace skedlark::gui {

enum class PageName { plan, sweep, copy, fist };

class DeskState : public QObject {
    Q_OBJECT

 public:
    DeskState(AudioHub& hub, Settings& settings);

    [[nodiscard]] AudioHub& hub() { return hub_; }
    [[nodiscard]] Settings& settings() { return settings_; }
    [[nodiscard]] Theme theme() const;  // as the settings are now

    [[nodiscard]] const std::optional<station::Plan>& plan() const { return plan_; }
    [[nodiscard]] const std::optional<dial::Receiver>& receiver() const { return receiver_; }
    // Stations whose setting was noted: they correct the chart.
    [[nodiscard]] const std::vector<dial::KnownStation>& known() const { return known_; }
    // The contact being prepared or worked; chosen on the plan page.
    [[nodiscard]] const std::optional<station::ContactCard>& card() const { return card_; }
    // UTC by the machine, or as a test set it.
    [[nodiscard]] UtcTime now() const;

    Status load_plan(const QString& path);
    Status load_receiver(const QString& path);
    void set_plan(station::Plan plan);
    void set_receiver(dial::Receiver receiver, const QString& path);
    void set_known(std::vector<dial::KnownStation> known);
    void set_card(std::optional<station::ContactCard> card);
    void set_now(std::optional<UtcTime> now) { now_ = now; }

    // To the line at the foot of the window; stays until the next one.
    void say(const QString& text) { emit said(text); }
    // The pitch to copy at, once a station was zeroed in; the copy page listens there.
    void want_pitch(double pitch_hz) { emit pitch_wanted(pitch_hz); }
    void want_page(PageName page) { emit page_wanted(page); }

 signals:
    void plan_changed();
    void receiver_changed();  // or its correction
    void card_changed();
    void said(const QString& text);
    void pitch_wanted(double pitch_hz);
    void page_wanted(skedlark::gui::PageName page);

 private:
    AudioHub& hub_;
    Settings& settings_;
    std::optional<station::Plan> plan_;
    std::optional<dial::Receiver> receiver_;
    std::vector<dial::KnownStation> known_;
    std::optional<station::ContactCard> card_;
    std::optional<UtcTime> now_;
};

}  // namespace skedlark::gui
