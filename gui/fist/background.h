// Work that takes longer than a picture: done on a thread of its own, its end told to the window's.
//
// Stage:   gui/fist, no Qt. In: jobs, each a function that gives another one to run when it is done.
// Shape:   one job after the other, in order.
// Time:    what a job gives runs in collect(), on the caller's thread.
// Errors:  none of its own.
// Threads: post(), collect() from one thread; a job must only use what it holds itself. Ending it asks the
//          job that runs to stop and waits for it; jobs not begun are dropped.
// Source:  none
// Checked: tests/desk/fist/background_test.cpp
#pragma once

#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

namespace skedlark::gui {

class Background {
 public:
    using Finish = std::function<void()>;
    using Job = std::function<Finish(const std::atomic<bool>& stop)>;

    Background();
    Background(const Background&) = delete;
    Background& operator=(const Background&) = delete;
    ~Background();

    void post(Job job);
    // Runs what the jobs that are done gave; true where there was any.
    bool collect();
    [[nodiscard]] bool idle() const;

 private:
    void run();

    mutable std::mutex mutex_;
    std::condition_variable wake_;
    std::deque<Job> jobs_;
    std::deque<Finish> done_;
    bool working_ = false;
    std::atomic<bool> stop_{false};
    std::thread thread_;
};

}  // namespace skedlark::gui
