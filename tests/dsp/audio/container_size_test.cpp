#include "dsp/audio/container_size.h"

#include <fcntl.h>
#include <gtest/gtest.h>

#include "dsp/audio/descriptor.h"
#include "tests/dsp/audio/sound_files.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

// RIFF, fmt and data chunk of 16-bit mono; layout as in EBU Tech 3306.
std::string wav(std::uint32_t data_bytes, const std::string& behind,
                const std::string& before = "") {
    std::string bytes = "RIFF....WAVE" + before + std::string("fmt \x10\0\0\0", 8) +
                        std::string(16, '\0') + "data....";
    test::put_number(bytes, bytes.size() - 4, data_bytes, 4);
    return bytes + behind;
}

Descriptor opened(const test::TempFolder& folder, const std::string& bytes) {
    test::write_bytes(folder.file("a"), bytes);
    return Descriptor(::open(folder.file("a").c_str(), O_RDONLY | O_CLOEXEC));
}

TEST(ContainerSize, PromisedAndPresent) {
    const test::TempFolder folder;
    const std::string odd_chunk = std::string("LIST\x03\0\0\0abc\0", 12);
    for (const std::string& before : {std::string(), odd_chunk}) {
        const auto size = container_size(opened(folder, wav(1000, "0123456789", before)).number());
        ASSERT_TRUE(size);
        EXPECT_EQ(size->promised_bytes, 1000);
        EXPECT_EQ(size->present_bytes, 10);
    }
}

TEST(ContainerSize, PlaceholdersAndOtherFilesSayNothing) {
    const test::TempFolder folder;
    for (const std::uint32_t size : {0U, 0x7FFFF000U, 0xFFFFFFFFU}) {
        EXPECT_FALSE(container_size(opened(folder, wav(size, "0123")).number())) << size;
    }
    for (const char* bytes : {"", "RI", "RIFF", "fLaC and more than twelve bytes"}) {
        EXPECT_FALSE(container_size(opened(folder, bytes).number())) << bytes;
    }
    EXPECT_FALSE(container_size(-1));
}

TEST(ContainerSize, UnfinishedWavIsToldFromAnEmptyOne) {
    const test::TempFolder folder;
    const std::string sound(100, '\x01');
    EXPECT_TRUE(is_unfinished_wav(opened(folder, wav(0, sound)).number()));
    EXPECT_FALSE(is_unfinished_wav(opened(folder, wav(0, "")).number()));
    EXPECT_FALSE(is_unfinished_wav(opened(folder, wav(100, sound)).number()));
    const std::string notes = std::string("LIST\x04\0\0\0abcd", 12);
    EXPECT_FALSE(is_unfinished_wav(opened(folder, wav(0, notes)).number()));
}

}  // namespace
}  // namespace skedlark::audio
