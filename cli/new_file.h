// Writes a file whole: first under another name, then renamed, so that no half file is left.
//
// Stage:   cli. In: a path, its content. Out: the file.
// Errors:  disk_full, write_failed; naming the file. What stood there before is kept then.
// Threads: none.
// Checked: tests/cli/log_test.cpp
#pragma once

#include <string>
#include <string_view>

#include "dsp/core/result.h"

namespace skedlark::cli {

[[nodiscard]] Status write_whole_file(const std::string& path, std::string_view content);

}  // namespace skedlark::cli
