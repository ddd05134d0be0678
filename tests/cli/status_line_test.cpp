#include "cli/status_line.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <string>

namespace skedlark::cli {
namespace {

// What came through a pipe.
class Pipe {
 public:
    Pipe() { EXPECT_EQ(pipe(ends_.data()), 0); }
    ~Pipe() {
        close(ends_[0]);
        close(ends_[1]);
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    [[nodiscard]] int in() const { return ends_[1]; }
    [[nodiscard]] std::string take() const {
        // A byte of our own at the end, so that reading never waits.
        EXPECT_EQ(write(ends_[1], "!", 1), 1);
        std::array<char, 1000> bytes{};
        const auto count = read(ends_[0], bytes.data(), bytes.size());
        return count > 0 ? std::string(bytes.data(), static_cast<std::size_t>(count) - 1) : "";
    }

 private:
    std::array<int, 2> ends_{};
};

// Source: ECMA-48, carriage return and EL (erase to the end of the line).
TEST(StatusLine, IsRedrawnInPlaceAndClearedOnce) {
    const Pipe pipe;
    Output out(pipe.in());
    StatusLine status(out, true);
    status.clear();
    EXPECT_EQ(pipe.take(), "");
    status.show("one");
    status.show("two");
    EXPECT_EQ(pipe.take(), "\rone\x1b[K\rtwo\x1b[K");
    status.clear();
    status.clear();
    EXPECT_EQ(pipe.take(), "\r\x1b[K");
}

TEST(StatusLine, SaysNothingWhereNothingCanBeRedrawn) {
    const Pipe pipe;
    Output out(pipe.in());
    StatusLine status(out, false);
    status.show("one");
    status.clear();
    EXPECT_EQ(pipe.take(), "");
}

}  // namespace
}  // namespace skedlark::cli
