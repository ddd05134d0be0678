#include "gui/bench/bench_work.h"

#include <utility>

namespace skedlark::gui {

void BenchWork::start(BenchOrder order) {
    wait();
    done_ = false;
    result_.reset();
    thread_ = std::thread([this, order = std::move(order)] {
        result_.emplace(measure(order));
        done_ = true;
    });
}

std::optional<Result<BenchDone>> BenchWork::result() {
    if (!done_ || !thread_.joinable()) return std::nullopt;
    thread_.join();
    return std::exchange(result_, std::nullopt);
}

void BenchWork::wait() {
    if (thread_.joinable()) thread_.join();
}

}  // namespace skedlark::gui
