#include "dsp/audio/wav_header.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <span>
#include <string_view>

namespace skedlark::audio {
namespace {

constexpr std::uint32_t kPlaceholderFrom = 0x7FFFF000U;
// More bytes than this before the samples are not a header.
constexpr std::int64_t kMaxHeaderBytes = 16 << 20;
constexpr unsigned kPcmTag = 1;
constexpr unsigned kFloatTag = 3;
constexpr unsigned kExtensibleTag = 0xFFFE;
constexpr int kMaxChannels = 1024;

bool read_exactly(int descriptor, std::span<unsigned char> out) {
    while (!out.empty()) {
        const ssize_t got = ::read(descriptor, out.data(), out.size());
        if (got < 0 && errno == EINTR) continue;
        if (got <= 0) return false;
        out = out.subspan(static_cast<std::size_t>(got));
    }
    return true;
}

bool skip(int descriptor, std::int64_t bytes) {
    std::array<unsigned char, 4096> ignored{};
    while (bytes > 0) {
        const auto size =
            static_cast<std::size_t>(std::min(bytes, static_cast<std::int64_t>(ignored.size())));
        if (!read_exactly(descriptor, std::span(ignored).first(size))) return false;
        bytes -= static_cast<std::int64_t>(size);
    }
    return true;
}

unsigned number(std::span<const unsigned char> bytes, std::size_t at, std::size_t size) {
    unsigned value = 0;
    for (std::size_t i = 0; i < size; ++i) value |= static_cast<unsigned>(bytes[at + i]) << (8 * i);
    return value;
}

std::string_view name_at(std::span<const unsigned char> bytes, std::size_t at) {
    return {reinterpret_cast<const char*>(bytes.data()) + at, 4};
}

Result<PcmFormat> read_format(const std::string& name, std::span<const unsigned char> chunk) {
    unsigned tag = number(chunk, 0, 2);
    if (tag == kExtensibleTag && chunk.size() >= 26) tag = number(chunk, 24, 2);
    PcmFormat format;
    format.channels = static_cast<int>(number(chunk, 2, 2));
    format.rate_hz = number(chunk, 4, 4);
    format.bits = static_cast<int>(number(chunk, 14, 2));
    format.is_float = tag == kFloatTag;
    const bool pcm = tag == kPcmTag && (format.bits == 8 || format.bits == 16 ||
                                        format.bits == 24 || format.bits == 32);
    const bool floats = tag == kFloatTag && (format.bits == 32 || format.bits == 64);
    if (!pcm && !floats) {
        return Error{
            ErrorCode::unsupported,
            fmt::format("{}: WAV of kind {} with {} bits cannot be read from a pipe (plain "
                        "8 to 32 bit and float can); give it as a file",
                        name, tag, format.bits)};
    }
    if (format.channels < 1 || format.channels > kMaxChannels) {
        return Error{ErrorCode::damaged, fmt::format("{}: {} channels; allowed are 1 to {}", name,
                                                     format.channels, kMaxChannels)};
    }
    return format;
}

Error not_wav(const std::string& name, bool anything) {
    return {ErrorCode::damaged,
            anything
                ? fmt::format("{}: not a sound stream that can be read: a pipe must carry WAV, "
                              "or raw samples with their rate given",
                              name)
                : fmt::format("{}: empty, nothing came", name)};
}

}  // namespace

Result<PcmFormat> read_wav_header(const Descriptor& descriptor, const std::string& name) {
    const int from = descriptor.number();
    std::array<unsigned char, 12> start{};
    if (!read_exactly(from, std::span(start).first(1))) return not_wav(name, false);
    if (!read_exactly(from, std::span(start).subspan(1)) || name_at(start, 0) != "RIFF" ||
        name_at(start, 8) != "WAVE") {
        return not_wav(name, true);
    }
    std::optional<PcmFormat> format;
    std::int64_t passed = 0;
    while (passed < kMaxHeaderBytes) {
        std::array<unsigned char, 8> head{};
        if (!read_exactly(from, head)) break;
        const unsigned size = number(head, 4, 4);
        if (name_at(head, 0) == "data") {
            if (!format) break;
            if (size != 0 && size < kPlaceholderFrom) format->data_bytes = size;
            return *format;
        }
        std::int64_t rest = static_cast<std::int64_t>(size) + (size & 1U);
        passed += 8 + rest;
        if (name_at(head, 0) == "fmt " && size >= 16) {
            std::array<unsigned char, 40> chunk{};
            const std::size_t known = std::min<std::size_t>(size, chunk.size());
            if (!read_exactly(from, std::span(chunk).first(known))) break;
            Result<PcmFormat> read = read_format(name, std::span(chunk).first(known));
            if (!read) return read;
            format = *read;
            rest -= static_cast<std::int64_t>(known);
        }
        if (passed >= kMaxHeaderBytes || !skip(from, rest)) break;
    }
    return Error{ErrorCode::damaged,
                 fmt::format("{}: the WAV header is damaged or cut short", name)};
}

}  // namespace skedlark::audio
