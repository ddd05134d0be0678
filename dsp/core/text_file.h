// Whole text files: read with a bound on their size, replaced without harm to the old one.
//
// Stage:   core. In: a path. Out: its content, or the file replaced.
// Units:   bytes.
// Shape:   a file is replaced by writing a new one beside it, handing it to the disk, and renaming
//          it: whoever reads sees the old content or the new one. A link keeps pointing where it
//          did; the file's rights stay.
// Errors:  not_found, unreadable, damaged (too long), disk_full, write_failed; the message begins
//          with the path.
// Threads: none.
// Source:  rename(2): an existing file is replaced atomically (POSIX).
// Checked: tests/dsp/core/text_file_test.cpp
#pragma once

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstddef>
#include <cstring>
#include <filesystem>
#include <string>
#include <string_view>

#include "dsp/core/result.h"

namespace skedlark {

namespace text_file_detail {

inline Error failure(const std::string& path, ErrorCode code, int error) {
    return {code, path + ": " + std::strerror(error)};
}
inline ErrorCode write_code(int error) {
    return error == ENOSPC || error == EDQUOT || error == EFBIG ? ErrorCode::disk_full
                                                                : ErrorCode::write_failed;
}

// Closes what it holds when it goes.
struct Descriptor {
    int number;
    explicit Descriptor(int opened) : number(opened) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number >= 0) ::close(number);
    }
};

// 0, or the number of the error.
inline int write_all(int descriptor, std::string_view rest) {
    while (!rest.empty()) {
        const ssize_t written = ::write(descriptor, rest.data(), rest.size());
        if (written >= 0) {
            rest.remove_prefix(static_cast<std::size_t>(written));
        } else if (errno != EINTR) {
            return errno;
        }
    }
    return ::fsync(descriptor) == 0 ? 0 : errno;
}

// What the new file may be read and written by: as the old one, or as the shell would make it.
inline mode_t rights_for(const std::string& path) {
    struct stat old = {};
    if (::stat(path.c_str(), &old) == 0) return old.st_mode & 07777;
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return 0666 & ~mask;
}

}  // namespace text_file_detail

[[nodiscard]] inline Result<std::string> read_text_file(const std::string& path,
                                                        std::size_t max_bytes) {
    namespace detail = text_file_detail;
    const detail::Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (file.number < 0) {
        return detail::failure(path, errno == ENOENT ? ErrorCode::not_found : ErrorCode::unreadable,
                               errno);
    }
    std::string text;
    char block[16384];
    for (;;) {
        const ssize_t got = ::read(file.number, block, sizeof block);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return detail::failure(path, ErrorCode::unreadable, errno);
        if (got == 0) return text;
        text.append(block, static_cast<std::size_t>(got));
        if (text.size() > max_bytes) {
            return Error{ErrorCode::damaged, path + ": longer than the " +
                                                 std::to_string(max_bytes) +
                                                 " bytes such a file may have"};
        }
    }
}

[[nodiscard]] inline Status replace_file(const std::string& path, std::string_view content) {
    namespace detail = text_file_detail;
    std::error_code ignored;
    const std::string target = std::filesystem::is_symlink(path, ignored)
                                   ? std::filesystem::weakly_canonical(path, ignored).string()
                                   : path;
    std::string beside = target + ".new-XXXXXX";
    int error = 0;
    {
        const detail::Descriptor file(::mkostemp(beside.data(), O_CLOEXEC));
        if (file.number < 0) return detail::failure(path, detail::write_code(errno), errno);
        error = ::fchmod(file.number, detail::rights_for(target)) == 0 ? 0 : errno;
        if (error == 0) error = detail::write_all(file.number, content);
    }
    if (error == 0 && ::rename(beside.c_str(), target.c_str()) != 0) error = errno;
    if (error == 0) return Done{};
    ::unlink(beside.c_str());
    return detail::failure(path, detail::write_code(error), error);
}

}  // namespace skedlark
