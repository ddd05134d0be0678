#include "cli/key_reader.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <stdlib.h>
#include <unistd.h>

namespace skedlark::cli {
namespace {

void wait_for_it() { ::usleep(20000); }  // a terminal hands a key on in its own time

TEST(KeyReader, KeysOfATerminalComeWithoutALineFeed) {
    const int master = ::posix_openpt(O_RDWR | O_NOCTTY);
    ASSERT_GE(master, 0);
    ASSERT_EQ(::grantpt(master), 0);
    ASSERT_EQ(::unlockpt(master), 0);
    const int terminal = ::open(::ptsname(master), O_RDWR | O_NOCTTY);
    ASSERT_GE(terminal, 0);
    termios before{};
    ASSERT_EQ(::tcgetattr(terminal, &before), 0);
    {
        KeyReader keys(terminal);
        EXPECT_FALSE(keys.poll());
        ASSERT_EQ(::write(master, " \x7f", 2), 2);
        wait_for_it();
        EXPECT_EQ(keys.poll(), ' ');
        EXPECT_EQ(keys.poll(), '\x7f');
        EXPECT_FALSE(keys.poll());
        termios now{};
        ::tcgetattr(terminal, &now);
        EXPECT_EQ(now.c_lflag & static_cast<tcflag_t>(ECHO | ICANON), 0U);
        EXPECT_NE(now.c_lflag & static_cast<tcflag_t>(ISIG), 0U);
    }
    termios after{};
    ::tcgetattr(terminal, &after);
    EXPECT_EQ(after.c_lflag, before.c_lflag);
    ::close(terminal);
    ::close(master);
}

TEST(KeyReader, APipeWorksToItsEnd) {
    int ends[2];
    ASSERT_EQ(::pipe(ends), 0);
    KeyReader keys(ends[0]);
    EXPECT_FALSE(keys.poll());
    ASSERT_EQ(::write(ends[1], "q", 1), 1);
    EXPECT_EQ(keys.poll(), 'q');
    ::close(ends[1]);
    EXPECT_FALSE(keys.poll());
    EXPECT_FALSE(keys.poll());
    ::close(ends[0]);
}

TEST(KeyReader, NothingToReadFromIsNoKey) {
    KeyReader keys(-1);
    EXPECT_FALSE(keys.poll());
}

}  // namespace
}  // namespace skedlark::cli
