// A receiver in a TOML file, as docs/file-formats.md describes it.
//
// Stage:   dial. In: text or path. Out: a checked Receiver; and back.
// Units:   as in receiver.h.
// Shape:   at most 1 MB.
// Time:    none.
// Errors:  begin with the file's name and the line: not_found, unreadable, damaged (no TOML),
//          invalid_value (a field that is missing, unknown, of another kind or out of range; another
//          version).
// Threads: none.
// Source:  TOML 1.0, by toml++.
// Checked: tests/dsp/dial/receiver_file_test.cpp
#pragma once

#include <string>
#include <string_view>

#include "dsp/dial/receiver.h"

namespace skedlark::dial {

// `name` stands in errors.
[[nodiscard]] Result<Receiver> parse_receiver(std::string_view toml, const std::string& name);
[[nodiscard]] Result<Receiver> read_receiver(const std::string& path);

// The file parse_receiver() reads back as the same receiver.
[[nodiscard]] std::string receiver_toml(const Receiver& receiver);

}  // namespace skedlark::dial
