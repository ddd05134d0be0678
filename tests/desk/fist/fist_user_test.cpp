#include "gui/fist/fist_user.h"

#include <chrono>
#include <thread>

#include "tests/desk/fist/sendings.h"

namespace skedlark::gui {
namespace {

using Clock = std::chrono::steady_clock;

const std::string kText = "QVA7 DE QXB2 [BT] ALL WELL AT THE HUT SNOW ON THE PASS [AR]";

TEST(FistUser, NothingIsKeptBeforeTheStart) {
    FistUser user;
    user.begin({.name = "set"});
    hand_on(user, std::vector<float>(8000, 0.1F));
    FistNews news = user.news();
    EXPECT_TRUE(news.hears);
    EXPECT_FALSE(news.measuring);
    EXPECT_EQ(news.heard_s, 0.0);
    user.end();
    EXPECT_FALSE(user.news().over);
}

TEST(FistUser, AnAttemptIsWhatCameBetweenStartAndStop) {
    FistUser user;
    HeardInput input{.name = "set", .live = true};
    input.start_utc = *parse_utc("2026-11-29T10:00Z");
    user.begin(input);
    user.start({});
    const auto audio = sending(kText);
    hand_on(user, audio, 80000);  // ten seconds after the input began
    EXPECT_NEAR(user.news().heard_s, static_cast<double>(audio.size()) / 8000.0, 1e-9);
    user.stop();
    const FistNews news = user.news();
    ASSERT_TRUE(news.over);
    EXPECT_EQ(news.over->audio, audio);
    EXPECT_EQ(news.over->input, "set");
    EXPECT_EQ(news.over->started, *parse_utc("2026-11-29T10:00:10Z"));
    EXPECT_FALSE(news.measuring);
    EXPECT_FALSE(user.news().over) << "told once";
}

TEST(FistUser, TheEndOfTheInputEndsIt) {
    FistUser user;
    user.start({});
    user.begin({.name = "a.wav"});
    user.take({std::vector<float>(400, 0.0F), true, "gap"}, 0);
    hand_on(user, std::vector<float>(800, 0.1F), 400);
    user.end();
    const FistNews news = user.news();
    ASSERT_TRUE(news.over);
    ASSERT_EQ(news.over->lost.size(), 1U);
    EXPECT_EQ(news.over->lost[0].to, 400);
    EXPECT_FALSE(news.over->cut_off);
}

// In the time of the sound: figures must come twice a second at least while it is handed on, and
// taking a block must not wait for them (asked: audio is not spoiled; a block is 50 ms).
TEST(FistUser, FiguresComeTwiceASecondAndNoBlockWaits) {
    FistUser user;
    user.begin({.name = "set"});
    user.start({});
    const auto audio = sending(fist::groups(16, 1), "ordinary");
    const std::size_t at_once = 20 * 8000;  // so that it is found
    hand_on(user, {audio.begin(), audio.begin() + at_once});
    for (int i = 0; i < 200 && !user.news().figures; ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    int told = 0;
    double slowest_ms = 0.0;
    const auto begun = Clock::now();
    auto due = begun;
    for (std::size_t from = at_once; from < at_once + 5 * 8000; from += 400) {
        const auto before = Clock::now();
        hand_on(user,
                {audio.begin() + static_cast<std::ptrdiff_t>(from),
                 audio.begin() + static_cast<std::ptrdiff_t>(from + 400)},
                static_cast<FrameIndex>(from));
        slowest_ms = std::max(
            slowest_ms, std::chrono::duration<double, std::milli>(Clock::now() - before).count());
        const FistNews news = user.news();
        if (news.figures) {
            ++told;
            EXPECT_NEAR(news.figures->pitch_hz, 700.0, 2.0);
            EXPECT_TRUE(news.figures->grade);
        }
        due += std::chrono::milliseconds(50);
        std::this_thread::sleep_until(due);
    }
    const double took_s = std::chrono::duration<double>(Clock::now() - begun).count();
    // Five seconds give twelve at 0.4 s; a machine busy with other work may lose some.
    EXPECT_GE(told, static_cast<int>(2.0 * 5.0) - 2) << took_s;
    EXPECT_LT(slowest_ms, 50.0);
    user.stop();
}

TEST(FistUser, AnotherStartForgetsTheFirst) {
    FistUser user;
    user.begin({.name = "set"});
    user.start({});
    hand_on(user, std::vector<float>(8000, 0.1F));
    user.start({});
    EXPECT_EQ(user.news().heard_s, 0.0);
    user.stop();
    const FistNews news = user.news();
    ASSERT_TRUE(news.over);
    EXPECT_TRUE(news.over->audio.empty());
}

}  // namespace
}  // namespace skedlark::gui
