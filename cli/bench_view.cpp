#include "cli/bench_view.h"

#include <fmt/format.h>

#include <sstream>

#include "cli/terminal.h"

namespace skedlark::cli {

using bench::Measurement;

std::string wrapped_text(const std::string& text, std::size_t width, std::size_t indent) {
    std::string out;
    std::size_t column = 0;
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        if (column > 0 && column + 1 + word.size() > width) {
            out += "\n" + std::string(indent, ' ');
            column = indent;
        } else if (column > 0) {
            out += ' ';
            ++column;
        }
        out += word;
        column += word.size();
    }
    return out + "\n";
}

std::string bench_text(const bench::Sheet& sheet) {
    const auto width = static_cast<std::size_t>(kPlainWidth);
    std::string text = wrapped_text(
        fmt::format(
            "{}: {}, {:.1f} s at {:g} Hz{}", sheet.test, sheet.input, sheet.seconds,
            sheet.sample_rate_hz,
            sheet.report.chain.empty() ? "" : ", measured with the chain " + sheet.report.chain),
        width, 2);
    bool own = false;
    for (const Measurement& m : sheet.report.measurements) {
        const std::string what = m.at.empty() ? m.what : m.at + ": " + m.what;
        std::string line = fmt::format("  {:<37} {:<22}", what, bench::figure_text(m));
        if (const auto limit = sheet.limits.of(sheet.test, m.name)) {
            own = own || limit->own;
            const std::string verdict =
                bench::limit_text(*limit) + " " + bench::verdict_text(judge(m, *limit));
            // Where it does not fit beside, it stands below.
            line += line.size() + 1 + verdict.size() > width ? "\n" + std::string(41, ' ') : " ";
            line += verdict;
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    for (const bench::Occurrence& o : sheet.report.occurrences) {
        text += wrapped_text(fmt::format("  {:.2f} s  {}: {}", o.at_s, o.kind, o.said), width, 4);
    }
    if (own) text += "  * a limit of the project's own; --limits FILE sets yours\n";
    for (const std::string& remark : sheet.report.remarks) {
        text += wrapped_text("- " + remark, width, 2);
    }
    return text;
}

}  // namespace skedlark::cli
