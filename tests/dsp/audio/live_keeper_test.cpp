// How the keeper chooses format and moment, against a sound system that writes down what it is
// asked.
#include "dsp/audio/live_keeper.h"

#include <gtest/gtest.h>

#include <chrono>
#include <functional>
#include <mutex>
#include <thread>

namespace skedlark::audio {
namespace {

struct Book {
    std::mutex mutex;
    std::vector<std::string> asked;
    std::function<bool(const CaptureFormat&)> takes = [](const CaptureFormat&) { return true; };
    std::atomic<bool> active{true};
    DeviceInfo device{7, "card", "made up", 2, 44100.0, true};
    void note(const std::string& what) {
        const std::lock_guard lock(mutex);
        asked.push_back(what);
    }
    long count(const std::string& what) {
        const std::lock_guard lock(mutex);
        return std::count(asked.begin(), asked.end(), what);
    }
};

class NotingDriver final : public CaptureDriver {
 public:
    explicit NotingDriver(std::shared_ptr<Book> book) : book_(std::move(book)) {}
    Status init() override {
        book_->note("init");
        return Done{};
    }
    std::vector<DeviceInfo> devices() override { return {book_->device}; }
    Status open(const DeviceInfo&, const CaptureFormat& format, CaptureBuffer&) override {
        book_->note(std::to_string(static_cast<int>(format.rate_hz)) + "x" +
                    std::to_string(format.channels));
        if (book_->takes(format)) return Done{};
        return Error{ErrorCode::unreadable, "refused"};
    }
    bool is_active() override { return book_->active; }
    void close() override { book_->note("close"); }
    void quit() override { book_->note("quit"); }

 private:
    std::shared_ptr<Book> book_;
};

struct Kept {
    Kept(std::shared_ptr<Book> the_book, const LiveConfig& config) : book(std::move(the_book)) {
        state->config = config;
        opened = state->opened.get_future();
        thread = std::thread([keeper = std::make_shared<LiveKeeper>(
                                  state, std::make_unique<NotingDriver>(book))] { keeper->run(); });
    }
    ~Kept() {
        state->stop = true;
        thread.join();
    }
    std::shared_ptr<Book> book;
    std::shared_ptr<KeeperState> state = std::make_shared<KeeperState>();
    std::future<Result<OpenedStream>> opened;
    std::thread thread;
};

TEST(LiveKeeper, TakesTheDevicesOwnRateAndTwoChannels) {
    Kept kept(std::make_shared<Book>(), {});
    const auto stream = kept.opened.get();
    ASSERT_TRUE(stream.ok());
    EXPECT_EQ(stream->format.rate_hz, 44100.0);
    EXPECT_EQ(stream->format.channels, 2);
    EXPECT_EQ(stream->device.index, 7);
}

TEST(LiveKeeper, TriesOtherFormatsWhereOneIsRefused) {
    const auto book = std::make_shared<Book>();
    book->takes = [](const CaptureFormat& format) {
        return format.rate_hz == 16000.0 && format.channels == 1;
    };
    Kept kept(book, {});
    const auto stream = kept.opened.get();
    ASSERT_TRUE(stream.ok());
    EXPECT_EQ(stream->format.rate_hz, 16000.0);
    EXPECT_EQ(stream->format.channels, 1);
}

TEST(LiveKeeper, AnAskedRateIsNotReplaced) {
    const auto book = std::make_shared<Book>();
    book->takes = [](const CaptureFormat& format) { return format.rate_hz != 96000.0; };
    Kept kept(book, {.rate_hz = 96000.0});
    const auto stream = kept.opened.get();
    ASSERT_FALSE(stream.ok());
    EXPECT_EQ(book->count("44100x2"), 0);
    EXPECT_EQ(book->count("96000x2"), 1);
    EXPECT_EQ(book->count("96000x1"), 1);
}

TEST(LiveKeeper, ADeviceSlowToOpenIsNotTakenForSilent) {
    const auto book = std::make_shared<Book>();
    book->takes = [](const CaptureFormat&) {
        std::this_thread::sleep_for(std::chrono::duration<double>(LiveKeeper::kStallS + 0.1));
        return true;
    };
    Kept kept(book, {});
    ASSERT_TRUE(kept.opened.get().ok());
    // Its first block may still take a moment.
    for (int i = 0; i < 60; ++i) {
        ASSERT_FALSE(kept.state->away) << "after " << 5 * i << " ms";
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    EXPECT_EQ(book->count("44100x2"), 1);
}

TEST(LiveKeeper, ReopensTheSameFormatWithANewList) {
    const auto book = std::make_shared<Book>();
    Kept kept(book, {});
    ASSERT_TRUE(kept.opened.get().ok());
    book->active = false;
    for (int i = 0; i < 400 && !kept.state->away; ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    EXPECT_TRUE(kept.state->away);
    book->active = true;
    for (int i = 0; i < 400 && kept.state->away; ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    EXPECT_FALSE(kept.state->away);
    EXPECT_EQ(book->count("44100x2"), 2);
    EXPECT_EQ(book->count("init"), 2);
    EXPECT_GE(book->count("quit"), 1);
}

}  // namespace
}  // namespace skedlark::audio
