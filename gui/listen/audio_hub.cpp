#include "gui/listen/audio_hub.h"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <span>
#include <utility>

#include "dsp/audio/file_source.h"
#include "dsp/audio/live_source.h"
#include "dsp/audio/work_rate_source.h"
#include "dsp/watch/drive.h"
#include "dsp/watch/recorded_source.h"

namespace skedlark::gui {

namespace {

using Clock = std::chrono::steady_clock;

// A file is never asked to be further behind its pace than this: a window that was asleep for a
// while goes on from there instead of catching up in one rush.
constexpr double kMostBehindS = 0.5;
constexpr double kAskDiskEveryS = 2.0;

std::int64_t now_ns() {
    return std::chrono::duration_cast<std::chrono::nanoseconds>(Clock::now().time_since_epoch())
        .count();
}

UtcTime utc_now() {
    return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

// What was opened; the live source is looked at for whether its device is away.
struct Opened {
    std::unique_ptr<audio::Source> source;
    const audio::LiveSource* live = nullptr;
};

Result<Opened> open_source(const InputChoice& choice) {
    Opened opened;
    if (choice.live) {
        audio::LiveConfig config;
        config.device = choice.device;
        config.channel = std::max(choice.channel, 1);
        config.mix = choice.channel == 0;
        auto live = audio::open_live(config);
        if (!live) return live.error();
        opened.live = live->get();
        opened.source = std::move(*live);
        return opened;
    }
    audio::FileOptions options;
    options.channel = std::max(choice.channel, 1);
    options.mix = choice.channel == 0;
    auto file = audio::open_file(choice.file, options);
    if (!file) return file.error();
    opened.source = std::move(*file);
    return opened;
}

Result<std::unique_ptr<audio::Recorder>> open_recorder(const InputChoice& choice, double rate_hz,
                                                       UtcTime start) {
    std::error_code failed;
    std::filesystem::create_directories(choice.record_folder, failed);
    if (failed) {
        return Error{ErrorCode::write_failed, choice.record_folder + ": " + failed.message()};
    }
    audio::RecorderConfig config;
    config.folder = choice.record_folder;
    config.sample_rate_hz = rate_hz;
    config.start_utc = start;
    return audio::Recorder::create(config);
}

std::optional<std::uint64_t> free_bytes(const std::string& folder) {
    std::error_code failed;
    const auto space = std::filesystem::space(folder, failed);
    if (failed) return std::nullopt;
    return space.available;
}

}  // namespace

AudioHub::AudioHub() = default;

AudioHub::~AudioHub() { stop(); }

void AudioHub::open(const InputChoice& choice) {
    stop();
    {
        const std::lock_guard lock(waiting_);
        stopping_ = false;
        pace_ = choice.pace;
    }
    {
        const std::lock_guard lock(state_mutex_);
        state_ = {};
        state_.phase = HubPhase::opening;
        state_.input.name = choice.live ? choice.device : choice.file;
        state_.input.live = choice.live;
    }
    thread_ = std::thread([this, choice] { run(choice); });
}

void AudioHub::stop() {
    {
        const std::lock_guard lock(waiting_);
        stopping_ = true;
    }
    wake_.notify_all();
    {
        const std::lock_guard lock(state_mutex_);
        if (source_ != nullptr) source_->request_stop();
    }
    if (thread_.joinable()) thread_.join();
}

void AudioHub::set_pace(double pace) {
    {
        const std::lock_guard lock(waiting_);
        pace_ = pace;
        paced_from_ns_ = 0;  // counted anew from where it is
    }
    wake_.notify_all();
}

HubState AudioHub::state() const {
    const std::lock_guard lock(state_mutex_);
    return state_;
}

void AudioHub::join(std::shared_ptr<AudioUser> user) {
    const std::lock_guard lock(members_mutex_);
    members_.push_back({std::move(user), false});
}

void AudioHub::leave(const std::shared_ptr<AudioUser>& user) {
    const std::lock_guard lock(members_mutex_);
    std::erase_if(members_, [&](const Member& member) { return member.user == user; });
}

void AudioHub::run(const InputChoice& choice) {
    auto opened = open_source(choice);
    if (!opened) return fail(opened.error().message);
    const UtcTime start = utc_now();
    HeardInput input;
    input.name = opened->source->name();
    input.live = choice.live;
    if (choice.live) input.start_utc = start;
    if (const auto frames = opened->source->total_frames()) {
        input.seconds = seconds_from_frames(*frames, opened->source->sample_rate_hz());
    }
    std::unique_ptr<audio::Recorder> recorder;
    std::string recording_failure;
    if (choice.live && !choice.record_folder.empty()) {
        auto made = open_recorder(choice, opened->source->sample_rate_hz(), start);
        if (made) {
            recorder = std::move(*made);
            opened->source =
                std::make_unique<watch::RecordedSource>(std::move(opened->source), *recorder);
        } else {
            recording_failure = made.error().message;
        }
    }
    auto work = audio::WorkRateSource::create(std::move(opened->source));
    if (!work) return fail(work.error().message);
    {
        const std::lock_guard lock(state_mutex_);
        state_.phase = HubPhase::listening;
        state_.input = input;
        state_.recording_failure = recording_failure;
        source_ = work->get();
    }
    {
        const std::lock_guard lock(members_mutex_);
        for (Member& member : members_) member.begun = false;
    }
    {
        // Asked to stop while the device was being opened.
        const std::lock_guard lock(waiting_);
        if (stopping_) (*work)->request_stop();
    }
    meter_.reset();
    listen(**work, Listened{opened->live, recorder.get(), choice.record_folder});
    end_users();
    const std::lock_guard lock(state_mutex_);
    source_ = nullptr;
    if (recorder) {
        if (const Status closed = recorder->close(); !closed) {
            state_.recording_failure = closed.error().message;
        }
    }
    state_.phase = state_.failure.empty() ? HubPhase::ended : HubPhase::failed;
}

void AudioHub::listen(audio::Source& source, const Listened& from) {
    std::vector<float> block(static_cast<std::size_t>(frames_from_seconds(watch::kBlockS)));
    double disk_asked_s = -kAskDiskEveryS;
    for (bool ended = false; !ended;) {
        const auto read = source.read(block);
        if (!read) {
            const std::lock_guard lock(state_mutex_);
            state_.failure = read.error().message;
            return;
        }
        const auto audio = std::span(block).first(static_cast<std::size_t>(read->frames));
        const double end_s = seconds_from_frames(read->first_frame + read->frames);
        if (!source.is_live()) wait_for_pace(end_s);
        meter_.add(audio, read->lost);
        hand_on({audio, read->lost, read->lost_reason}, read->first_frame);
        tell(end_s, from, end_s >= disk_asked_s + kAskDiskEveryS);
        if (end_s >= disk_asked_s + kAskDiskEveryS) disk_asked_s = end_s;
        ended = read->end || (!source.is_live() && source.stop_requested());
    }
}

// Sleeps until what ends at done_s of the file is due.
void AudioHub::wait_for_pace(double done_s) {
    std::unique_lock lock(waiting_);
    while (!stopping_ && pace_ > 0.0) {
        const std::int64_t now = now_ns();
        if (paced_from_ns_ == 0 || done_s < paced_from_s_) {
            paced_from_ns_ = now;
            paced_from_s_ = done_s;
        }
        const double due_s =
            (done_s - paced_from_s_) / pace_ - static_cast<double>(now - paced_from_ns_) * 1e-9;
        if (due_s < -kMostBehindS) paced_from_ns_ += static_cast<std::int64_t>(-due_s * 1e9);
        if (due_s <= 0.0) return;
        wake_.wait_for(lock, std::chrono::duration<double>(due_s));
    }
}

void AudioHub::hand_on(const watch::Block& block, FrameIndex first_frame) {
    const HeardInput input = state().input;
    const std::lock_guard lock(members_mutex_);
    for (Member& member : members_) {
        if (!member.begun) member.user->begin(input);
        member.begun = true;
        member.user->take(block, first_frame);
    }
}

void AudioHub::end_users() {
    const std::lock_guard lock(members_mutex_);
    for (Member& member : members_) {
        if (member.begun) member.user->end();
        member.begun = false;
    }
}

void AudioHub::tell(double at_s, const Listened& from, bool ask_disk) {
    std::string recording, recording_failure;
    std::optional<std::uint64_t> space;
    if (from.recorder != nullptr && ask_disk) {
        const auto files = from.recorder->files();
        if (!files.empty()) recording = files.back();
        if (const Status status = from.recorder->status(); !status) {
            recording_failure = status.error().message;
        } else if (from.recorder->dropped_frames() > 0) {
            recording_failure = "the disk is too slow: some audio is missing in the recording";
        }
        space = free_bytes(from.record_folder);
    }
    const std::lock_guard lock(state_mutex_);
    state_.at_s = at_s;
    state_.level = meter_.level();
    state_.away = from.live != nullptr && from.live->is_away();
    if (from.recorder == nullptr || !ask_disk) return;
    state_.recording = recording;
    state_.recording_failure = recording_failure;
    state_.free_bytes = space;
}

void AudioHub::fail(const std::string& why) {
    const std::lock_guard lock(state_mutex_);
    state_.phase = HubPhase::failed;
    state_.failure = why;
}

}  // namespace skedlark::gui
