#include "gui/fist/background.h"

#include <gtest/gtest.h>

#include <chrono>
#include <memory>
#include <vector>

namespace skedlark::gui {
namespace {

void wait_for(Background& work, const std::function<bool()>& until) {
    for (int i = 0; i < 1000 && !until(); ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
        (void)work.collect();
    }
}

TEST(Background, JobsRunInOrderAndEndOnTheCallersThread) {
    Background work;
    std::vector<int> order;
    std::thread::id ended_on;
    std::thread::id worked_on;
    for (int i = 0; i < 3; ++i) {
        work.post([&, i](const std::atomic<bool>&) -> Background::Finish {
            worked_on = std::this_thread::get_id();
            return [&, i] {
                order.push_back(i);
                ended_on = std::this_thread::get_id();
            };
        });
    }
    wait_for(work, [&] { return order.size() == 3; });
    EXPECT_EQ(order, (std::vector<int>{0, 1, 2}));
    EXPECT_EQ(ended_on, std::this_thread::get_id());
    EXPECT_NE(worked_on, ended_on);
    EXPECT_FALSE(work.collect());
    EXPECT_TRUE(work.idle());
}

TEST(Background, EndingAsksTheJobToStopAndDropsTheRest) {
    auto began = std::make_shared<std::atomic<bool>>(false);
    auto second = std::make_shared<std::atomic<bool>>(false);
    {
        Background work;
        work.post([began](const std::atomic<bool>& stop) -> Background::Finish {
            began->store(true);
            while (!stop.load()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
            return {};
        });
        work.post([second](const std::atomic<bool>&) -> Background::Finish {
            second->store(true);
            return {};
        });
        while (!began->load()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
    EXPECT_FALSE(second->load());
}

}  // namespace
}  // namespace skedlark::gui
