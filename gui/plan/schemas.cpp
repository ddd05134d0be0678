// The fields of plan and receiver files; docs/file-formats.md describes them.
#include "dsp/dial/receiver_file.h"
#include "dsp/station/display_zone.h"
#include "dsp/station/plan_reader.h"
#include "gui/plan/document.h"

namespace skedlark::gui {

namespace {

using enum FieldKind;

constexpr const char* kTime = "2026-11-26T18:30Z";

Status check_plan(const std::string& toml, const std::string& name) {
    const auto plan = station::read_plan_text(toml, name);
    if (!plan) return plan.error();
    if (const auto zone = station::check_zone(plan->zone); !zone) {
        return Error{zone.error().code, name + ": zone: " + zone.error().message};
    }
    return Done{};
}

Status check_receiver(const std::string& toml, const std::string& name) {
    const auto receiver = dial::parse_receiver(toml, name);
    if (!receiver) return receiver.error();
    return Done{};
}

SectionInfo plan_head() {
    return {"",
            "plan",
            false,
            "",
            {{"title", "title"},
             {"call", "own call", text, "QVA7"},
             {"sending_wpm", "own speed, wpm", number, "12"},
             {"zone", "time zone", text, "UTC"},
             {"warm_up_min", "warm-up, min", number, "20"},
             {"kit", "kit; parted by ;", texts, "crystal; spare valve; fuse"}}};
}

SectionInfo contact_section() {
    return {"contact",
            "contact",
            true,
            "",
            {{"name", "name", text, "evening"},
             {"station", "station's call", text, "QXB2"},
             {"start", "first start, UTC", moment, kTime},
             {"repeat", "repeat", text, "daily"},
             {"until", "last day", day, "2027-03-26"},
             {"except", "days left out", days, "2026-12-24"},
             {"duration_min", "duration, min", number, "20"},
             {"give_up_min", "give up after, min", number, "12"},
             {"warm_up_min", "warm-up, min", number, "20"},
             {"sending_min", "own sending, min", number, "5"},
             {"receive_khz", "receive, kHz", number, "3570"},
             {"answer_crystal", "answer: crystal", text, "K1"},
             {"answer_khz", "or answer on, kHz", number, "3562.5"},
             {"battery", "battery", text, "shelf"},
             {"kit", "more kit; parted by ;", texts, "lamp"}}};
}

std::vector<SectionInfo> plan_sections() {
    return {plan_head(),
            {"station",
             "station",
             true,
             "",
             {{"call", "call", text, "QXB2"}, {"name", "name", text, "Valley base"}}},
            {"crystal",
             "crystal",
             true,
             "",
             {{"name", "name", text, "K1"}, {"khz", "frequency, kHz", number, "3562.5"}}},
            {"band",
             "transmitter band",
             true,
             "",
             {{"position", "switch position", text, "1"},
              {"from_khz", "from, kHz", number, "3000"},
              {"to_khz", "to, kHz", number, "4200"},
              {"multiplier", "times the crystal", number, "1"}}},
            {"battery",
             "battery",
             true,
             "",
             {{"name", "name", text, "shelf"},
              {"receive_h", "receiving, h", number, "20"},
              {"send_h", "sending, h", number, "11"},
              {"capacity_ah", "or capacity, Ah", number, "38"},
              {"receive_a", "receiving, A", number, "1.9"},
              {"send_a", "sending, A", number, "3.4"},
              {"charge_ratio", "charging h per h", number, "1.6"},
              {"charge_percent", "charge, %", number, "100"},
              {"as_of", "as of, UTC", moment, kTime}}},
            contact_section(),
            {"fallback",
             "fallback",
             true,
             "contact",
             {{"after_min", "after the start, min", number, "30"},
              {"duration_min", "duration, min", number, "15"},
              {"receive_khz", "receive, kHz", number, "5195"},
              {"answer_crystal", "answer: crystal", text, "K1"},
              {"answer_khz", "or answer on, kHz", number, "3562.5"}}},
            {"charging",
             "charging",
             true,
             "",
             {{"battery", "battery", text, "shelf"},
              {"start", "first start, UTC", moment, kTime},
              {"repeat", "repeat", text, "daily"},
              {"until", "last day", day, "2027-03-26"},
              {"except", "days left out", days, "2026-12-24"},
              {"duration_min", "duration, min", number, "150"}}}};
}

std::vector<SectionInfo> receiver_sections() {
    return {{"", "receiver", false, "", {{"name", "name", text, "Saddle hut set"}}},
            {"dial",
             "dial",
             false,
             "",
             {{"from_div", "scale from", number, "0"},
              {"to_div", "scale to", number, "100"},
              {"reading_sd_div", "reading's s.d., div", number, "0.1"}}},
            {"beat",
             "beat oscillator",
             false,
             "",
             {{"chart_reads", "chart reads", text, "zero_beat"},
              {"offset_hz", "offset, Hz", number, ""},
              {"listen", "listen", text, "above"}}},
            {"audio",
             "audio",
             false,
             "",
             {{"pitch_hz", "pitch, Hz", number, "700"},
              {"low_hz", "passband from, Hz", number, "300"},
              {"high_hz", "passband to, Hz", number, "3000"}}},
            {"band",
             "band",
             true,
             "",
             {{"name", "name", text, "1"},
              {"from_mhz", "from, MHz", number, "1.6"},
              {"to_mhz", "to, MHz", number, "3.05"},
              {"chart_sd_div", "chart's s.d., div", number, ""},
              {"points", "points: division MHz", points, "4 1.625\n50 2.2\n95 3.028"}}}};
}

}  // namespace

const Schema& plan_schema() {
    static const Schema kSchema{"plan", "", plan_sections(), check_plan};
    return kSchema;
}

const Schema& receiver_schema() {
    static const Schema kSchema{"receiver", "format = \"skedlark-receiver\"\nversion = 1\n",
                                receiver_sections(), check_receiver};
    return kSchema;
}

}  // namespace skedlark::gui
