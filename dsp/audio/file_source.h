// Reads sound files, standard input and other pipes, one channel or the mix of all.
//
// Stage:   audio. In: any format libsndfile reads by its content, or raw 16-bit little-endian mono.
//          Out: Source blocks.
// Units:   integer formats are scaled so that full scale is 1.0; mix is the mean of the channels.
// Shape:   never more than a block in memory, whatever the header claims.
// Time:    frame 0 is the first of the file. A damaged stretch in mid-file counts as lost frames.
// Errors:  not_found, unreadable (rights, a directory), damaged (empty, not a sound file, cut
//          short: what is there is read first, then told), unsupported (rate outside 8000 to 192000
//          Hz), invalid_value (channel). Each names the file.
// Threads: as Source.
// Source:  libsndfile
// Checked: tests/dsp/audio/file_source_test.cpp, pipe_source_test.cpp, bad_input_test.cpp
#pragma once

#include <memory>
#include <string>

#include "dsp/audio/source.h"

namespace skedlark::audio {

struct FileOptions {
    int channel = 1;           // counted from 1; ignored where mix is set
    bool mix = false;          // the mean of all channels
    double raw_rate_hz = 0.0;  // above 0: the input is raw 16-bit little-endian mono of this rate
};

// path "-" is standard input.
[[nodiscard]] Result<std::unique_ptr<Source>> open_file(const std::string& path,
                                                        const FileOptions& options);

// Reads an open descriptor and closes it in the end; shown_name stands in messages.
[[nodiscard]] Result<std::unique_ptr<Source>> open_descriptor(int descriptor,
                                                              const std::string& shown_name,
                                                              const FileOptions& options);

}  // namespace skedlark::audio
