// Raw 16-bit little-endian mono from a descriptor, as plain command-line tools write it to a pipe.
//
// Stage:   audio, inside; made by open_file(). Units: 32768 is 1.0. Shape: as Source.
// Time:    frame 0 is the first sample. Errors: damaged where half a sample stands at the end.
// Threads: as Source. Source: none. Checked: tests/dsp/audio/pipe_source_test.cpp
#pragma once

#include <memory>
#include <string>

#include "dsp/audio/descriptor.h"
#include "dsp/audio/source.h"

namespace skedlark::audio {

[[nodiscard]] std::unique_ptr<Source> make_raw_source(Descriptor descriptor, std::string name,
                                                      double rate_hz);

}  // namespace skedlark::audio
