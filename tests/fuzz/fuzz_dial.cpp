// Bytes as a receiver file, a where-is-it map, measured pairs, marks, a detection curve, then all that is made
// of them: no crash, no hang, no error without a message.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "dsp/dial/map_file.h"
#include "dsp/dial/marks_file.h"
#include "dsp/dial/measured_chart.h"
#include "dsp/dial/receiver_file.h"
#include "dsp/dial/search_plan.h"
#include "dsp/dial/sweep_plan.h"

using namespace skedlark;

namespace {

void want_message(const Error& error) {
    if (error.message.empty()) {
        std::abort();
    }
}

const dial::ChanceByRate& chance() {
    static const auto kChance = *dial::ChanceByRate::create(
        dial::DetectionModel::from([](double, double) { return 0.5; }), {});
    return kChance;
}

void search(const dial::PlaceMap& map) {
    const auto next = dial::next_stretch(map, chance(), {.window_s = 60.0});
    if (!next) want_message(next.error());
    dial::PlaceMap heard = map;
    (void)heard.heard({map.low_div(), map.high_div(), 2.0, 0.1, {{map.div_of(0), 0.1}}}, chance());
    (void)heard.drift(0.1);
}

void use(const dial::Receiver& receiver) {
    for (const dial::Band& band : receiver.bands) {
        const auto dial = dial::Dial::create(receiver, band.name);
        if (!dial) {
            want_message(dial.error());
            continue;
        }
        const auto setting =
            dial->setting(0.5 * (dial->chart().low_mhz() + dial->chart().high_mhz()));
        if (!setting) {
            want_message(setting.error());
            continue;
        }
        if (const auto plan = dial::plan_sweep(*dial, *setting, chance()); !plan) {
            want_message(plan.error());
        }
        const auto map = dial::PlaceMap::create(*dial, *setting);
        if (map) {
            search(*map);
        } else {
            want_message(map.error());
        }
    }
}

dial::Receiver known_receiver() {
    dial::Receiver receiver;
    receiver.name = "Hut";
    receiver.bands = {{.name = "1",
                       .from_mhz = 2.9,
                       .to_mhz = 5.1,
                       .points = {{0, 3.0}, {30, 3.5}, {60, 4.15}, {100, 5.0}}}};
    return receiver;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const dial::Receiver kReceiver = known_receiver();
    static const dial::Dial kDial = *dial::Dial::create(kReceiver, "1");
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    if (const auto receiver = dial::parse_receiver(text, "fuzz"); receiver) {
        use(*receiver);
    } else {
        want_message(receiver.error());
    }
    if (const auto map = dial::parse_map(text, "fuzz", kDial, 4.0); map) {
        search(*map);
    } else {
        want_message(map.error());
    }
    if (const auto pairs = dial::parse_pairs(text, "fuzz"); pairs) {
        if (const auto made = dial::make_chart(kReceiver, "2", *pairs); !made) {
            want_message(made.error());
        }
    } else {
        want_message(pairs.error());
    }
    if (auto marks = dial::parse_marks(text, "fuzz"); marks) {
        if (const auto motion = dial::Motion::marked(*std::move(marks), 0.1); motion) {
            (void)motion->rests();
            (void)motion->turns();
            (void)motion->at(motion->paces().high_div);
        } else {
            want_message(motion.error());
        }
    } else {
        want_message(marks.error());
    }
    if (const auto curve = dial::parse_detection(text, "fuzz"); !curve) want_message(curve.error());
    return 0;
}
