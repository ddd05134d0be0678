// A where-is-it map kept in a file between passes: JSON, as docs/file-formats.md describes it.
//
// Stage:   dial. In: text or path, and the dial it must belong to. Out: a checked map; and back.
// Units:   as in place_map.h.
// Shape:   at most 4 MB.
// Time:    none.
// Errors:  begin with the file's name: not_found, unreadable, damaged (no JSON, a field missing or of
//          another kind, another version), invalid_value (out of range, or the map of another
//          receiver, band or frequency). write_map() leaves the old file whole where it fails.
// Threads: none.
// Source:  JSON (RFC 8259), by nlohmann's reader.
// Checked: tests/dsp/dial/map_file_test.cpp
#pragma once

#include <string>
#include <string_view>

#include "dsp/dial/place_map.h"

namespace skedlark::dial {

// `name` stands in errors.
[[nodiscard]] Result<PlaceMap> parse_map(std::string_view json, const std::string& name,
                                         const Dial& dial, double wanted_mhz);
[[nodiscard]] Result<PlaceMap> read_map(const std::string& path, const Dial& dial,
                                        double wanted_mhz);

[[nodiscard]] std::string map_json(const PlaceMap& map);
[[nodiscard]] Status write_map(const std::string& path, const PlaceMap& map);

}  // namespace skedlark::dial
