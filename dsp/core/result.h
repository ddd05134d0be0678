// Result<T>: a value, or why there is none.
//
// Stage:   core. What can go wrong outside (file, device, setting) returns a Result; programmer
//          mistakes are assertions. No exception leaves dsp.
// Use:     Result<double> r = parse(text);
//          if (!r) return r.error();
//          use(*r);
// Errors:  the message names the field or file, the value, and what is allowed.
// Threads: none.
#pragma once

#include <cstdlib>
#include <string>
#include <utility>
#include <variant>

namespace skedlark {

enum class ErrorCode {
    invalid_value,  // a setting out of its range, an option that contradicts another
    not_found,      // no such file, device, band
    unreadable,     // exists but cannot be read: rights, a directory, an I/O error
    damaged,        // not the format it claims, cut short, values that cannot be
    unsupported,    // readable, but of a kind we do not handle
    device_lost,    // the sound device went away for good
    disk_full,      // no room left; what was written is kept
    write_failed,   // output cannot be written for another reason
};

struct Error {
    ErrorCode code = ErrorCode::invalid_value;
    std::string message;
};

template <typename T>
class [[nodiscard]] Result {
 public:
    Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}
    Result(Error error) : state_(std::in_place_index<1>, std::move(error)) {}

    [[nodiscard]] bool ok() const { return state_.index() == 0; }
    explicit operator bool() const { return ok(); }

    T& operator*() & { return *held(std::get_if<0>(&state_)); }
    const T& operator*() const& { return *held(std::get_if<0>(&state_)); }
    T&& operator*() && { return std::move(*held(std::get_if<0>(&state_))); }
    T* operator->() { return held(std::get_if<0>(&state_)); }
    const T* operator->() const { return held(std::get_if<0>(&state_)); }

    [[nodiscard]] const Error& error() const { return *held(std::get_if<1>(&state_)); }

 private:
    // Asking for what is not there is a programmer's mistake: stop at once, in every build.
    template <typename P>
    static P* held(P* pointer) {
        if (pointer == nullptr) std::abort();
        return pointer;
    }

    std::variant<T, Error> state_;
};

// For calls that give nothing back but may fail.
struct Done {};
using Status = Result<Done>;

}  // namespace skedlark
