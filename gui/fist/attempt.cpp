#include "gui/fist/attempt.h"

#include <algorithm>
#include <cmath>

#include "dsp/audio/file_source.h"
#include "dsp/audio/work_rate_source.h"

namespace skedlark::gui {

namespace {

struct Heard {
    std::vector<float> audio;
    std::vector<fist::LostStretch> lost;
    bool cut_off = false;
};

Result<Heard> read_channel(const std::string& path, int channel, const std::atomic<bool>& stop) {
    audio::FileOptions options;
    options.channel = std::max(channel, 1);
    options.mix = channel == 0;
    auto file = audio::open_file(path, options);
    if (!file) return file.error();
    auto source = audio::WorkRateSource::create(std::move(*file));
    if (!source) return source.error();
    Heard out;
    std::vector<float> block(static_cast<std::size_t>(kWorkRateHz));
    const auto most = static_cast<std::size_t>(kLongestAttemptS * kWorkRateHz);
    while (!stop.load()) {
        const auto read = (*source)->read(block);
        if (!read) return read.error();
        const auto from = static_cast<FrameIndex>(out.audio.size());
        out.audio.insert(out.audio.end(), block.begin(), block.begin() + read->frames);
        if (read->lost && read->frames > 0) out.lost.push_back({from, from + read->frames});
        if (read->end) break;
        if (out.audio.size() >= most) {
            out.cut_off = true;
            break;
        }
    }
    return out;
}

}  // namespace

std::vector<float> Attempt::stretch(double from_s, double to_s) const {
    const auto size = static_cast<double>(audio.size());
    const double from = std::clamp(from_s * kWorkRateHz, 0.0, size);
    const double to = std::clamp(to_s * kWorkRateHz, from, size);
    return {audio.begin() + static_cast<std::ptrdiff_t>(from),
            audio.begin() + static_cast<std::ptrdiff_t>(to)};
}

void grade_attempt(Attempt& attempt) {
    attempt.grade.reset();
    attempt.failure.clear();
    attempt.key.reset();
    attempt.key_failure.clear();
    fist::GradeOptions options;
    options.pitch_hz = attempt.pitch_hz;
    options.text = attempt.text;
    options.lost = attempt.lost;
    auto grade = fist::grade(attempt.audio, options);
    if (!grade) {
        attempt.failure = grade.error().message;
        return;
    }
    attempt.grade = std::move(*grade);
    if (attempt.key_audio.empty()) return;
    const auto marks = fist::key_marks(attempt.key_audio);
    if (!marks) {
        attempt.key_failure = marks.error().message;
        return;
    }
    attempt.key = fist::compare_key(*marks, attempt.grade->keying);
}

Attempt attempt_of_key(const std::vector<fist::KeyMark>& marks, double edge_sd_s,
                       const MeantText& text, UtcTime started) {
    Attempt out;
    out.input = "key";
    out.of_key = true;
    out.started = started;
    out.text = text;
    fist::GradeOptions options;
    options.text = text;
    auto grade = fist::grade_key(fist::keying_of(marks, edge_sd_s), options);
    if (grade) {
        out.grade = std::move(*grade);
    } else {
        out.failure = grade.error().message;
    }
    return out;
}

Result<Attempt> read_attempt(const FileToGrade& file, const std::atomic<bool>& stop) {
    if (file.key_channel > 0 && file.key_channel == file.channel) {
        return Error{ErrorCode::invalid_value,
                     "key channel: " + std::to_string(file.key_channel) +
                         " is the channel that is listened to; choose another one"};
    }
    auto heard = read_channel(file.path, file.channel, stop);
    if (!heard) return heard.error();
    Attempt out;
    out.input = file.path;
    out.audio = std::move(heard->audio);
    out.lost = std::move(heard->lost);
    out.cut_off = heard->cut_off;
    if (file.key_channel == 0) return out;
    auto key = read_channel(file.path, file.key_channel, stop);
    if (!key) return Error{key.error().code, "key channel: " + key.error().message};
    out.key_audio = std::move(key->audio);
    return out;
}

}  // namespace skedlark::gui
