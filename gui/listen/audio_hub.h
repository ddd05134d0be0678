// The desk's one listening thread: opens the chosen input, records it, and hands it to whoever listens.
//
// Stage:   gui/listen, no Qt. In: an InputChoice. Out: blocks to each AudioUser; a snapshot of how it
//          goes.
// Units:   work-rate frames, dBFS, bytes.
// Shape:   one input at a time; open() ends the one before.
// Time:    live blocks come as the sound card gives them; a file is handed on at its pace.
// Errors:  those of opening stand in HubState::failure within the opening, since a device may take a
//          while; a device that goes away is waited for (HubState::away), no click needed.
// Threads: all calls from the window's thread, except that users run on the hub's own. state() takes
//          a lock for the time of a copy.
// Source:  none
// Checked: tests/desk/listen/audio_hub_test.cpp
#pragma once

#include <condition_variable>
#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "dsp/audio/live_source.h"
#include "dsp/audio/recorder.h"
#include "dsp/audio/source.h"
#include "gui/listen/audio_user.h"
#include "gui/listen/level_meter.h"

namespace skedlark::gui {

struct InputChoice {
    bool live = true;
    std::string device{};         // live: as find_device(); empty: the default input
    std::string file{};           // not live
    int channel = 1;              // counted from 1; 0: the mean of all
    double pace = 1.0;            // a file: times real time, 0.25 to 64; 0: as fast as it goes
    std::string record_folder{};  // live: where it is recorded; empty: not recorded
};

enum class HubPhase { idle, opening, listening, ended, failed };

struct HubState {
    HubPhase phase = HubPhase::idle;
    HeardInput input{};
    double at_s = 0.0;      // handed on so far
    bool away = false;      // the device is gone and waited for
    std::string failure{};  // why it failed, or ended early
    Level level{};
    std::string recording{};                    // the file being written; "" where none is
    std::string recording_failure{};            // recording stopped, listening goes on
    std::optional<std::uint64_t> free_bytes{};  // where it is recorded
};

class AudioHub {
 public:
    AudioHub();
    AudioHub(const AudioHub&) = delete;
    AudioHub& operator=(const AudioHub&) = delete;
    ~AudioHub();

    void open(const InputChoice& choice);
    void stop();                 // ends the input; returns when its users had their end()
    void set_pace(double pace);  // of a file, while it runs
    [[nodiscard]] HubState state() const;

    // From the next block on. Kept until left.
    void join(std::shared_ptr<AudioUser> user);
    // After this returns the user is called no more.
    void leave(const std::shared_ptr<AudioUser>& user);

 private:
    struct Member {
        std::shared_ptr<AudioUser> user;
        bool begun = false;
    };
    // Beside the audio itself.
    struct Listened {
        const audio::LiveSource* live = nullptr;
        const audio::Recorder* recorder = nullptr;
        std::string record_folder{};
    };
    void run(const InputChoice& choice);
    void listen(audio::Source& source, const Listened& from);
    void wait_for_pace(double done_s);
    void hand_on(const watch::Block& block, FrameIndex first_frame);
    void end_users();
    void tell(double at_s, const Listened& from, bool ask_disk);
    void fail(const std::string& why);

    std::thread thread_;
    std::mutex waiting_;  // of stopping_ and pace_, for the pace's sleep
    std::condition_variable wake_;
    bool stopping_ = false;
    double pace_ = 1.0;
    double paced_from_s_ = 0.0;
    std::int64_t paced_from_ns_ = 0;

    mutable std::mutex state_mutex_;
    HubState state_;
    audio::Source* source_ = nullptr;  // under state_mutex_, to ask it to stop

    std::mutex members_mutex_;
    std::vector<Member> members_;
    LevelMeter meter_;  // the hub thread's
};

}  // namespace skedlark::gui
