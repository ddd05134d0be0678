#include "dsp/copy/copier.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using Frames = std::vector<tone::BasebandFrame>;

Copier make(const CopierConfig& config = {}) {
    auto copier = Copier::create(config);
    EXPECT_TRUE(copier.ok());
    return std::move(*copier);
}

std::vector<Event> run(Copier& copier, const Frames& frames, std::size_t block = 1000) {
    std::vector<Event> out;
    for (std::size_t i = 0; i < frames.size(); i += block) {
        copier.process(std::span(frames).subspan(i, std::min(block, frames.size() - i)), out);
    }
    copier.finish(out);
    return out;
}

std::vector<CharEvent> characters(const std::vector<Event>& events, bool final = true) {
    std::vector<CharEvent> out;
    for (const Event& event : events) {
        const auto* c = std::get_if<CharEvent>(&event);
        if (c != nullptr && c->final == final) {
            out.push_back(*c);
        }
    }
    return out;
}

std::string text_of(const std::vector<Event>& events) {
    std::string text;
    for (const CharEvent& c : characters(events)) {
        text += c.text;
    }
    return text;
}

// 1 s of silence on both sides.
test::Keying sent(std::string_view text, double wpm) {
    test::Keying keying;
    keying.up(1.0);
    keying.send(text, wpm);
    keying.up(1.0);
    return keying;
}

void expect_same(const std::vector<Event>& a, const std::vector<Event>& b) {
    const auto x = characters(a), y = characters(b);
    ASSERT_EQ(a.size(), b.size());
    ASSERT_EQ(x.size(), y.size());
    for (std::size_t i = 0; i < x.size(); ++i) {
        EXPECT_EQ(x[i].text, y[i].text);
        EXPECT_EQ(x[i].from_frame, y[i].from_frame);
        EXPECT_EQ(x[i].to_frame, y[i].to_frame);
        EXPECT_EQ(x[i].confidence, y[i].confidence);
        EXPECT_EQ(x[i].others, y[i].others);
    }
}

// Standard keying at 10 dB: the text to the letter; speed by the 50-unit word PARIS; lengths of
// ITU-R M.1677-1 to 2 %, of character gaps to 3 %; SNR as made, to 0.5 dB. Lengths are read in
// whole frames of 5 ms, so a dot is never held closer than to a fifth of a frame, 1 ms.
class Clean : public ::testing::TestWithParam<double> {};
TEST_P(Clean, TextAndTimingAreRight) {
    const double wpm = GetParam();
    std::mt19937_64 random(support::test_seed(71));
    const std::string text = test::random_groups(wpm < 15.0 ? 4 : 8, random);
    Copier copier = make();
    const auto events = run(copier, sent(text, wpm).frames(10.0, random));
    EXPECT_EQ(text_of(events), text);
    const ToneSummary summary = copier.summary();
    const double dot_s = 1.2 / wpm;
    EXPECT_EQ(summary.text, text);
    EXPECT_NEAR(summary.speed_wpm / wpm, 1.0, 0.02);
    EXPECT_NEAR(summary.timing.dot_s, dot_s, std::max(0.02 * dot_s, 0.001));
    EXPECT_NEAR(summary.timing.dash_s / (3.0 * dot_s), 1.0, 0.02);
    EXPECT_NEAR(summary.timing.character_gap_s / (3.0 * dot_s), 1.0, 0.03);
    EXPECT_NEAR(summary.snr_2500hz_db, 10.0, 0.5);
    EXPECT_GT(summary.mean_confidence, 0.95);
    EXPECT_LE(summary.mean_confidence, 1.0);
}
INSTANTIATE_TEST_SUITE_P(Wpm, Clean, ::testing::Values(10.0, 20.0, 45.0));

// Frames are 5 ms; each character's edges within 30 ms of where they were keyed.
TEST(Copier, TimesOfCharactersAreTrue) {
    std::mt19937_64 random(support::test_seed(72));
    const auto keying = sent("QVA7 QXB2 K", 18.0);
    Copier copier = make();
    auto events = run(copier, keying.frames(8.0, random));
    std::size_t next = 0;
    FrameIndex last = 0;
    for (const CharEvent& c : characters(events)) {
        EXPECT_GE(c.from_frame, last);
        EXPECT_GT(c.to_frame, c.from_frame);
        last = c.to_frame;
        EXPECT_GE(c.confidence, 0.0);
        EXPECT_LE(c.confidence, 1.0);
        EXPECT_EQ(c.tone, 1);
        if (c.text == " ") {
            continue;
        }
        ASSERT_LT(next, keying.characters().size());
        const auto& truth = keying.characters()[next++];
        EXPECT_EQ(c.text, truth.text);
        EXPECT_NEAR(seconds_from_frames(c.from_frame), truth.from_s, 0.030) << c.text;
        EXPECT_NEAR(seconds_from_frames(c.to_frame), truth.to_s, 0.030) << c.text;
    }
    EXPECT_EQ(next, keying.characters().size());
    // Finishing twice says nothing new.
    const std::size_t before = events.size();
    copier.finish(events);
    EXPECT_EQ(events.size(), before);
}

