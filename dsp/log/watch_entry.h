// The log entry of a watch, made of what it told.
//
// Stage:   log. In: events of one input. Out: the entry as it stands.
// Units:   as Entry.
// Shape:   any batches; entry() may be asked at any time, so that what was heard outlives a power
//          cut.
// Time:    seconds is how far the watch has got.
// Errors:  none.
// Threads: one thread per instance.
// Source:  none
// Checked: tests/dsp/log/watch_entry_test.cpp
#pragma once

#include <algorithm>
#include <map>
#include <span>

#include "dsp/core/events.h"
#include "dsp/log/entry.h"

namespace skedlark::log {

class WatchEntry {
 public:
    // What is known before anything is heard; outcome, stations and the like are filled in here.
    explicit WatchEntry(Entry facts) : entry_(std::move(facts)) {}

    void add(std::span<const Event> events);
    // What is told in no event: stations met while the dial moved, divisions.
    void add(const HeardStation& station) { heard_[station.tone] = station; }
    void add(const Measurement& measured) { entry_.measurements.push_back(measured); }
    // Listening has got so far, whether anything was heard or not.
    void reach(double seconds) { seconds_ = std::max(seconds_, seconds); }
    // cut_short: why the watch ended before its time, "" where it did not.
    void end(const std::string& cut_short);
    [[nodiscard]] Entry entry() const;
    void set_id(std::int64_t id) { entry_.id = id; }

 private:
    void take(const ToneEvent& event);
    void take(const CharEvent& event);
    void take(const CallEvent& event);
    void take(const AudioLostEvent& event);
    void take(const SummaryEvent& event);
    template <typename Other>
    void take(const Other&) {}
    void pass(FrameIndex frame);

    Entry entry_;
    std::map<int, HeardStation> heard_;
    double seconds_ = 0.0;
    std::string called_;  // calls that were sent, the same once
    double lost_s_ = 0.0;
    bool ended_ = false;
    std::string cut_short_;
};

}  // namespace skedlark::log
