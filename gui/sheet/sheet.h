// A printable sheet before it is drawn: words, tables and plots in the order in which they are read.
//
// Stage:   gui/sheet. In: results of skedlark. Out: Sheet, for html_sheet.h and pdf_sheet.h.
// Units:   in the words.
// Shape:   text is UTF-8 and plain: what draws it escapes it.
// Errors:  none.
// Threads: plain data. No Qt.
// Source:  none
// Checked: tests/desk/sheet/
#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "gui/chart/plot.h"

namespace skedlark::gui {

enum class WordsKind {
    plain,
    verdict,  // the answer the sheet is for: "PASS", "Score 87 of 100"
    caution,  // where it can hurt, or where the result is not to be relied on
    small,    // what a figure means
};
struct Words {
    WordsKind kind = WordsKind::plain;
    std::string text{};
};

// What was copied, in one width; doubtful runs are underlined, so that no colour is needed.
struct CopiedRun {
    std::string text{};
    bool doubtful = false;
};
struct CopiedWords {
    std::vector<CopiedRun> runs{};
};

struct TableColumn {
    std::string head{};
    bool figures = false;  // set flush right
};
struct Table {
    std::string caption{};
    std::vector<TableColumn> columns{};
    std::vector<std::vector<std::string>> rows{};  // as many as columns
};

using Block = std::variant<Words, CopiedWords, Table, Plot>;

struct SheetPart {
    std::string heading{};  // empty: goes on from the one before
    std::vector<Block> blocks{};

    void say(WordsKind kind, std::string text) { blocks.push_back(Words{kind, std::move(text)}); }
    void say(std::string text) { say(WordsKind::plain, std::move(text)); }
};

struct Sheet {
    std::string title{};
    std::vector<std::pair<std::string, std::string>> facts{};  // "Recording", "a.wav"
    std::vector<SheetPart> parts{};

    [[nodiscard]] std::size_t plots() const;
    [[nodiscard]] std::size_t tables() const;
};

template <typename Kind>
[[nodiscard]] std::vector<const Kind*> blocks_of(const Sheet& sheet) {
    std::vector<const Kind*> found;
    for (const SheetPart& part : sheet.parts) {
        for (const Block& block : part.blocks) {
            if (const auto* one = std::get_if<Kind>(&block)) found.push_back(one);
        }
    }
    return found;
}
inline std::size_t Sheet::plots() const { return blocks_of<Plot>(*this).size(); }
inline std::size_t Sheet::tables() const { return blocks_of<Table>(*this).size(); }

}  // namespace skedlark::gui
