#include "dsp/synth/text_makers.h"

#include <array>
#include <string_view>

namespace skedlark::synth {
namespace {

constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr std::string_view kFigures = "0123456789";
constexpr std::string_view kMixed = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";

constexpr auto kPlaces = std::to_array<std::string_view>(
    {"RIDGE HUT", "UPPER HUT", "LAKE HUT", "NORTH HUT", "SADDLE HUT", "VALLEY BASE", "GLACIER HUT",
     "OLD MILL", "EAST COL", "CHAPEL HUT"});
constexpr auto kGoods = std::to_array<std::string_view>(
    {"FLOUR", "LAMP OIL", "DRY WOOD", "BANDAGES", "ROPE", "BATTERIES", "BLANKETS", "TEA", "OATS",
     "STOVE PARTS", "VALVES", "BREAD"});
constexpr auto kPeople = std::to_array<std::string_view>(
    {"THE CARRIER", "THE DOCTOR", "TWO GUIDES", "THE RELIEF PARTY", "FOUR WALKERS", "THE WARDEN",
     "THE MULE TEAM", "A YOUNG COOK"});
constexpr auto kWeather = std::to_array<std::string_view>(
    {"SNOW", "FOG", "HEAVY RAIN", "CLEAR SKY", "STRONG WIND", "THAW", "HARD FROST", "LIGHT CLOUD"});
constexpr auto kWhen =
    std::to_array<std::string_view>({"AT DAWN", "BY NOON", "BEFORE NIGHT", "TOMORROW", "ON MONDAY",
                                     "ON FRIDAY", "THIS EVENING", "IN TWO HOURS"});
constexpr auto kPaths = std::to_array<std::string_view>(
    {"THE LOWER PATH", "THE BRIDGE", "THE LONG STAIR", "THE FOREST ROAD", "THE EAST SLOPE"});
constexpr auto kStates =
    std::to_array<std::string_view>({"IS OPEN", "IS CLOSED", "IS UNDER SNOW", "IS SAFE AGAIN",
                                     "NEEDS WORK", "IS BLOCKED BY A TREE"});

template <std::size_t N>
std::string pick(const std::array<std::string_view, N>& list, Random& random) {
    return std::string(list[static_cast<std::size_t>(random.below(static_cast<int>(N)))]);
}

char pick(std::string_view characters, Random& random) {
    return characters[static_cast<std::size_t>(random.below(static_cast<int>(characters.size())))];
}

std::string number(int low, int high, Random& random) {
    return std::to_string(low + random.below(high - low + 1));
}

std::string sentence(Random& random) {
    switch (random.below(7)) {
        case 0:
            return pick(kPlaces, random) + " NEEDS " + number(2, 60, random) + " KG OF " +
                   pick(kGoods, random) + " " + pick(kWhen, random);
        case 1:
            return pick(kPeople, random) + " WILL REACH " + pick(kPlaces, random) + " " +
                   pick(kWhen, random);
        case 2:
            return pick(kPaths, random) + " " + pick(kStates, random);
        case 3:
            return pick(kWeather, random) + " AT " + pick(kPlaces, random) + ", WE EXPECT " +
                   pick(kWeather, random) + " " + pick(kWhen, random);
        case 4:
            return "PLEASE SEND " + pick(kGoods, random) + " AND " + pick(kGoods, random) + " TO " +
                   pick(kPlaces, random);
        case 5:
            return pick(kPeople, random) + " LEFT " + pick(kPlaces, random) + " " +
                   pick(kWhen, random) + " AND ALL ARE WELL";
        default:
            return "HOW MUCH " + pick(kGoods, random) + " IS LEFT AT " + pick(kPlaces, random) +
                   "?";
    }
}

void append_word(std::string& text, const std::string& word) {
    if (!text.empty()) text += ' ';
    text += word;
}

}  // namespace

std::string random_groups(int groups, GroupKind kind, Random& random) {
    const std::string_view characters = kind == GroupKind::letters   ? kLetters
                                        : kind == GroupKind::figures ? kFigures
                                                                     : kMixed;
    std::string text;
    for (int i = 0; i < groups; ++i) {
        std::string group;
        for (int j = 0; j < 5; ++j) group += pick(characters, random);
        append_word(text, group);
    }
    return text;
}

std::string random_call(Random& random) {
    std::string call = "Q";
    call += pick(std::string_view("VWXYZ"), random);
    call += pick(kLetters, random);
    call += pick(kFigures, random);
    return call;
}

std::string random_calls(int calls, Random& random) {
    std::string text;
    for (int i = 0; i < calls; ++i) append_word(text, random_call(random));
    return text;
}

std::string plain_text(int sentences, Random& random) {
    std::string text;
    for (int i = 0; i < sentences; ++i) {
        append_word(text, sentence(random));
        if (text.back() == '?') continue;
        text += random.below(2) == 0 ? "." : " [BT]";
    }
    return text;
}

std::string weather_groups(int groups, Random& random) {
    std::string text = "WX " + pick(kPlaces, random);
    append_word(text, random_groups(groups, GroupKind::figures, random));
    return text;
}

std::string call_up(const std::string& called, const std::string& own) {
    return called + " " + called + " DE " + own + " " + own + " K";
}

}  // namespace skedlark::synth
