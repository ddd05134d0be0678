#include "cli/terminal.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/ioctl.h>
#include <unistd.h>

namespace skedlark::cli {
namespace {

TEST(Terminal, APipeIsNone) {
    int ends[2];
    ASSERT_EQ(::pipe(ends), 0);
    const Terminal terminal = terminal_at(ends[1]);
    EXPECT_FALSE(terminal.is_terminal);
    EXPECT_FALSE(terminal.can_redraw);
    EXPECT_EQ(terminal.width, kPlainWidth);
    ::close(ends[0]);
    ::close(ends[1]);
}

TEST(Terminal, TellsItsWidthAndWhetherItCanRedraw) {
    const int master = ::posix_openpt(O_RDWR | O_NOCTTY);
    ASSERT_GE(master, 0);
    ASSERT_EQ(::grantpt(master), 0);
    ASSERT_EQ(::unlockpt(master), 0);
    const int slave = ::open(::ptsname(master), O_RDWR | O_NOCTTY);
    ASSERT_GE(slave, 0);
    const winsize size{.ws_row = 24, .ws_col = 57, .ws_xpixel = 0, .ws_ypixel = 0};
    ASSERT_EQ(::ioctl(slave, TIOCSWINSZ, &size), 0);
    ::setenv("TERM", "vt100", 1);
    EXPECT_TRUE(terminal_at(slave).can_redraw);
    EXPECT_EQ(terminal_at(slave).width, 57);
    ::setenv("TERM", "dumb", 1);
    EXPECT_TRUE(terminal_at(slave).is_terminal);
    EXPECT_FALSE(terminal_at(slave).can_redraw);
    ::close(slave);
    ::close(master);
}

}  // namespace
}  // namespace skedlark::cli
