#include "recordings/recipes.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "dsp/synth/conditions.h"
#include "dsp/synth/keyer.h"

namespace skedlark::recordings {
namespace {

// Every call, name, place and message is invented.
constexpr auto kRecipes = std::to_array<Recipe>({
    {"01-call-up-easy", "machine keying, strong and clean", 8000, 700, 15, "machine", 15, "band",
     "QVA7 QVA7 DE QXB2 QXB2 [BT] GOOD MORNING [BT] 3 MESSAGES FOR YOU [KN]"},
    {"02-supplies-steady-hand", "a practised hand, comfortable", 11025, 640, 16, "steady", 5,
     "band:250,2800",
     "QVC3 DE QVA7 [BT] UPPER HUT NEEDS 20 KG FLOUR AND 2 BLANKETS BY NOON [AR] K"},
    {"03-weather-ordinary-hand", "figure groups from an everyday hand", 16000, 560, 16, "ordinary",
     5, "band", "[KA] WX RIDGE HUT 06 [BT] 10452 73108 22916 40087 [AR]"},
    {"04-roll-call-semi-automatic", "calls of the net from a semi-automatic key", 8000, 800, 20,
     "semi-automatic", 0, "",
     "ALL HUTS DE QXB2 [BT] QVA7 QVC3 QWD1 QWK8 QXE5 QYH4 QYR9 QZB6 QZT2 K"},
    {"05-drifting-valve-receiver", "drift of 1 Hz a second and wander, wide valve receiver", 44100,
     720, 18, "steady", 0, "drift:1,40;wander:3,2;valve:6000",
     "QWD1 DE QVA7 [BT] FOREST ROAD CLOSED [AR] [SK]"},
    {"06-fading", "two-path fading, F.1487 mid-latitude moderate", 8000, 680, 18, "steady", 6,
     "f1487:mid-moderate",
     "QXE5 DE QXB2 [BT] RELIEF PARTY OF FOUR REACHED SADDLE HUT LAST EVENING. ALL ARE WELL. ONE "
     "ROPE WAS LOST [AR] K"},
    {"07-static", "six crashes of static a second", 8000, 750, 16, "steady", 0, "static:6,20",
     "QVA7 DE QYH4 [BT] THUNDER OVER THE GLACIER SINCE NOON. NEXT CALL AT 1815 [AR] K"},
    {"08-strong-neighbour", "a second station 100 Hz away and 2 dB stronger", 8000, 600, 16,
     "steady", 2, "neighbour:100,2,18;peak:650,400",
     "QYR9 DE QVC3 [BT] HAVE YOU 12 BATTERIES AND A SPARE LAMP? [AR] K"},
    {"09-humming-note", "raw note with chirp, mains lines under it", 48000, 850, 18, "swinging", 6,
     "raw:0.8,15;chirp:40,30;hum:-6;band:80,2700", "QZB6 DE QWK8 [BT] HOW IS MY NOTE? [KN]"},
    {"10-knock", "the set is knocked in mid-message: the pitch jumps by 170 Hz", 11025, 620, 16,
     "steady", 0, "knock:15,170;band",
     "QVA7 DE QZT2 [BT] BRIDGE IS SAFE AGAIN. FIRST LOAD OF WOOD COMES TOMORROW [AR] K"},
    {"11-weak-groups", "machine keying at -9 dB: barely there by ear", 8000, 700, 20, "machine", -9,
     "", "KXQMV BTLWE ZRNHA DUPOJ SGYCF IMKTX QWVBE LPZDR HNAUG YOJSC FXTEM KIQRW"},
    {"12-very-weak-groups", "machine keying at -12 dB: below what an ear notices", 8000, 700, 20,
     "machine", -12, "", "RVKEU MZTAL QHXWD OBNJY SCGFI PUKRT EVMLZ ADXQH WNOYB JGSFC TIPKU LREMV"},
    {"13-fast", "machine keying at 40 words a minute", 16000, 900, 40, "machine", 3, "band",
     "QXB2 DE QVA7 [BT] STORES LIST 7 [BT] FLOUR 180 KG, OATS 95 KG, TEA 12 KG, LAMP OIL 60 CANS, "
     "ROPE 4 COILS [AR] [SK]"},
    {"14-slow-and-weak", "a slow steady hand at -12 dB", 8000, 660, 6, "steady", -12, "",
     "QVA7 DE QWK8 [BT] SNOW [AR] K"},
    {"15-contact-with-own-sending", "two stations in turn, then the operator's own sidetone", 8000,
     700, 18, "steady", 4, "own:51,QXB2 DE QVC3 = R R RECEIVED [AR];valve;limit:-3",
     "QVC3 QWD1 DE QXB2 [BT] WHO HAS THE VALVES? K", "QXB2 DE QWD1 [BT] NOT HERE [AR] K"},
    {"16-poor-hand", "an uneven hand whose speed wanders", 8000, 740, 12, "poor", 5, "wander:2,4",
     "QVA7 DE QYR9 [BT] NEW COOK AT THE KEY. SEND SLOWLY [KN]"},
});

// Noise of some 65 steps of 16 bits over 4 kHz, whatever the SNR: far above the rounding, and
// noise of every bit more costs 1 kB a second.
constexpr double kToneAboveSnrDbfs = -53.0;
constexpr double kAnswerOffsetHz = 60.0;
constexpr double kPauseS = 1.5;

// Puts the second station's answer a pause after the first one's text ends, for the hands it has.
Status add_answer(const Recipe& recipe, synth::SceneConfig& config) {
    synth::Keyed keyed;
    // Where the text ends is known only once it is keyed; a machine's end plus a tenth is late
    // enough for the steady hands these recordings use.
    synth::Keyer keyer({recipe.speed_wpm, 0.0, synth::Fist{}}, 1);
    const auto end_s = keyer.send(recipe.text, 1.0, keyed);
    if (!end_s) return end_s.error();
    synth::StationConfig second;
    second.transmissions = {{1.1 * *end_s + kPauseS, std::string(recipe.answer)}};
    second.speed_wpm = recipe.speed_wpm;
    second.fist = config.wanted.fist;
    second.offset_hz = kAnswerOffsetHz;
    second.level_db = -2.0;
    config.neighbours.push_back(second);
    return Done{};
}

}  // namespace

std::span<const Recipe> recipes() { return kRecipes; }

Result<synth::SceneConfig> scene_of(std::size_t index) {
    const Recipe& recipe = kRecipes.at(index);
    const auto fist = synth::fist_by_name(recipe.hand);
    if (!fist) return fist.error();
    synth::SceneConfig config = synth::one_text(std::string(recipe.text), recipe.speed_wpm, *fist,
                                                recipe.snr_2500hz_db, index + 1);
    config.sample_rate_hz = recipe.sample_rate_hz;
    config.beat.pitch_hz = recipe.pitch_hz;
    config.level_dbfs = kToneAboveSnrDbfs + recipe.snr_2500hz_db;
    config.track_step_s = 0.5;
    const auto status = synth::apply_conditions(recipe.conditions, config);
    if (!status) return status.error();
    if (!recipe.answer.empty()) {
        if (const auto added = add_answer(recipe, config); !added) return added.error();
    }
    return config;
}

// Offsets from where the sweep begins, about 3.777 MHz; at 1 kHz a second. Levels over the wanted
// station's, which is the weak one.
synth::SweepSceneConfig sweep_scene() {
    constexpr double kSnrDb = -13.0;
    constexpr double kWantedHz = 23000.0;
    synth::SweepSceneConfig config;
    config.seconds = 56.0;
    config.seed = kRecipes.size() + 1;
    config.snr_2500hz_db = kSnrDb;
    config.level_dbfs = kToneAboveSnrDbfs + kSnrDb;
    config.dial.rate_hz_per_s = 1000.0;
    config.dial.wobble = 0.15;
    config.track_step_s = 0.5;
    const auto add = [&](double at_hz, double level_db) -> synth::SweepStation& {
        synth::SweepStation one;
        one.at_hz = at_hz;
        one.station.level_db = level_db;
        config.stations.push_back(one);
        return config.stations.back();
    };
    const auto keyed = [&](synth::SweepStation& one, std::string text, double wpm,
                           std::string_view hand) {
        one.station.transmissions = {{0.5, std::move(text)}};
        one.station.speed_wpm = wpm;
        if (const auto fist = synth::fist_by_name(hand)) one.station.fist = *fist;
    };
    synth::SweepStation& broadcast = add(9500.0, 22.0);
    broadcast.station.carrier = true;
    broadcast.programme = synth::ProgrammeKind::speech;
    keyed(add(kWantedHz, 0.0),
          "QVA7 QVA7 DE QXB2 QXB2 QXB2 QVA7 QVA7 DE QXB2 QXB2 QXB2 QVA7 QVA7 DE QXB2 QXB2 QXB2 K",
          16.0, "ordinary");
    add(34000.0, 10.0).station.carrier = true;
    keyed(add(46000.0, 16.0),
          "QWD1 DE QWK8 QWK8 [BT] SNOW AT THE SADDLE [BT] TWO SLEDGES LATE [BT] COAL FOR TWO DAYS "
          "[BT] SEND SOUP [AR] K",
          18.0, "steady");
    return config;
}

short sample_16bit(float value) {
    const double scaled = std::round(static_cast<double>(value) * 32768.0);
    return static_cast<short>(std::clamp(scaled, -32768.0, 32767.0));
}

}  // namespace skedlark::recordings
