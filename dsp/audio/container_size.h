// How much sound a file's header promises and how much of it is there, to notice a file cut short.
//
// Stage:   audio, inside. libsndfile quietly takes what is there of a plain container; the operator
//          must know that the recording went on.
// Units:   bytes of the sound data.
// Shape:   one call a file.
// Time:    none.
// Errors:  empty where the container is none of WAV (RIFF, RIFX, RF64), AIFF and AU, or where the
//          size only says that a program wrote to a pipe (0, or 0x7FFFF000 and up).
// Threads: none; uses pread, so the position of the descriptor does not move.
// Source:  RIFF and RF64 as in EBU Tech 3306; AIFF and AU as their public descriptions
// Checked: tests/dsp/audio/bad_input_test.cpp
#pragma once

#include <cstdint>
#include <optional>

namespace skedlark::audio {

struct ContainerSize {
    std::int64_t promised_bytes = 0;
    std::int64_t present_bytes = 0;
};

[[nodiscard]] std::optional<ContainerSize> container_size(int descriptor);

// A WAV file whose data size was never filled in (0) though sound follows.
[[nodiscard]] bool is_unfinished_wav(int descriptor);

}  // namespace skedlark::audio