TEST(Copier, SameEventsForAnyBlocks) {
    std::mt19937_64 random(support::test_seed(73));
    const auto frames = sent(test::random_groups(4, random), 22.0).frames(-3.0, random);
    CopierConfig config;
    config.provisional = true;
    Copier whole = make(config);
    const auto events = run(whole, frames, frames.size());
    EXPECT_GT(characters(events).size(), 10U);
    for (const std::size_t block : {std::size_t{1}, std::size_t{7}, std::size_t{600}}) {
        Copier copier = make(config);
        expect_same(run(copier, frames, block), events);
    }
}

TEST(Copier, ResetIsAsFresh) {
    std::mt19937_64 random(support::test_seed(74));
    const auto slow = sent(test::random_groups(2, random), 8.0).frames(5.0, random);
    const auto frames = sent(test::random_groups(4, random), 25.0).frames(-2.0, random);
    Copier fresh = make(), used = make();
    run(used, slow);
    used.reset();
    EXPECT_TRUE(used.summary().text.empty());
    EXPECT_EQ(used.summary().speed_wpm, 0.0);
    EXPECT_EQ(used.summary().timing.marks, 0);
    expect_same(run(used, frames), run(fresh, frames));
    EXPECT_EQ(used.summary().text, fresh.summary().text);
    EXPECT_EQ(used.summary().snr_2500hz_db, fresh.summary().snr_2500hz_db);
}

// Nothing keyed, nothing said: silence, a constant, noise for a minute, no frames at all.
TEST(Copier, NothingIsMadeOfNothing) {
    std::mt19937_64 random(support::test_seed(75));
    const Frames silence(4000);
    Frames steady(4000);
    for (auto& frame : steady) {
        frame.z = {2.0F, 1.0F};
    }
    const Frames constant = steady;
    const Frames noise = test::frames_of(std::vector<double>(60 * 200, 0.0), random);
    const Frames carrier =
        test::frames_of(std::vector<double>(20 * 200, test::amplitude_of(0.0)), random);
    for (const Frames* frames : {&silence, &constant, &noise, &carrier}) {
        Copier copier = make();
        EXPECT_EQ(text_of(run(copier, *frames)), "");
        const ToneSummary summary = copier.summary();
        EXPECT_EQ(summary.text, "");
        EXPECT_EQ(summary.speed_wpm, 0.0);
        EXPECT_EQ(summary.mean_confidence, 0.0);
        EXPECT_EQ(summary.timing.marks, 0);
    }
    for (const std::size_t few : {std::size_t{0}, std::size_t{1}, std::size_t{3}}) {
        Copier copier = make();
        EXPECT_TRUE(run(copier, Frames(few)).empty());
    }
}

// Each field with what is refused, its value and what is allowed in the message.

// Half a second without audio hides a character or two, no more. What was in the frames must not
// matter.
TEST(Copier, LostFramesHarmOnlyTheirPlace) {
    std::mt19937_64 random(support::test_seed(76));
    const std::string text = test::random_groups(8, random);
    const auto keying = sent(text, 20.0);
    auto frames = keying.frames(6.0, random);
    const double from_s = keying.characters()[18].from_s;
    const double to_s = from_s + 0.5;
    for (auto i = static_cast<std::size_t>(from_s * 200.0);
         i < static_cast<std::size_t>(to_s * 200.0); ++i) {
        frames[i].lost = true;
        frames[i].z = {std::numeric_limits<float>::quiet_NaN(), 1e9F};
    }
    Copier copier = make();
    const auto events = run(copier, frames);
    std::size_t right = 0;
    for (const auto& truth : keying.characters()) {
        if (truth.to_s > from_s - 0.3 && truth.from_s < to_s + 0.3) {
            ++right;  // next to the gap: not judged
            continue;
        }
        for (const CharEvent& c : characters(events)) {
            right += c.text == truth.text &&
                             std::abs(seconds_from_frames(c.from_frame) - truth.from_s) < 0.030
                         ? 1
                         : 0;
        }
    }
    EXPECT_EQ(right, keying.characters().size());
    EXPECT_TRUE(std::isfinite(copier.summary().snr_2500hz_db));
    EXPECT_NEAR(copier.summary().snr_2500hz_db, 6.0, 1.0);
}

