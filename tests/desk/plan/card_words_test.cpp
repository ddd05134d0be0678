// The words of the example's cards at each stage of a contact.
#include "gui/plan/card_words.h"

#include <gtest/gtest.h>

#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"
#include "gui/plan/plan_model.h"

namespace skedlark::gui {
namespace {

CardWords words_at(const char* now, std::size_t card = 0, bool with_receiver = true) {
    PlanModel model;
    model.set_plan(*station::read_plan(EXAMPLE_PLAN));
    if (with_receiver) model.set_receiver(*dial::read_receiver(EXAMPLE_RECEIVER), {});
    model.update(*parse_utc(now));
    return words_of(model.cards().at(card));
}

TEST(CardWords, TheTimeToGoCountsEachSecond) {
    EXPECT_EQ(words_at("2026-11-26T17:25:51Z").to_go, "1:04:09");
    EXPECT_EQ(words_at("2026-11-26T17:25:52Z").to_go, "1:04:08");
    EXPECT_EQ(words_at("2026-11-26T18:29:59.500Z").to_go, "0:01");
    EXPECT_EQ(count_down(0.0), "0:00");
    EXPECT_EQ(count_down(86400.0 * 2 + 3 * 3600 + 61), "2 d 3:01:01");
    EXPECT_EQ(count_down(-90.0), "1:30");
}

TEST(CardWords, EachStageSaysWhatTheCountIsOf) {
    // Warm-up from 18:05, give up 18:42, fallbacks 19:00 to 19:15 and 20:00 to 20:20.
    const auto waiting = words_at("2026-11-26T17:00Z");
    EXPECT_EQ(waiting.stage, "waiting");
    EXPECT_EQ(waiting.to_go_of, "to the start");
    EXPECT_EQ(words_at("2026-11-26T18:10Z").stage, "warm up: receiver on now");
    const auto running = words_at("2026-11-26T18:31Z");
    EXPECT_EQ(running.stage, "on now");
    EXPECT_EQ(running.to_go, "11:00");
    EXPECT_EQ(running.to_go_of, "left until giving up");
    const auto given_up = words_at("2026-11-26T18:45Z");
    EXPECT_EQ(given_up.stage, "given up; fallback 1 next");
    EXPECT_EQ(given_up.to_go, "15:00");
    EXPECT_EQ(given_up.receive, "5195.0 kHz") << "what is set next";
    const auto fallback = words_at("2026-11-26T19:05Z");
    EXPECT_EQ(fallback.stage, "on fallback 1 now");
    EXPECT_EQ(fallback.to_go, "10:00");
    EXPECT_EQ(words_at("2026-11-26T19:30Z").stage, "given up; fallback 2 next");
}

TEST(CardWords, WithWhomWhenAndWhere) {
    const auto words = words_at("2026-11-26T17:00Z");
    EXPECT_EQ(words.with, "QXB2  Valley base");
    EXPECT_EQ(words.when, "Thu 26 Nov 18:30 to 18:50 UTC, 19:30 CET");
    EXPECT_EQ(words.switch_on, "18:05 UTC, in 1:05:00");
    EXPECT_EQ(words.receive, "3570.0 kHz");
    EXPECT_EQ(words.dial.rfind("band 2, division ", 0), 0U) << words.dial;
    EXPECT_NE(words.dial.find("95 %: "), std::string::npos);
    EXPECT_NE(words.listen.find("sweep "), std::string::npos);
    EXPECT_EQ(words.answer, "crystal K1: 3562.5 kHz, switch 1");
    EXPECT_EQ(words.give_up, "18:42 UTC, when nothing was heard");
    EXPECT_EQ(words.fallback.rfind("19:00 to 19:15 UTC on 5195.0 kHz, band 2", 0), 0U)
        << words.fallback;
    EXPECT_NE(words.kit.find("crystal K1"), std::string::npos);
    EXPECT_NE(words.kit.find("lamp"), std::string::npos);
}

TEST(CardWords, AnAnswerOnTwiceTheCrystalSaysSo) {
    EXPECT_EQ(words_at("2026-11-26T18:45Z").answer,
              "crystal K2: 5188.0 kHz (2 times 2594.0), switch 2");
}

TEST(CardWords, TheBatterysState) {
    const auto words = words_at("2026-11-26T17:00Z");
    // 85 % at noon; 25 min of warm-up at 1/20 an hour: 2.1 %; 20 min, 6 of them sending at 3.4/38.
    EXPECT_EQ(words.battery.rfind("shelf: 83 % at the start, 81 % after", 0), 0U) << words.battery;
    EXPECT_EQ(words.battery_left.rfind("flat after 16.", 0), 0U) << words.battery_left;
}

TEST(CardWords, WithoutAReceiverItSaysWhy) {
    EXPECT_EQ(words_at("2026-11-26T17:00Z", 0, false).dial, "not known: no receiver file is open");
}

TEST(CardWords, ALineOfTheList) {
    PlanModel model;
    model.set_plan(*station::read_plan(EXAMPLE_PLAN));
    model.update(*parse_utc("2026-11-26T17:00Z"));
    EXPECT_EQ(line_of(model.cards()[1]), "Fri 27 Nov 07:15  QZM4\n4128.0 kHz, saddle");
}

}  // namespace
}  // namespace skedlark::gui
