#include "cli/stop_signal.h"

#include <atomic>
#include <csignal>

namespace skedlark::cli {

namespace {

std::atomic<audio::Source*> stoppable{nullptr};
std::atomic<bool> seen{false};
static_assert(std::atomic<audio::Source*>::is_always_lock_free);

void on_signal(int) {
    seen.store(true);
    if (audio::Source* source = stoppable.load()) {
        source->request_stop();
    }
}

}  // namespace

StopOnSignal::StopOnSignal(audio::Source& source) {
    stoppable.store(&source);
    struct sigaction action {};
    action.sa_handler = on_signal;
    // SA_RESETHAND: the second signal takes its default course. No SA_RESTART: a read from a pipe
    // that says nothing must come back.
    action.sa_flags = static_cast<int>(SA_RESETHAND);
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, nullptr);
    sigaction(SIGTERM, &action, nullptr);
    if (seen.load()) {
        source.request_stop();
    }
}

StopOnSignal::~StopOnSignal() { stoppable.store(nullptr); }

bool stop_signal_seen() noexcept { return seen.load(); }

}  // namespace skedlark::cli