// Provisional characters come before their final ones, by up to the lag; the final text is whole
// and the same as without them.
TEST(Copier, ProvisionalCharactersComeFirst) {
    std::mt19937_64 random(support::test_seed(77));
    const std::string text = test::random_groups(5, random);
    const auto keying = sent(text, 20.0);
    CopierConfig config;
    config.provisional = true;
    Copier copier = make(config);
    const auto events = run(copier, keying.frames(6.0, random), 20);
    EXPECT_EQ(text_of(events), text);
    // Every final character but those of the first seconds was shown before, at its place.
    std::size_t shown_before = 0, judged = 0;
    for (std::size_t i = 0; i < events.size(); ++i) {
        const auto* c = std::get_if<CharEvent>(&events[i]);
        if (c == nullptr || !c->final || c->text == " " ||
            seconds_from_frames(c->from_frame) < 12.0) {
            continue;
        }
        ++judged;
        for (std::size_t k = 0; k < i; ++k) {
            const auto* p = std::get_if<CharEvent>(&events[k]);
            if (p != nullptr && !p->final && p->text == c->text &&
                std::abs(seconds_from_frames(p->from_frame - c->from_frame)) < 0.030) {
                ++shown_before;
                break;
            }
        }
    }
    EXPECT_GT(judged, 5U);
    // The very last ones may become final with the end of input.
    EXPECT_GE(shown_before + 2, judged);
}

// Text comes while it is sent: after the lag of 2 s or 30 dots and a step, not only at the end.
TEST(Copier, FinalTextComesWithinTheLag) {
    std::mt19937_64 random(support::test_seed(78));
    const auto keying = sent(test::random_groups(10, random), 25.0);
    const auto frames = keying.frames(6.0, random);
    Copier copier = make();
    std::vector<Event> events;
    double latest = 0.0;
    for (std::size_t i = 0; i < frames.size(); ++i) {
        const std::size_t before = events.size();
        copier.process(std::span(frames).subspan(i, 1), events);
        const double now_s = static_cast<double>(i) / 200.0;
        for (std::size_t k = before; k < events.size(); ++k) {
            const auto* c = std::get_if<CharEvent>(&events[k]);
            // The first seconds wait for the speed.
            if (c != nullptr && c->text != " " && seconds_from_frames(c->from_frame) > 10.0) {
                latest = std::max(latest, now_s - seconds_from_frames(c->to_frame));
            }
        }
    }
    EXPECT_GT(latest, 0.0) << "nothing came before the end";
    EXPECT_LT(latest, 2.0 + 0.5 + 0.1);
}

// Another station, or the same one in a hurry: 15, then 25 wpm. The last groups must be right.
TEST(Copier, ChangeOfSpeedIsCaughtUpWith) {
    std::mt19937_64 random(support::test_seed(79));
    const std::string slow = test::random_groups(4, random);
    const std::string fast = test::random_groups(12, random);
    test::Keying keying;
    keying.up(1.0);
    keying.send(slow, 15.0);
    keying.send(fast, 25.0);
    keying.up(1.0);
    Copier copier = make();
    const std::string text = text_of(run(copier, keying.frames(8.0, random)));
    EXPECT_EQ(text.substr(0, slow.size() - 5), slow.substr(0, slow.size() - 5));
    const std::string end = fast.substr(fast.size() - 23);  // four groups
    ASSERT_GE(text.size(), end.size());
    EXPECT_EQ(text.substr(text.size() - end.size()), end) << text << " for " << fast;
}

// Told a speed that is far from true, it must not make up sure text.
TEST(Copier, WrongSpeedToldIsNotSure) {
    std::mt19937_64 random(support::test_seed(80));
    const auto keying = sent(test::random_groups(10, random), 40.0);
    CopierConfig config;
    config.speed_wpm = 15.0;
    Copier copier = make(config);
    const auto events = run(copier, keying.frames(3.0, random));
    double sum = 0.0;
    int count = 0;
    for (const CharEvent& c : characters(events)) {
        if (c.text != " ") {
            sum += c.confidence;
            ++count;
        }
    }
    EXPECT_TRUE(count < 5 || sum / count < 0.6) << count << " at " << sum / count;
}

// Told right, it reads as well as when it finds out itself, and the tone's number is kept.
TEST(Copier, ToldSpeedAndNumberAreUsed) {
    std::mt19937_64 random(support::test_seed(81));
    const std::string text = test::random_groups(3, random);
    CopierConfig config;
    config.speed_wpm = 20.0;
    config.tone = 5;
    Copier copier = make(config);
    const auto events = run(copier, sent(text, 22.0).frames(5.0, random));
    EXPECT_EQ(text_of(events), text);
    EXPECT_EQ(copier.summary().tone, 5);
    for (const CharEvent& c : characters(events)) {
        EXPECT_EQ(c.tone, 5);
    }
}

}  // namespace
}  // namespace skedlark::copy
