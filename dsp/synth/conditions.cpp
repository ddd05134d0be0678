#include "dsp/synth/conditions.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <string>

namespace skedlark::synth {
namespace {

// One item: its values as written and as numbers (numbers stop at the first that is none).
struct Item {
    std::string_view name;
    std::vector<std::string_view> values;
    std::vector<double> numbers;

    [[nodiscard]] double number(std::size_t i, double otherwise) const {
        return i < numbers.size() ? numbers[i] : otherwise;
    }
};

enum class Values { numbers, name, text };  // text: one number, then free text

struct Condition {
    ConditionHelp help;
    std::size_t least;  // values
    std::size_t most;
    Values values;
    Status (*apply)(const Item&, SceneConfig&);
};

Status set_channel(std::string_view name, SceneConfig& config) {
    const auto channel = channel_by_name(name);
    if (!channel) return channel.error();
    config.wanted.channel = *channel;
    return Done{};
}

Status apply_static(const Item& item, CrashShape shape, SceneConfig& config) {
    config.noise.crashes_per_s = item.number(0, 6.0);
    config.noise.crash_level_db = item.number(1, 20.0);
    config.noise.crash_shape = shape;
    return Done{};
}

Status apply_mains(const Item& item, double mains_hz, SceneConfig& config) {
    config.receiver.mains = {true, item.number(0, 0.0), mains_hz};
    return Done{};
}

Status apply_own(const Item& item, SceneConfig& config) {
    OwnSending own;
    own.at_s = item.number(0, 0.0);
    // Free text may hold commas: it runs from the second value to the end of the item.
    const char* end = item.values.back().data() + item.values.back().size();
    own.text.assign(item.values[1].data(), end);
    config.receiver.own.push_back(own);
    return Done{};
}

const auto kConditions = std::to_array<Condition>({
    {{"f1487", "f1487:NAME",
      "fading of ITU-R F.1487: low-, mid-, high- with quiet, moderate, disturbed; mid-vertical"},
     1,
     1,
     Values::name,
     [](const Item& item, SceneConfig& c) { return set_channel(item.values[0], c); }},
    {{"fading", "fading:SPREAD_HZ[,DELAY_MS]", "one Rayleigh path, or two of that delay"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.channel = {item.numbers.size() == 2 ? 2 : 1, item.numbers[0],
                             0.001 * item.number(1, 0.0)};
         return Done{};
     }},
    {{"slow", "slow", "slow deep fades of some 20 s"},
     0,
     0,
     Values::numbers,
     [](const Item&, SceneConfig& c) { return set_channel("slow", c); }},
    {{"flutter", "flutter", "fast flutter, spread 10 Hz"},
     0,
     0,
     Values::numbers,
     [](const Item&, SceneConfig& c) { return set_channel("flutter", c); }},
    {{"static", "static[:PER_S[,DB]]", "crashes of 2 to 20 ms (6 a second, 20 dB over the noise)"},
     0,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) { return apply_static(item, CrashShape::burst, c); }},
    {{"decaying-static", "decaying-static[:PER_S[,DB]]", "the same, each crash dying away"},
     0,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) { return apply_static(item, CrashShape::decay, c); }},
    {{"heavy", "heavy[:VD_DB]", "noise with heavy tails (Vd 5 dB; Gaussian is 1.049)"},
     0,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.noise.vd_db = item.number(0, 5.0);
         return Done{};
     }},
    {{"neighbour", "neighbour:OFFSET_HZ,DB[,WPM]", "another station sending code groups (18 wpm)"},
     2,
     3,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         StationConfig station;
         station.offset_hz = item.numbers[0];
         station.level_db = item.numbers[1];
         station.speed_wpm = item.number(2, 18.0);
         station.fist = *fist_by_name("steady");
         station.keep_sending = true;
         c.neighbours.push_back(station);
         return Done{};
     }},
    {{"carrier", "carrier:OFFSET_HZ,DB", "a steady carrier beside the station"},
     2,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         StationConfig station;
         station.carrier = true;
         station.offset_hz = item.numbers[0];
         station.level_db = item.numbers[1];
         c.neighbours.push_back(station);
         return Done{};
     }},
    {{"hum", "hum[:DB]", "mains lines of 50 Hz, the strongest that much over the tone (0)"},
     0,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) { return apply_mains(item, 50.0, c); }},
    {{"hum60", "hum60[:DB]", "the same for 60 Hz"},
     0,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) { return apply_mains(item, 60.0, c); }},
    {{"drift", "drift:HZ_PER_S[,SPAN_HZ]", "steady drift, turning round after the span"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.beat.drift_hz_per_s = item.numbers[0];
         c.beat.drift_span_hz = item.number(1, 0.0);
         return Done{};
     }},
    {{"wander", "wander:HZ[,STEP_S]", "random steps of the pitch (every 2 s)"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.beat.wander_hz = item.numbers[0];
         c.beat.wander_step_s = item.number(1, 2.0);
         return Done{};
     }},
    {{"knock", "knock:AT_S,HZ", "the set is knocked: a jump of the pitch"},
     2,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.beat.knocks.push_back({item.numbers[0], item.numbers[1], 0.0});
         return Done{};
     }},
    {{"chirp", "chirp:HZ[,SETTLE_MS]", "pitch pulled at each key-down (settling in 50 ms)"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.note.chirp_hz = item.numbers[0];
         c.wanted.note.chirp_settle_s = 0.001 * item.number(1, 50.0);
         return Done{};
     }},
    {{"raw", "raw[:DEPTH[,FM_HZ]]", "hum on the note, 100 Hz (full depth 1, FM 20 Hz)"},
     0,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.note.hum_depth = item.number(0, 1.0);
         c.wanted.note.hum_fm_hz = item.number(1, 20.0);
         return Done{};
     }},
    {{"warble", "warble:HZ[,RATE_HZ]", "slow swing of the pitch (once a second)"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.note.warble_hz = item.numbers[0];
         c.wanted.note.warble_rate_hz = item.number(1, 1.0);
         return Done{};
     }},
    {{"lag", "lag:MS[,SHARE]",
      "transmitter slow to start, by so much from mark to mark (a third); dots shorter than the "
      "lag "
      "are lost"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.transmitter.lag_s = 0.001 * item.numbers[0];
         c.wanted.transmitter.lag_spread = item.number(1, 1.0 / 3.0);
         return Done{};
     }},
    {{"bounce", "bounce:CHANCE[,MS]", "contact of the key bounces as it closes (open for 3 ms)"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.transmitter.bounce_chance = item.numbers[0];
         c.wanted.transmitter.bounce_open_s = 0.001 * item.number(1, 3.0);
         return Done{};
     }},
    {{"soft", "soft:MS", "raised-cosine edges of that rise time, 10 to 90 %"},
     1,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.edges = EdgeShape::raised_cosine;
         c.wanted.rise_s = 0.001 * item.numbers[0];
         return Done{};
     }},
    {{"rc", "rc:MS", "exponential edges of that rise time"},
     1,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.wanted.edges = EdgeShape::exponential;
         c.wanted.rise_s = 0.001 * item.numbers[0];
         return Done{};
     }},
    {{"hard", "hard", "hard edges: clicks"},
     0,
     0,
     Values::numbers,
     [](const Item&, SceneConfig& c) -> Status {
         c.wanted.edges = EdgeShape::hard;
         return Done{};
     }},
    {{"band", "band[:LOW_HZ,HIGH_HZ]", "audio band (300 to 3000 Hz)"},
     0,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.receiver.filter.kind = FilterKind::band;
         c.receiver.filter.low_hz = item.number(0, 300.0);
         c.receiver.filter.high_hz = item.number(1, 3000.0);
         return Done{};
     }},
    {{"valve", "valve[:WIDTH_HZ]", "wide valve intermediate frequency (6000 Hz)"},
     0,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.receiver.filter.kind = FilterKind::valve;
         c.receiver.filter.width_hz = item.number(0, 6000.0);
         return Done{};
     }},
    {{"peak", "peak:CENTRE_HZ[,WIDTH_HZ]", "a single tuned circuit (200 Hz wide)"},
     1,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.receiver.filter.kind = FilterKind::peak;
         c.receiver.filter.centre_hz = item.numbers[0];
         c.receiver.filter.width_hz = item.number(1, 200.0);
         return Done{};
     }},
    {{"limit", "limit:DBFS", "soft limiting at that peak level"},
     1,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.receiver.limiter = true;
         c.receiver.limiter_dbfs = item.numbers[0];
         return Done{};
     }},
    {{"gain", "gain:AT_S,DB", "the gain is turned to that, against the start"},
     2,
     2,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.receiver.gain_steps.push_back({item.numbers[0], item.numbers[1]});
         return Done{};
     }},
    {{"dc", "dc:LEVEL", "constant offset, full scale 1"},
     1,
     1,
     Values::numbers,
     [](const Item& item, SceneConfig& c) -> Status {
         c.receiver.dc = item.numbers[0];
         return Done{};
     }},
    {{"own", "own:AT_S,TEXT", "own sending with sidetone, receiver muted"},
     2,
     99,
     Values::text,
     apply_own},
});

