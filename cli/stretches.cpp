#include "cli/stretches.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>
#include <vector>

#include "cli/sources.h"

namespace skedlark::cli {

namespace {

// Audio before a stretch lets the follower settle.
constexpr double kLeadS = 10.0;

// Seconds, or minutes and hours in front of them, parted by ":".
std::optional<double> parse_clock(std::string_view text) {
    double total_s = 0.0;
    for (int part = 0; part < 3; ++part) {
        const std::size_t colon = text.find(':');
        const std::string_view word = text.substr(0, colon);
        double value = 0.0;
        const auto read = std::from_chars(word.data(), word.data() + word.size(), value);
        if (read.ec != std::errc{} || read.ptr != word.data() + word.size() || !(value >= 0.0) ||
            !std::isfinite(value) || (part > 0 && value >= 60.0)) {
            return std::nullopt;
        }
        total_s = 60.0 * total_s + value;
        if (colon == std::string_view::npos) return total_s;
        text.remove_prefix(colon + 1);
    }
    return std::nullopt;
}

struct Piece {
    FrameIndex from = 0;  // work frames, the lead counted
    FrameIndex lead = 0;
    FrameIndex to = 0;
    std::vector<float> audio{};
};

Piece piece_of(const Stretch& stretch) {
    Piece piece;
    piece.from = frames_from_seconds(std::max(0.0, stretch.from_s - kLeadS));
    piece.lead = frames_from_seconds(stretch.from_s) - piece.from;
    piece.to = frames_from_seconds(stretch.to_s);
    return piece;
}

// Lost audio comes as zeros, which the levels pass over.
void keep(Piece& piece, std::span<const float> block, FrameIndex first) {
    const FrameIndex end = first + static_cast<FrameIndex>(block.size());
    const FrameIndex from = std::max(first, piece.from);
    const FrameIndex to = std::min(end, piece.to);
    if (from >= to) return;
    piece.audio.resize(static_cast<std::size_t>(from - piece.from), 0.0F);
    const auto part =
        block.subspan(static_cast<std::size_t>(from - first), static_cast<std::size_t>(to - from));
    piece.audio.insert(piece.audio.end(), part.begin(), part.end());
}

// Reads the file as far as it is wanted; returns how long it is, as far as it was read.
Result<double> read_pieces(audio::Source& source, Piece& first, Piece& second) {
    std::vector<float> block(8192);
    const FrameIndex last = std::max(first.to, second.to);
    for (FrameIndex at = 0; at < last;) {
        const auto read = source.read(block);
        if (!read) return read.error();
        const auto part = std::span(block).first(static_cast<std::size_t>(read->frames));
        keep(first, part, read->first_frame);
        keep(second, part, read->first_frame);
        at = read->first_frame + read->frames;
        if (read->end) return seconds_from_frames(at);
    }
    return seconds_from_frames(last);
}

}  // namespace

Result<Stretch> parse_stretch(const std::string& option, const std::string& text) {
    const auto refused = [&](const std::string& why) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{}: '{}' {}; allowed: FROM-TO such as 0:10-1:40, {} s to {} s long",
                        option, text.substr(0, 60), why, log::kShortestStretchS, kLongestStretchS)};
    };
    const std::size_t dash = text.find('-');
    if (dash == std::string::npos) return refused("is not a stretch");
    const auto from_s = parse_clock(std::string_view(text).substr(0, dash));
    const auto to_s = parse_clock(std::string_view(text).substr(dash + 1));
    if (!from_s || !to_s || *to_s > 1.0e7) return refused("is not a stretch");
    const double length_s = *to_s - *from_s;
    if (length_s <= 0.0) return refused("ends before it begins");
    if (length_s < log::kShortestStretchS || length_s > kLongestStretchS) {
        return refused(fmt::format("is {:g} s long", length_s));
    }
    return Stretch{*from_s, *to_s};
}

Result<ComparisonResult> compare_stretches(const std::string& file, double pitch_hz,
                                           const Stretch& first, const Stretch& second) {
    InputOptions input;
    input.files = {file};
    auto opened = open_input(input, file, {});
    if (!opened) return opened.error();
    Piece before = piece_of(first);
    Piece after = piece_of(second);
    const auto length_s = read_pieces(*opened->source, before, after);
    if (!length_s) return length_s.error();
    for (const Stretch& stretch : {first, second}) {
        if (stretch.to_s > *length_s + 0.5) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}: is {:.1f} s long, but a stretch runs to {:.1f} s", file,
                                     *length_s, stretch.to_s)};
        }
    }
    const auto levels_before = log::levels_of_audio(before.audio, pitch_hz, before.lead);
    if (!levels_before) {
        return Error{levels_before.error().code, "first: " + levels_before.error().message};
    }
    const auto levels_after = log::levels_of_audio(after.audio, pitch_hz, after.lead);
    if (!levels_after) {
        return Error{levels_after.error().code, "second: " + levels_after.error().message};
    }
    return ComparisonResult{file, pitch_hz, first, second,
                            log::compare(*levels_before, *levels_after)};
}

}  // namespace skedlark::cli
