// What the Sweep page knows: the setup, the sweep as it goes, the map, the way back to a station.
//
// Stage:   gui/sweep, no Qt. In: receiver, setup, marks; snapshots of SweepUser. Out: words, rows,
//          a curve, where the dial should be.
// Units:   divisions, seconds, chances 0 to 1.
// Shape:   refresh() takes a snapshot; what is read between two of them hangs together.
// Errors:  set_setup() and start() say what is wrong; the setup is then as before.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_model_test.cpp
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/pressed_marks.h"
#include "dsp/watch/sweep_map.h"
#include "gui/sweep/dial_picture.h"
#include "gui/sweep/station_rows.h"
#include "gui/sweep/sweep_setup.h"
#include "gui/sweep/sweep_user.h"
#include "gui/sweep/zero_in_words.h"

namespace skedlark::gui {

// What leads the hand.
struct DialNow {
    double div = 0.0;
    std::optional<double> next{};  // division to pass, to mark or to rest at
    bool at_rest = false;          // of a sweep in steps
    bool turning = false;          // the sweep runs
};

struct CurvePoint {
    double div = 0.0;
    double per_div = 0.0;  // chance to a division
};

class SweepModel {
 public:
    SweepModel();
    [[nodiscard]] const std::shared_ptr<SweepUser>& user() const { return user_; }

    // Ends a sweep and drops the map.
    void set_receiver(const std::optional<dial::Receiver>& receiver,
                      const std::vector<dial::KnownStation>& known);
    [[nodiscard]] const std::optional<dial::Receiver>& receiver() const { return receiver_; }
    [[nodiscard]] const SweepSetup& setup() const { return setup_; }
    Status set_setup(const SweepSetup& setup);
    // From the contact: the frequency it is received on and who is looked for.
    Status offer(double mhz, const std::string& call);
    // Of the band chosen; empty without a receiver.
    [[nodiscard]] const std::optional<dial::Dial>& dial() const { return dial_; }
    // Limits and pace as the map says next.
    bool take_next_stretch();
    void forget_map();

    Status start(double ready_s);
    void stop();
    // The dial passes the next division now.
    bool mark();
    bool take_mark_back();
    // Index into rows().
    bool choose(std::size_t index);
    void leave();  // the way back

    void refresh();
    [[nodiscard]] const SweepSnapshot& now() const { return now_; }
    [[nodiscard]] bool active() const;
    [[nodiscard]] DialNow dial_now() const;
    [[nodiscard]] std::string state_words() const;
    [[nodiscard]] const std::vector<StationRow>& rows() const { return rows_; }
    [[nodiscard]] std::optional<std::size_t> best() const;
    [[nodiscard]] std::optional<std::size_t> chosen() const { return chosen_; }
    [[nodiscard]] std::optional<ZeroInWords> zero_in() const;
    [[nodiscard]] DialPicture& picture() { return picture_; }
    [[nodiscard]] SweepAxis axis() const;
    [[nodiscard]] const std::optional<dial::PressedMarks>& marks() const { return marks_; }
    [[nodiscard]] std::vector<CurvePoint> curve() const;
    [[nodiscard]] int map_changes() const { return map_changes_; }
    [[nodiscard]] std::string map_words() const;   // where it is likeliest, chance so far
    [[nodiscard]] std::string next_words() const;  // the next stretch; empty: none
    // Each once: a division was passed; the pitch is held, and at what pitch.
    [[nodiscard]] bool take_division_due();
    [[nodiscard]] std::optional<double> take_held_pitch();

 private:
    Status open_map();
    void update_map();
    void take_call();
    void watch_division();
    [[nodiscard]] double way() const;  // +1: to higher divisions

    std::shared_ptr<SweepUser> user_;
    std::optional<dial::Receiver> receiver_;
    std::vector<dial::KnownStation> known_;
    std::optional<dial::Dial> dial_;
    SweepSetup setup_;
    SweepSetup swept_;  // as the sweep that runs, or the last one
    SweepSnapshot now_;
    std::vector<StationRow> rows_;
    DialPicture picture_;
    std::optional<dial::PressedMarks> marks_;
    std::optional<watch::SweepMap> map_;
    std::optional<dial::Stretch> next_;
    int map_changes_ = 0;
    int mapped_run_ = 0;  // whose result stands in the map
    std::optional<std::size_t> chosen_;
    bool raised_ = false;
    bool held_told_ = false;
    std::optional<double> held_pitch_;
    std::optional<double> last_div_;
    bool division_due_ = false;
};

}  // namespace skedlark::gui
