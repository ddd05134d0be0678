// Bytes as a plan, then all that is made of it: no crash, no hang, no error without a message.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "dsp/station/card.h"
#include "dsp/station/conflicts.h"
#include "dsp/station/plan_reader.h"
#include "dsp/station/repeats.h"

using namespace skedlark;

namespace {

const std::vector<std::string> kGroups = {"KLMNO", "PQRST", "12345", "PQRST", "ABCDE"};

void want_message(const Error& error) {
    if (error.message.empty()) {
        std::abort();
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    if (const auto asked = station::groups_asked_for(kGroups, text); !asked) {
        want_message(asked.error());
    }
    if (const auto groups = station::split_into_groups(text, station::Grouping::fives); !groups) {
        want_message(groups.error());
    }
    const auto plan = station::read_plan_text(text, "fuzz.toml");
    if (!plan) {
        want_message(plan.error());
        return 0;
    }
    station::CardConfig config;
    config.machine_now = UtcTime(std::chrono::days(20000));
    config.count = 5;
    if (const auto cards = station::make_cards(*plan, config); !cards) {
        want_message(cards.error());
    }
    (void)station::find_conflicts(*plan, config.machine_now,
                                  config.machine_now + std::chrono::days(3));
    return 0;
}
