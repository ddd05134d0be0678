#include "gui/copy/journal.h"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>

namespace skedlark::gui {

Journal::Journal(std::string folder, UtcTime started) : folder_(std::move(folder)) {
    // 20261126T063000Z: the basic form of ISO 8601, without signs that files may not have.
    for (const char c : utc_text(started)) {
        if (c != '-' && c != ':') stamp_ += c;
    }
    stamp_ = stamp_.substr(0, stamp_.find('.')) + "Z";
}

bool Journal::open() {
    if (folder_.empty() || !failure_.empty()) return false;
    if (lines_) return true;
    std::error_code failed;
    std::filesystem::create_directories(folder_, failed);
    for (int number = 1; number < 100; ++number) {
        path_ = folder_ + "/copy-journal-" + stamp_;
        if (number > 1) path_ += "-" + std::to_string(number);
        // "x": a file of another desk that was started in the same second stays whole.
        lines_.reset(std::fopen((path_ + ".jsonl").c_str(), "wxe"));
        if (lines_ || errno != EEXIST) break;
    }
    if (lines_) text_.reset(std::fopen((path_ + ".txt").c_str(), "wxe"));
    if (lines_ && text_) return true;
    failure_ = path_ + ".jsonl: cannot be written: " + std::strerror(errno);
    return false;
}

void Journal::write(File& file, std::string_view content) {
    if (std::fwrite(content.data(), 1, content.size(), file.get()) == content.size() &&
        std::fflush(file.get()) == 0) {
        return;
    }
    failure_ = path_ + ": cannot be written: " + std::strerror(errno);
}

void Journal::add_line(std::string_view json_line) {
    if (open()) write(lines_, json_line);
}

void Journal::add_text(std::string_view text) {
    if (open()) write(text_, text);
}

}  // namespace skedlark::gui
