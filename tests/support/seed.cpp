#include "tests/support/seed.h"

#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <cstring>

namespace skedlark::support {

std::uint64_t test_seed(std::uint64_t fallback) {
    std::uint64_t seed = fallback;
    if (const char* text = std::getenv("TEST_SEED"); text != nullptr && *text != '\0') {
        const char* end = text + std::strlen(text);
        const auto [stop, error] = std::from_chars(text, end, seed);
        if (error != std::errc() || stop != end) {
            std::fprintf(stderr, "TEST_SEED is \"%s\"; a whole number from 0 is needed\n", text);
            std::abort();
        }
    }
    std::printf("TEST_SEED=%llu\n", static_cast<unsigned long long>(seed));
    return seed;
}

std::uint64_t seed_for_part(std::uint64_t seed, std::uint64_t part) {
    std::uint64_t z = seed + 0x9E3779B97F4A7C15ULL * (part + 1);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
}

}  // namespace skedlark::support
