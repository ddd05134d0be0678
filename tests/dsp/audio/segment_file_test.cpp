#include "dsp/audio/segment_file.h"

#include <gtest/gtest.h>

#include <thread>

#include "dsp/audio/file_source.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

TEST(SegmentFile, NeverOpensWhatExists) {
    const test::TempFolder folder;
    test::write_bytes(folder.file("a.wav"), "precious");
    const auto made = SegmentFile::create(folder.file("a.wav"), {.rate_hz = 8000});
    ASSERT_FALSE(made.ok());
    EXPECT_EQ(made.error().code, ErrorCode::write_failed);
    EXPECT_NE(made.error().message.find("a.wav"), std::string::npos);
    EXPECT_EQ(test::read_bytes(folder.file("a.wav")), "precious");
}

// Read by somebody else while it is still being written.
TEST(SegmentFile, IsReadableBeforeItIsFinished) {
    for (const auto format : {RecordingFormat::wav, RecordingFormat::flac}) {
        const test::TempFolder folder;
        auto file = SegmentFile::create(folder.file("a"), {format, 16, 48000});
        ASSERT_TRUE(file.ok()) << file.error().message;
        ASSERT_TRUE((*file)->append(test::noise(30000)).ok());
        std::this_thread::sleep_for(std::chrono::milliseconds(600));
        (*file)->keep_safe(0.5);
        auto source = open_file(folder.file("a"), {});
        ASSERT_TRUE(source.ok()) << source.error().message;
        const auto heard = test::read_all(**source);
        EXPECT_FALSE(heard.error) << heard.error->message;
        EXPECT_GT(heard.audio.size(), 30000U - 4097U);  // all but less than a FLAC frame
        EXPECT_TRUE((*file)->finish().ok());
    }
}

}  // namespace
}  // namespace skedlark::audio
