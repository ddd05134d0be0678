// A Source over libsndfile, for files.
//
// Stage:   audio, inside; made by open_file(). The contract is that of file_source.h.
// Units:   as file_source.h.
// Shape:   as Source.
// Time:    as Source.
// Errors:  as file_source.h.
// Threads: as Source.
// Source:  libsndfile.
// Checked: tests/dsp/audio/file_source_test.cpp, bad_input_test.cpp
#pragma once

#include <memory>
#include <string>

#include "dsp/audio/descriptor.h"
#include "dsp/audio/file_source.h"

namespace skedlark::audio {

// Rate and channel against what is allowed and asked for.
[[nodiscard]] Status check_format(const std::string& name, double rate_hz, int channels,
                                  const FileOptions& options);

[[nodiscard]] Result<std::unique_ptr<Source>> open_sound_file(Descriptor descriptor,
                                                              const std::string& name,
                                                              const FileOptions& options);

}  // namespace skedlark::audio
