#include "dsp/audio/container_size.h"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <string_view>

namespace skedlark::audio {
namespace {

// Programs that write to a pipe cannot come back and fill in the size.
constexpr std::uint32_t kPlaceholderFrom = 0x7FFFF000U;
constexpr int kMaxChunks = 1000;

class Reader {
 public:
    Reader(int descriptor, bool big_endian) : descriptor_(descriptor), big_endian_(big_endian) {}

    // False past the end of the file.
    template <std::size_t N>
    [[nodiscard]] bool bytes(std::int64_t at, std::array<unsigned char, N>& out) const {
        return pread(descriptor_, out.data(), N, at) == static_cast<ssize_t>(N);
    }
    [[nodiscard]] std::optional<std::uint32_t> number(std::int64_t at) const {
        std::array<unsigned char, 4> raw{};
        if (!bytes(at, raw)) return std::nullopt;
        std::uint32_t value = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            value |= static_cast<std::uint32_t>(raw[i]) << (8U * (big_endian_ ? 3 - i : i));
        }
        return value;
    }
    [[nodiscard]] bool has_name(std::int64_t at, std::string_view name) const {
        std::array<unsigned char, 4> raw{};
        return bytes(at, raw) && std::memcmp(raw.data(), name.data(), 4) == 0;
    }

 private:
    int descriptor_;
    bool big_endian_;
};

std::optional<ContainerSize> sized(std::int64_t start, std::int64_t promised,
                                   std::int64_t file_bytes) {
    return ContainerSize{promised, std::max<std::int64_t>(0, file_bytes - start)};
}

std::optional<ContainerSize> from_chunks(const Reader& reader, std::string_view data_name,
                                         bool is_rf64, std::int64_t file_bytes) {
    std::int64_t at = 12;
    std::int64_t long_data_bytes = 0;
    for (int i = 0; i < kMaxChunks && at + 8 <= file_bytes; ++i) {
        const auto size = reader.number(at + 4);
        if (!size) return std::nullopt;
        if (is_rf64 && reader.has_name(at, "ds64")) {
            const auto low = reader.number(at + 16);
            const auto high = reader.number(at + 20);
            if (!low || !high) return std::nullopt;
            long_data_bytes = static_cast<std::int64_t>(*high & 0x7FFFFFFFU) << 32U | *low;
        }
        if (reader.has_name(at, data_name)) {
            if (is_rf64 && *size == 0xFFFFFFFFU) return sized(at + 8, long_data_bytes, file_bytes);
            if (*size == 0 || *size >= kPlaceholderFrom) return std::nullopt;
            return sized(at + 8, *size, file_bytes);
        }
        at += 8 + static_cast<std::int64_t>(*size) + (*size & 1U);
    }
    return std::nullopt;
}

}  // namespace

std::optional<ContainerSize> container_size(int descriptor) {
    struct stat info {};
    if (fstat(descriptor, &info) != 0 || !S_ISREG(info.st_mode)) return std::nullopt;
    const std::int64_t file_bytes = info.st_size;
    const Reader little(descriptor, false);
    const Reader big(descriptor, true);
    if (little.has_name(0, "RIFF")) return from_chunks(little, "data", false, file_bytes);
    if (little.has_name(0, "RF64")) return from_chunks(little, "data", true, file_bytes);
    if (little.has_name(0, "RIFX")) return from_chunks(big, "data", false, file_bytes);
    if (little.has_name(0, "FORM")) return from_chunks(big, "SSND", false, file_bytes);
    if (little.has_name(0, ".snd")) {
        const auto start = big.number(4);
        const auto size = big.number(8);
        if (!start || !size || *size == 0 || *size >= kPlaceholderFrom) return std::nullopt;
        return sized(*start, *size, file_bytes);
    }
    return std::nullopt;
}

bool is_unfinished_wav(int descriptor) {
    struct stat info {};
    if (fstat(descriptor, &info) != 0 || !S_ISREG(info.st_mode)) return false;
    const Reader reader(descriptor, false);
    if (!reader.has_name(0, "RIFF") || !reader.has_name(8, "WAVE")) return false;
    std::int64_t at = 12;
    for (int i = 0; i < kMaxChunks && at + 8 < info.st_size; ++i) {
        const auto size = reader.number(at + 4);
        if (!size) return false;
        if (reader.has_name(at, "data")) {
            if (*size != 0) return false;
            // A file of no sound may carry a chunk of notes here: a name, and a size that fits.
            const auto next_size = reader.number(at + 12);
            std::array<unsigned char, 4> name{};
            const bool is_name = reader.bytes(at + 8, name) &&
                                 std::all_of(name.begin(), name.end(),
                                             [](unsigned char c) { return c >= 32 && c < 127; });
            return !(is_name && next_size && at + 16 + *next_size <= info.st_size);
        }
        at += 8 + static_cast<std::int64_t>(*size) + (*size & 1U);
    }
    return false;
}

}  // namespace skedlark::audio
