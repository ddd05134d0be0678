#include "dsp/spectrum/nth_smallest.h"

#include <algorithm>

namespace skedlark::spectrum {
namespace {

// Each round leaves about half; so many that leave more are taken for a bad order, and sorted.
constexpr int kMostRounds = 40;

// Brings the values for which goes_first holds to the front; returns how many there are.
template <typename GoesFirst>
std::size_t part(float* values, std::size_t count, GoesFirst goes_first) {
    std::size_t front = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const float value = values[i];
        values[i] = values[front];
        values[front] = value;
        front += static_cast<std::size_t>(goes_first(value));
    }
    return front;
}

// Puts the middle one of first, middle and last to the end.
void pivot_to_end(float* values, std::size_t count) {
    float& first = values[0];
    float& middle = values[count / 2];
    float& last = values[count - 1];
    if (middle < first) std::swap(first, middle);
    if (last < middle) {
        if (last < first) std::swap(first, last);
    } else {
        std::swap(middle, last);
    }
}

}  // namespace

float nth_smallest(std::span<float> values, std::size_t n) noexcept {
    float* from = values.data();
    std::size_t count = values.size();
    for (int round = 0; count > 1 && round < kMostRounds; ++round) {
        pivot_to_end(from, count);
        const float pivot = from[count - 1];
        const std::size_t below =
            part(from, count - 1, [pivot](float value) { return value < pivot; });
        std::swap(from[below], from[count - 1]);
        if (n < below) {
            count = below;
            continue;
        }
        if (n == below) return from[below];
        // Equal values would go off one a round.
        const std::size_t done =
            below > 0
                ? below + 1
                : 1 + part(from + 1, count - 1, [pivot](float value) { return value <= pivot; });
        if (n < done) return from[n];
        from += done;
        count -= done;
        n -= done;
    }
    if (count > 1) std::partial_sort(from, from + n + 1, from + count);
    return from[n];
}

}  // namespace skedlark::spectrum
