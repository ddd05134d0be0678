// Reads the header of a WAV stream from a descriptor that cannot seek.
//
// Stage:   audio, inside. Out: the format, the descriptor standing at the first sample.
// Units:   as PcmFormat.
// Shape:   one call a stream.
// Time:    none.
// Errors:  damaged (not WAV), unsupported (compressed kinds: give them as a file); both name the
//          input. A data size of 0 or from 0x7FFFF000 up is the mark of a program that streams: not
//          a length.
// Threads: blocks until the header is there.
// Source:  RIFF as in EBU Tech 3306.
// Checked: tests/dsp/audio/pipe_source_test.cpp
#pragma once

#include <string>

#include "dsp/audio/descriptor.h"
#include "dsp/audio/pcm_stream.h"
#include "dsp/core/result.h"

namespace skedlark::audio {

[[nodiscard]] Result<PcmFormat> read_wav_header(const Descriptor& descriptor,
                                                const std::string& name);

}  // namespace skedlark::audio
