#include "dsp/audio/descriptor.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <chrono>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

struct Ends {
    Ends() {
        int numbers[2];
        EXPECT_EQ(pipe2(numbers, O_CLOEXEC), 0);
        read = Descriptor(numbers[0]);
        write = Descriptor(numbers[1]);
    }
    Descriptor read;
    Descriptor write;
};

TEST(Descriptor, WaitsNoLongerThanAsked) {
    const Ends ends;
    const auto start = std::chrono::steady_clock::now();
    const auto ready = ends.read.wait_for(1, 100);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    EXPECT_EQ(ready.bytes, 0);
    EXPECT_FALSE(ready.finished);
    EXPECT_GE(took.count(), 0.09);
    EXPECT_LT(took.count(), 0.4);
}

TEST(Descriptor, SaysHowMuchIsThere) {
    const Ends ends;
    ASSERT_EQ(::write(ends.write.number(), "abc", 3), 3);
    EXPECT_EQ(ends.read.wait_for(2, 1000).bytes, 3);
    const auto ready = ends.read.wait_for(4, 50);
    EXPECT_EQ(ready.bytes, 3);
    EXPECT_FALSE(ready.finished);
}

TEST(Descriptor, NoticesTheEnd) {
    Ends ends;
    ASSERT_EQ(::write(ends.write.number(), "abc", 3), 3);
    { const Descriptor closed = std::move(ends.write); }
    const auto ready = ends.read.wait_for(100, 5000);
    EXPECT_EQ(ready.bytes, 3);
    EXPECT_TRUE(ready.finished);
}

TEST(Descriptor, ClosesWhatItOwnsOnce) {
    int number = -1;
    {
        Descriptor first(::open("/dev/null", O_RDONLY | O_CLOEXEC));
        number = first.number();
        const Descriptor second(std::move(first));
        EXPECT_EQ(second.number(), number);
        EXPECT_NE(fcntl(number, F_GETFD), -1);
    }
    EXPECT_EQ(fcntl(number, F_GETFD), -1);
}

TEST(Descriptor, KnowsFilesFromPipes) {
    const test::TempFolder folder;
    test::write_bytes(folder.file("a"), "x");
    EXPECT_TRUE(Descriptor(::open(folder.file("a").c_str(), O_RDONLY)).is_regular_file());
    EXPECT_FALSE(Ends().read.is_regular_file());
}

}  // namespace
}  // namespace skedlark::audio
