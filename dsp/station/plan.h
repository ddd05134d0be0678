// The plan of a station: whom it works when and on which frequency, and with what kit.
//
// Stage:   station. Out of the plan reader (plan_reader.h), into everything else here.
// Units:   kilohertz, minutes, hours; instants in UTC. A battery's charge is a share, 0 to 1.
// Shape:   a plan from the reader holds no name that leads nowhere.
// Errors:  none.
// Threads: values.
// Source:  none
// Checked: tests/dsp/station/plan_reader_test.cpp
#pragma once

#include <array>
#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "dsp/core/utc.h"

namespace skedlark::station {

using Minutes = std::chrono::minutes;

struct Station {
    std::string call;
    std::string name{};  // may be empty
};

struct Crystal {
    std::string name;  // as written on its holder
    double khz = 0.0;  // its own frequency
};

// A range the transmitter covers with its switch in one position.
struct TransmitterBand {
    std::string position;  // as engraved at the switch
    double from_khz = 0.0;
    double to_khz = 0.0;
    int multiplier = 1;  // 2: sends on twice the crystal's frequency
};

struct Battery {
    std::string name;
    double receive_h = 0.0;          // from full to flat, receiving
    double send_h = 0.0;             // from full to flat, sending Morse all the time
    double charge_ratio = 0.0;       // hours on the charger for each hour of receiving taken out
    double charge = 1.0;             // share left at as_of
    std::optional<UtcTime> as_of{};  // empty: before the first use in the plan
};

// When something happens again. Days are days of UTC.
struct Repeat {
    std::optional<std::chrono::minutes> every{};   // empty with no weekdays: once
    std::array<bool, 7> weekdays{};                // from Sunday; any set: on these days
    std::optional<std::chrono::sys_days> until{};  // last day, itself included
    std::vector<std::chrono::sys_days> except{};

    [[nodiscard]] bool on_weekdays() const {
        for (const bool day : weekdays) {
            if (day) return true;
        }
        return false;
    }
};

// Where to listen and how to answer: of a contact and of its fallbacks.
struct Channel {
    double receive_khz = 0.0;
    std::string crystal{};               // name; empty: found by answer_khz, or no answer is sent
    std::optional<double> answer_khz{};  // what is sent on; empty: crystal times multiplier
};

struct Fallback {
    Minutes after{};  // from the contact's start
    Minutes duration{};
    Channel channel;
};

struct Contact {
    std::string name;
    std::string station;  // call
    UtcTime start{};      // the first time
    Repeat repeat;
    Minutes duration{};
    Minutes give_up{};  // from the start: nothing heard by then, nothing will be
    Minutes warm_up{};  // receiver on before the start, so that its drift has settled
    Minutes sending{};  // own sending, for the battery
    Channel channel;
    std::vector<Fallback> fallbacks;  // in order of time
    std::string battery{};            // name; empty: the plan has none
    std::vector<std::string> kit;     // to be laid out, the plan's and its own
    int line = 0;                     // in the plan file
};

// The battery is on the charger.
struct Charging {
    std::string battery;
    UtcTime start{};
    Repeat repeat;
    Minutes duration{};
};

struct Plan {
    std::string file;  // as named when it was read
    std::string title{};
    std::string call;           // own
    double sending_wpm = 12.0;  // own speed, until it is measured
    std::string zone = "UTC";   // for display only
    std::vector<Station> stations;
    std::vector<Crystal> crystals;
    std::vector<TransmitterBand> bands;
    std::vector<Battery> batteries;
    std::vector<Contact> contacts;
    std::vector<Charging> charging;
};

template <typename T>
[[nodiscard]] const T* find_named(const std::vector<T>& all, const std::string& name) {
    for (const T& one : all) {
        if (one.name == name) return &one;
    }
    return nullptr;
}

}  // namespace skedlark::station
