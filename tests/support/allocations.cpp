#include "tests/support/allocations.h"

#include <cstdlib>
#include <new>

namespace {

thread_local long allocations_made = 0;

void* counted(std::size_t size) {
    ++allocations_made;
    if (void* memory = std::malloc(size == 0 ? 1 : size)) return memory;
    throw std::bad_alloc();
}

void* counted(std::size_t size, std::align_val_t alignment) {
    ++allocations_made;
    const auto align = static_cast<std::size_t>(alignment);
    const std::size_t whole = (size + align - 1) / align * align;
    if (void* memory = std::aligned_alloc(align, whole == 0 ? align : whole)) return memory;
    throw std::bad_alloc();
}

}  // namespace

void* operator new(std::size_t size) { return counted(size); }
void* operator new[](std::size_t size) { return counted(size); }
void* operator new(std::size_t size, std::align_val_t alignment) {
    return counted(size, alignment);
}
void* operator new[](std::size_t size, std::align_val_t alignment) {
    return counted(size, alignment);
}
// The nothrow forms too: the sanitizers' own would otherwise meet the delete below.
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
    ++allocations_made;
    return std::malloc(size == 0 ? 1 : size);
}
void* operator new[](std::size_t size, const std::nothrow_t&) noexcept {
    ++allocations_made;
    return std::malloc(size == 0 ? 1 : size);
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete[](void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }
void operator delete[](void* memory, std::size_t) noexcept { std::free(memory); }
void operator delete(void* memory, std::align_val_t) noexcept { std::free(memory); }
void operator delete[](void* memory, std::align_val_t) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t, std::align_val_t) noexcept { std::free(memory); }
void operator delete[](void* memory, std::size_t, std::align_val_t) noexcept { std::free(memory); }

namespace skedlark::support {

AllocationCount::AllocationCount() : start_(allocations_made) {}

long AllocationCount::made() const { return allocations_made - start_; }

}  // namespace skedlark::support
