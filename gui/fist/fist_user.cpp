#include "gui/fist/fist_user.h"

#include <chrono>

namespace skedlark::gui {

FistUser::FistUser() : thread_([this](const std::stop_token& stopped) { measure(stopped); }) {}

FistUser::~FistUser() = default;

void FistUser::begin(const HeardInput& input) {
    const std::lock_guard lock(mutex_);
    hears_ = true;
    input_ = input;
}

void FistUser::take(const watch::Block& block, FrameIndex first_frame) {
    const std::lock_guard lock(mutex_);
    if (!measuring_) return;
    if (pieces_.empty()) {
        started_.reset();
        if (input_.start_utc) {
            const auto ms = static_cast<std::int64_t>(1000.0 * seconds_from_frames(first_frame));
            started_ = *input_.start_utc + std::chrono::milliseconds(ms);
        }
    }
    pieces_.push_back({{block.audio.begin(), block.audio.end()}, block.lost});
    frames_ += static_cast<FrameIndex>(block.audio.size());
    if (seconds_from_frames(frames_) >= kLongestAttemptS) finish();
}

void FistUser::end() {
    const std::lock_guard lock(mutex_);
    hears_ = false;
    if (measuring_ && !pieces_.empty()) finish();
}

void FistUser::start(std::optional<double> pitch_hz) {
    const std::lock_guard lock(mutex_);
    pieces_.clear();
    frames_ = 0;
    figures_.reset();
    over_.reset();
    pitch_hz_ = pitch_hz;
    measuring_ = true;
    ++number_;
    wake_.notify_all();
}

void FistUser::stop() {
    const std::lock_guard lock(mutex_);
    if (measuring_) finish();
}

void FistUser::set_pitch(std::optional<double> pitch_hz) {
    const std::lock_guard lock(mutex_);
    pitch_hz_ = pitch_hz;
    ++number_;
}

void FistUser::finish() {
    measuring_ = false;
    ++number_;
    Attempt out;
    out.input = input_.name;
    if (started_) out.started = *started_;
    out.pitch_hz = pitch_hz_;
    out.audio.reserve(static_cast<std::size_t>(frames_));
    for (const Piece& piece : pieces_) {
        const auto from = static_cast<FrameIndex>(out.audio.size());
        out.audio.insert(out.audio.end(), piece.audio.begin(), piece.audio.end());
        if (piece.lost) out.lost.push_back({from, static_cast<FrameIndex>(out.audio.size())});
    }
    out.cut_off = seconds_from_frames(frames_) >= kLongestAttemptS;
    pieces_ = {};
    over_ = std::move(out);
}

FistNews FistUser::news() {
    const std::lock_guard lock(mutex_);
    FistNews out;
    out.measuring = measuring_;
    out.hears = hears_;
    out.heard_s = seconds_from_frames(frames_);
    out.figures = std::move(figures_);
    figures_.reset();
    out.over = std::move(over_);
    over_.reset();
    return out;
}

void FistUser::measure(const std::stop_token& stopped) {
    std::optional<fist::LiveSending> live;
    std::size_t taken = 0;
    int of = 0;
    while (!stopped.stop_requested()) {
        const auto due = std::chrono::steady_clock::now() +
                         std::chrono::milliseconds(static_cast<int>(1000.0 * kFiguresEveryS));
        {
            std::unique_lock lock(mutex_);
            wake_.wait(lock, stopped, [this] { return measuring_; });
        }
        if (stopped.stop_requested()) return;
        (void)measure_once(live, taken, of);
        std::unique_lock lock(mutex_);
        wake_.wait_until(lock, stopped, due, [] { return false; });
    }
}

bool FistUser::measure_once(std::optional<fist::LiveSending>& live, std::size_t& taken, int& of) {
    std::optional<double> pitch_hz;
    std::vector<Piece> fresh;
    {
        const std::lock_guard lock(mutex_);
        if (of != number_) {
            of = number_;
            taken = 0;
            live.reset();
        }
        pitch_hz = pitch_hz_;
        fresh.assign(pieces_.begin() + static_cast<std::ptrdiff_t>(taken), pieces_.end());
        taken = pieces_.size();
    }
    if (!live) {
        auto made = fist::LiveSending::create({.pitch_hz = pitch_hz});
        if (!made) return false;
        live.emplace(std::move(*made));
    }
    for (const Piece& piece : fresh) live->add(piece.audio, piece.lost);
    fist::LiveFigures figures = live->figures();
    const std::lock_guard lock(mutex_);
    if (of != number_) return false;
    figures_ = std::move(figures);
    return true;
}

}  // namespace skedlark::gui
