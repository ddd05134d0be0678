// A stretch read again: with the truth of the recordings.
#include "gui/copy/copy_again.h"

#include <chrono>

#include "tests/desk/copy/heard.h"
#include "tests/support/text_score.h"

namespace skedlark::gui {
namespace {

TEST(CopyAgain, ReadsAStretchAtItsPlace) {
    const auto audio = recording("11-weak-groups.flac");
    const std::vector<float> part(audio.begin() + 80'000, audio.end());
    watch::WatchConfig config;
    config.text = copy::TextKind::groups;
    config.pitch_hz = 700.0;
    CopyAgain again;
    again.start(part, 80'000, config);
    std::optional<ReadAgain> read;
    for (int i = 0; i < 1000 && !read; ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        read = again.result();
    }
    ASSERT_TRUE(read.has_value());
    EXPECT_FALSE(again.result().has_value());
    EXPECT_NEAR(read->pitch_hz, 700.0, 1.0);
    const std::string text = text_as_read(read->characters);
    // The last six groups by the manifest.
    EXPECT_NE(text.find("LPZDR HNAUG YOJSC"), std::string::npos) << text;
    ASSERT_FALSE(read->characters.empty());
    EXPECT_GE(read->characters.front().read.from_frame, 80'000 - 400);
}

TEST(CopyAgain, SaysWhatIsWrongWithItsSettings) {
    watch::WatchConfig config;
    config.pitch_hz = 10.0;
    const std::atomic<bool> stop{false};
    const ReadAgain read = copy_again(std::vector<float>(8000), 0, config, stop);
    EXPECT_NE(read.failure.find("pitch: 10"), std::string::npos);
    EXPECT_TRUE(read.characters.empty());
}

TEST(CopyAgain, CanBeCancelled) {
    CopyAgain again;
    again.start(std::vector<float>(8000 * 600, 0.001F), 0, {});
    again.cancel();
    EXPECT_FALSE(again.working());
}

}  // namespace
}  // namespace skedlark::gui