const Condition* find(std::string_view name) {
    const auto found = std::find_if(kConditions.begin(), kConditions.end(),
                                    [&](const Condition& one) { return one.help.name == name; });
    return found == kConditions.end() ? nullptr : &*found;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    return text;
}

bool starts_item(std::string_view text) {
    const auto end = text.find_first_of(":,;");
    return find(trimmed(text.substr(0, end))) != nullptr;
}

std::vector<std::string_view> split_items(std::string_view line) {
    std::vector<std::string_view> items;
    std::size_t from = 0;
    for (std::size_t i = 0; i <= line.size(); ++i) {
        const bool ends = i == line.size() || line[i] == ';' ||
                          (line[i] == ',' && starts_item(line.substr(i + 1)));
        if (!ends) continue;
        const auto item = trimmed(line.substr(from, i - from));
        if (!item.empty()) items.push_back(item);
        from = i + 1;
    }
    return items;
}

Item parse(std::string_view text) {
    Item item;
    const auto colon = text.find(':');
    item.name = trimmed(text.substr(0, colon));
    if (colon == std::string_view::npos) return item;
    std::string_view rest = text.substr(colon + 1);
    bool numeric = true;
    while (true) {
        const auto comma = rest.find(',');
        const auto value = trimmed(rest.substr(0, comma));
        item.values.push_back(value);
        double number = 0.0;
        const std::string_view digits =
            !value.empty() && value.front() == '+' ? value.substr(1) : value;
        const auto [end, error] =
            std::from_chars(digits.data(), digits.data() + digits.size(), number);
        numeric = numeric && error == std::errc{} && end == digits.data() + digits.size();
        if (numeric) item.numbers.push_back(number);
        if (comma == std::string_view::npos) return item;
        rest.remove_prefix(comma + 1);
    }
}

