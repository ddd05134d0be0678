// Plain samples from a descriptor, read as they come: raw input, WAV through a pipe, and a WAV file
// that was never finished.
//
// Stage:   audio, inside; made by open_file().
// Units:   integers are scaled so that full scale is 1.0.
// Shape:   as Source; a slow writer that stops in mid-frame never holds the reader.
// Time:    frame 0 is the first sample.
// Errors:  damaged where the stream ends in mid-frame or before the promised length.
// Threads: as Source.
// Source:  none.
// Checked: tests/dsp/audio/pipe_source_test.cpp
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

#include "dsp/audio/descriptor.h"
#include "dsp/audio/file_source.h"
#include "dsp/audio/source.h"

namespace skedlark::audio {

struct PcmFormat {
    double rate_hz = 0.0;
    int channels = 1;
    int bits = 16;  // 8 (unsigned), 16, 24 or 32; floats 32 or 64; little-endian
    bool is_float = false;
    std::optional<std::int64_t> data_bytes{};  // empty: until the stream ends
};

[[nodiscard]] std::unique_ptr<Source> make_pcm_stream(Descriptor descriptor, std::string name,
                                                      const PcmFormat& format,
                                                      const FileOptions& options);

}  // namespace skedlark::audio
