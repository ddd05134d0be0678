// What was copied, written down as it comes, so that a killed desk leaves it.
//
// Stage:   gui/copy, no Qt. In: JSON lines, characters. Out: copy-journal-TIME.jsonl and .txt in a folder.
// Shape:   files are made with the first line; what stands there is never overwritten.
// Time:    handed to the system with every call; a power cut may take the last seconds.
// Errors:  the first failure is kept in failure(); nothing more is written then, copying goes on.
// Threads: one.
// Source:  none
// Checked: tests/desk/copy/journal_test.cpp
#pragma once

#include <cstdio>
#include <memory>
#include <string>
#include <string_view>

#include "dsp/core/utc.h"

namespace skedlark::gui {

class Journal {
 public:
    // Nothing is made yet. An empty folder: no journal.
    Journal() = default;
    Journal(std::string folder, UtcTime started);

    void add_line(std::string_view json_line);
    void add_text(std::string_view text);
    [[nodiscard]] const std::string& failure() const { return failure_; }
    // Without its ending; "" as long as nothing was written.
    [[nodiscard]] const std::string& path() const { return path_; }

 private:
    struct Close {
        void operator()(std::FILE* file) const { std::fclose(file); }
    };
    using File = std::unique_ptr<std::FILE, Close>;
    bool open();
    void write(File& file, std::string_view content);

    std::string folder_;
    std::string stamp_;
    std::string path_;
    std::string failure_;
    File lines_;
    File text_;
};

}  // namespace skedlark::gui