bool well_formed(const Condition& condition, const Item& item) {
    if (item.values.size() < condition.least || item.values.size() > condition.most) return false;
    switch (condition.values) {
        case Values::numbers:
            return item.numbers.size() == item.values.size();
        case Values::text:
            return !item.numbers.empty();
        case Values::name:
            break;
    }
    return true;
}

}  // namespace

std::vector<ConditionHelp> condition_names() {
    std::vector<ConditionHelp> names;
    for (const Condition& one : kConditions) names.push_back(one.help);
    return names;
}

Status apply_conditions(std::string_view line, SceneConfig& config) {
    SceneConfig changed = config;
    for (const std::string_view text : split_items(line)) {
        const Item item = parse(text);
        const Condition* condition = find(item.name);
        if (condition == nullptr) {
            std::string names;
            for (const Condition& one : kConditions) {
                names += (names.empty() ? "" : ", ") + std::string(one.help.name);
            }
            return Error{ErrorCode::not_found,
                         "channel: \"" + std::string(item.name) + "\", allowed " + names};
        }
        if (!well_formed(*condition, item)) {
            return Error{ErrorCode::invalid_value, "channel: \"" + std::string(text) +
                                                       "\", allowed " +
                                                       std::string(condition->help.form)};
        }
        if (const Status status = condition->apply(item, changed); !status) return status.error();
    }
    config = std::move(changed);
    return Done{};
}

}  // namespace skedlark::synth
