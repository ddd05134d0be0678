// An open file descriptor and how long to wait for it.
//
// Stage:   audio, inside.
// Units:   milliseconds only towards poll().
// Shape:   none.
// Time:    none.
// Errors:  as values.
// Threads: one thread per instance.
// Source:  none.
// Checked: tests/dsp/audio/pipe_source_test.cpp
#pragma once

#include <cstdint>
#include <utility>

namespace skedlark::audio {

class Descriptor {
 public:
    Descriptor() = default;
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(Descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
    Descriptor& operator=(Descriptor&& other) noexcept {
        std::swap(number_, other.number_);
        return *this;
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor();

    [[nodiscard]] int number() const { return number_; }
    [[nodiscard]] bool is_regular_file() const;

    // Bytes that can be read without waiting, after at most wait_ms for at least `wanted` of them.
    // The writer gone counts as "all there": then `finished` is set and reading meets the end.
    struct Ready {
        std::int64_t bytes = 0;
        bool finished = false;
    };
    [[nodiscard]] Ready wait_for(std::int64_t wanted, int wait_ms) const;

 private:
    int number_ = -1;
};

}  // namespace skedlark::audio
