#include "dsp/audio/capture_buffer.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <new>
#include <thread>

#include "tests/dsp/audio/support.h"

namespace {
thread_local long allocations = 0;
}

// Counts every allocation through new in this program; the callback must make none.
void* operator new(std::size_t size) {
    ++allocations;
    void* found = std::malloc(size);
    if (found == nullptr) throw std::bad_alloc();
    return found;
}
void operator delete(void* pointer) noexcept { std::free(pointer); }
void operator delete(void* pointer, std::size_t) noexcept { std::free(pointer); }

namespace skedlark::audio {
namespace {

TEST(CaptureBuffer, GivesBackBlocksWithTheirMarks) {
    CaptureBuffer buffer(1, 10000);
    const std::vector<float> stereo{0.0F, 0.1F, 0.0F, 0.2F, 0.0F, 0.3F};
    buffer.put_at(17, stereo.data(), 3, 2, false);
    buffer.pause();
    buffer.put_at(99, stereo.data(), 3, 2, false);
    buffer.resume();
    buffer.put_at(18, stereo.data(), 2, 2, true);
    EXPECT_EQ(buffer.last_put_ns(), 18);
    auto mark = buffer.next_block();
    ASSERT_TRUE(mark);
    EXPECT_EQ(mark->time_ns, 17);
    EXPECT_EQ(mark->frames, 3);
    EXPECT_FALSE(mark->overflow || mark->restarted);
    std::vector<float> out(3);
    EXPECT_EQ(buffer.take(out), 3);
    EXPECT_EQ(out, (std::vector<float>{0.1F, 0.2F, 0.3F}));
    mark = buffer.next_block();
    ASSERT_TRUE(mark);
    EXPECT_TRUE(mark->overflow && mark->restarted);
    EXPECT_EQ(buffer.take(std::span(out).first(2)), 2);
    EXPECT_FALSE(buffer.next_block());
}

TEST(CaptureBuffer, TakesTheMean) {
    CaptureBuffer buffer(-1, 100);
    const std::vector<float> stereo{0.5F, 0.25F};
    buffer.put(stereo.data(), 1, 2, false);
    ASSERT_TRUE(buffer.next_block());
    float out = 0.0F;
    EXPECT_EQ(buffer.take({&out, 1}), 1);
    EXPECT_EQ(out, 0.375F);
}

TEST(CaptureBuffer, DropsWholeBlocksAndCountsThem) {
    CaptureBuffer buffer(0, 250);
    const std::vector<float> block(100, 0.5F);
    for (int i = 0; i < 5; ++i) buffer.put(block.data(), 100, 1, i == 3);
    std::vector<float> out(100);
    for (int i = 0; i < 2; ++i) {
        const auto mark = buffer.next_block();
        ASSERT_TRUE(mark);
        EXPECT_EQ(mark->dropped_before, 0);
        EXPECT_EQ(buffer.take(out), 100);
    }
    EXPECT_FALSE(buffer.next_block());
    buffer.put(nullptr, 50, 1, false);  // no data at all: lost as well
    buffer.put(block.data(), 100, 1, false);
    const auto mark = buffer.next_block();
    ASSERT_TRUE(mark);
    EXPECT_EQ(mark->dropped_before, 350);
    EXPECT_TRUE(mark->overflow);  // of the third dropped block
}

TEST(CaptureBuffer, CallbackDoesNotAllocate) {
    CaptureBuffer buffer(-1, 48000);
    const std::vector<float> block(8 * 5000, 0.5F);
    const long before = allocations;
    for (int i = 0; i < 100; ++i) buffer.put(block.data(), 5000, 8, false);
    EXPECT_EQ(allocations, before);
    const auto proof = std::make_unique<float>(0.0F);
    EXPECT_GT(allocations, before);  // the counter counts
}

// Two threads at full speed: nothing is lost, doubled or out of order.
TEST(CaptureBuffer, OneWriterOneReader) {
    CaptureBuffer buffer(0, 4096);
    constexpr int kTotal = 2000000;
    std::thread writer([&] {
        std::mt19937_64 random(test::seed());
        std::vector<float> block(700);
        for (int at = 0; at < kTotal;) {
            const int size = std::min(kTotal - at, 1 + static_cast<int>(random() % 700));
            for (int i = 0; i < size; ++i) {
                block[static_cast<std::size_t>(i)] = static_cast<float>(at + i);
            }
            buffer.put(block.data(), size, 1, false);
            at += size;
            std::this_thread::yield();
        }
        // The last dropped blocks are told by a mark of no frames.
        buffer.put(block.data(), 0, 1, true);
    });
    std::vector<float> out(700);
    int at = 0;
    bool done = false;
    while (!done && at < kTotal) {
        const auto mark = buffer.next_block();
        if (!mark) {
            std::this_thread::yield();
            continue;
        }
        at += static_cast<int>(mark->dropped_before);
        const auto block = std::span(out).first(static_cast<std::size_t>(mark->frames));
        ASSERT_EQ(buffer.take(block), mark->frames);
        for (const float x : block) ASSERT_EQ(x, static_cast<float>(at++));
        done = mark->overflow;
    }
    writer.join();
    EXPECT_EQ(at, kTotal);
}

}  // namespace
}  // namespace skedlark::audio
