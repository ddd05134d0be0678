// Hears the sound file that is or was the input again, from its beginning.
//
// Stage:   gui/common. In: DeskState. Out: the hub opened anew; false where the input is no file.
// Errors:  none; those of opening stand in HubState.
// Threads: the window's.
// Checked: tests/desk/sweep/sweep_page_test.cpp, tests/desk/bench/bench_page_test.cpp
#pragma once

#include "gui/common/desk_state.h"

namespace skedlark::gui {

inline bool hear_file_again(DeskState& desk) {
    const HubState hub = desk.hub().state();
    if (hub.input.live || hub.input.name.empty() || hub.phase == HubPhase::failed) return false;
    InputChoice choice;
    choice.live = false;
    choice.file = hub.input.name;
    choice.channel = static_cast<int>(desk.settings().number("input/channel"));
    choice.pace = desk.settings().number("input/pace");
    desk.hub().open(choice);
    return true;
}

}  // namespace skedlark::gui
