// Sound for headphones: what is put in comes out of a sound card a tenth of a second later, never
// louder than a limit.
//
// Stage:   audio. In: mono of the work rate, and a voice that is made as it is asked for. Out: a sound
//          output, the same on each of its channels.
// Units:   audio 1.0 = full scale; the limit in dBFS of the peak.
// Shape:   put() takes any number of frames and never waits; what the card has no room for is
//          dropped.
// Time:    starts once kAheadS is at hand, and waits for that again where it ran dry; where the card
//          is slower than the source, what is more than kMostAheadS is dropped.
// Errors:  status(): not_found, unreadable, device_lost. A device that went away is looked for twice a
//          second, by name; put() is quiet until then.
// Threads: put() from one thread, the rest from any. All calls that may hang run on a thread of its
//          own, which is left behind if one does.
// Source:  PortAudio
// Checked: tests/dsp/audio/live_output_test.cpp (virtual sound card)
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/audio/devices.h"
#include "dsp/core/result.h"

namespace skedlark::audio {

// What sounds besides what is put in, made within the callback: soonest after its cause.
class OutputVoice {
 public:
    virtual ~OutputVoice() = default;
    // Adds itself to the frames; takes no memory and no lock. now_s: steady clock (seconds since its
    // epoch) as the first of them is asked for.
    virtual void add(std::span<float> frames, double rate_hz, double now_s) noexcept = 0;
};

struct OutputConfig {
    std::string device{};       // as find_device(); empty: the default output
    double limit_dbfs = -30.0;  // -80 to 0; no sample goes out beyond it
    std::shared_ptr<OutputVoice> voice{};
    // Asked of the sound system. With a voice, less is sooner; too little breaks up.
    double latency_s = 0.06;  // 0.005 to 0.5
    double block_s = 0.02;    // 0.001 to latency_s
};

class LiveOutput {
 public:
    static constexpr double kAheadS = 0.06;
    static constexpr double kMostAheadS = 0.25;

    // invalid_value; the device is opened afterwards, status() tells how that went.
    [[nodiscard]] static Result<std::unique_ptr<LiveOutput>> create(const OutputConfig& config);
    LiveOutput(const LiveOutput&) = delete;
    LiveOutput& operator=(const LiveOutput&) = delete;
    ~LiveOutput();

    void put(std::span<const float> audio) noexcept;
    // Of a device that plays: Done. While it is being opened: Done too, and is_playing() is false.
    [[nodiscard]] Status status() const;
    [[nodiscard]] bool is_playing() const noexcept;
    // Put in, and not asked for yet.
    [[nodiscard]] double queued_s() const noexcept;
    // From a frame being asked for to its sound, by the sound system's own account; empty where it
    // gives none that can be.
    [[nodiscard]] std::optional<double> latency_s() const noexcept;

    struct State;  // shared with the thread that may be left behind

 private:
    explicit LiveOutput(std::shared_ptr<State> state);
    std::shared_ptr<State> state_;
};

// Outputs only.
[[nodiscard]] Result<std::vector<DeviceInfo>> list_outputs();

}  // namespace skedlark::audio
