// Counts the allocations of the calling thread: process() of a stage must make none.
//
// Stage:   tests. A program that uses this has its operator new and delete replaced by counting
// ones.
//          Memory taken straight from malloc (C libraries) is not seen.
// Use:     const AllocationCount before;
//          meter.process(audio, out);
//          EXPECT_EQ(before.made(), 0);
// Threads: counts the thread that asks.
// Checked: tests/support/allocations_test.cpp
#pragma once

namespace skedlark::support {

class AllocationCount {
 public:
    AllocationCount();
    // Allocations of this thread since this object was made.
    [[nodiscard]] long made() const;

 private:
    long start_;
};

}  // namespace skedlark::support
