// The tests of the bench as the page offers them: names, what they do, what is asked of the person.
//
// Stage:   gui/bench, no Qt. Out: BenchKind, one a test, in the order of the list.
// Units:   in the labels.
// Shape:   a field with choices is one of them; others are typed.
// Errors:  none; kind_named() of a name that is none is a programmer's mistake.
// Threads: constants.
// Source:  none
// Checked: tests/desk/bench/bench_steps_test.cpp
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

namespace skedlark::gui {

using FieldTexts = std::map<std::string, std::string>;

struct BenchField {
    std::string key;
    std::string label;     // before the field
    std::string name;      // read out: label in full
    std::string standard;  // what stands there at first
    std::vector<std::string> choices{};
    std::vector<std::string> ways{};  // shown with these ways only; none: always
};

struct BenchKind {
    std::string name;   // as in limits and logs
    std::string title;  // in the list
    std::string does;   // one line
    std::vector<BenchField> fields{};
};

[[nodiscard]] std::span<const BenchKind> bench_kinds();
[[nodiscard]] const BenchKind& kind_named(const std::string& name);

[[nodiscard]] FieldTexts standard_texts(const BenchKind& kind);
// "" where the test has one way only.
[[nodiscard]] std::string way_of(const FieldTexts& texts);
[[nodiscard]] bool is_shown(const BenchField& field, const FieldTexts& texts);

}  // namespace skedlark::gui
