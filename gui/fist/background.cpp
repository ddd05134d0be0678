#include "gui/fist/background.h"

namespace skedlark::gui {

Background::Background() : thread_([this] { run(); }) {}

Background::~Background() {
    {
        const std::lock_guard lock(mutex_);
        stop_.store(true);
    }
    wake_.notify_all();
    thread_.join();
}

void Background::post(Job job) {
    {
        const std::lock_guard lock(mutex_);
        jobs_.push_back(std::move(job));
    }
    wake_.notify_all();
}

bool Background::collect() {
    std::deque<Finish> done;
    {
        const std::lock_guard lock(mutex_);
        done.swap(done_);
    }
    for (const Finish& finish : done) {
        if (finish) finish();
    }
    return !done.empty();
}

bool Background::idle() const {
    const std::lock_guard lock(mutex_);
    return jobs_.empty() && done_.empty() && !working_;
}

void Background::run() {
    for (;;) {
        Job job;
        {
            std::unique_lock lock(mutex_);
            working_ = false;
            wake_.wait(lock, [this] { return stop_.load() || !jobs_.empty(); });
            if (stop_.load()) return;
            job = std::move(jobs_.front());
            jobs_.pop_front();
            working_ = true;
        }
        Finish finish = job(stop_);
        const std::lock_guard lock(mutex_);
        done_.push_back(std::move(finish));
    }
}

}  // namespace skedlark::gui
