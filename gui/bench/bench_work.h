// Measures on a thread of its own, so that neither the sound nor the window waits.
//
// Stage:   gui/bench, no Qt. In: an order. Out: its result, once.
// Shape:   one at a time; start() waits for the one before.
// Errors:  those of measure().
// Threads: all calls from the window's.
// Checked: tests/desk/bench/bench_jobs_test.cpp
#pragma once

#include <atomic>
#include <optional>
#include <thread>

#include "gui/bench/bench_jobs.h"

namespace skedlark::gui {

class BenchWork {
 public:
    BenchWork() = default;
    BenchWork(const BenchWork&) = delete;
    BenchWork& operator=(const BenchWork&) = delete;
    ~BenchWork() { wait(); }

    void start(BenchOrder order);
    [[nodiscard]] bool working() const { return thread_.joinable() && !done_; }
    [[nodiscard]] std::optional<Result<BenchDone>> result();

 private:
    void wait();

    std::thread thread_;
    std::atomic<bool> done_{false};
    std::optional<Result<BenchDone>> result_{};
};

}  // namespace skedlark::gui
