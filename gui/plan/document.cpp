#include "gui/plan/document.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <sstream>
#include <string_view>

#include "dsp/core/csv.h"
#include "dsp/core/toml_fields.h"
#include "dsp/core/utc.h"

namespace skedlark::gui {

namespace {

constexpr int kMostProblems = 30;

std::string trimmed(std::string text) {
    const auto is_blank = [](char c) { return c == ' ' || c == '\t' || c == '\n'; };
    while (!text.empty() && is_blank(text.back())) text.pop_back();
    text.erase(text.begin(), std::find_if_not(text.begin(), text.end(), is_blank));
    return text;
}

std::vector<std::string> parts_of(const std::string& text, char between) {
    std::vector<std::string> parts;
    std::istringstream all(text);
    for (std::string part; std::getline(all, part, between);) {
        if (part = trimmed(part); !part.empty()) parts.push_back(part);
    }
    return parts;
}

std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
            out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        } else {
            out += c;
        }
    }
    return out + "\"";
}

// As a number where it is one, else as a text, which the reader then refuses by its name.
std::string number_toml(const std::string& text) {
    const auto value = csv::number(text);
    return value ? fmt::format("{}", *value) : quoted(text);
}

std::string time_toml(const std::string& text, bool with_time) {
    const auto written = parse_written_time(text);
    if (!written || written->has_time != with_time) return quoted(text);
    if (!with_time) return utc_text(as_utc(*written)).substr(0, 10);
    if (!written->offset) return quoted(text);
    std::string moment = utc_text(as_utc(*written));
    if (moment.ends_with(".000Z")) moment.replace(moment.size() - 5, 5, "Z");
    return moment;
}

template <typename Write>
std::string list_toml(const std::vector<std::string>& parts, Write write, const char* between) {
    std::string out;
    for (const std::string& part : parts) out += (out.empty() ? "" : between) + write(part);
    return "[" + out + "]";
}

// A pair to a line, so that the reader's line tells which.
std::string points_toml(const std::string& text) {
    std::string out = "[";
    for (const std::string& line : parts_of(text, '\n')) {
        const auto numbers = parts_of(line, ' ');
        out += "\n    " + list_toml(numbers, number_toml, ", ") + ",";
    }
    return out + "\n]";
}

std::string value_toml(FieldKind kind, const std::string& text) {
    switch (kind) {
        case FieldKind::text:
            return quoted(text);
        case FieldKind::number:
            return number_toml(text);
        case FieldKind::moment:
            return time_toml(text, true);
        case FieldKind::day:
            return time_toml(text, false);
        case FieldKind::days:
            return list_toml(
                parts_of(text, ' '), [](const auto& part) { return time_toml(part, false); }, ", ");
        case FieldKind::texts:
            return list_toml(parts_of(text, ';'), quoted, ", ");
        case FieldKind::points:
            return points_toml(text);
    }
    return "";
}

struct LineOf {
    std::optional<std::size_t> entry{};
    std::string key{};
};

struct Written {
    std::string toml{};
    std::vector<LineOf> lines{};  // what stands on each line

    void add(const std::string& text, const LineOf& of) {
        toml += text + "\n";
        lines.insert(lines.end(),
                     1 + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')), of);
    }
};

Written write(const Schema& schema, const Document& document) {
    Written out;
    out.toml = schema.header;
    out.lines.resize(static_cast<std::size_t>(std::count(out.toml.begin(), out.toml.end(), '\n')));
    for (std::size_t i = 0; i < document.size(); ++i) {
        const SectionInfo& section = schema.sections[document[i].section];
        const std::string path =
            (*section.within != '\0' ? std::string(section.within) + "." : "") + section.table;
        if (*section.table != '\0') {
            out.add("", {i, ""});
            out.add(section.many ? "[[" + path + "]]" : "[" + path + "]", {i, ""});
        }
        for (const FieldInfo& field : section.fields) {
            const std::string text = trimmed(document[i].value(field.key));
            if (text.empty()) continue;
            out.add(std::string(field.key) + " = " + value_toml(field.kind, text), {i, field.key});
        }
    }
    return out;
}

std::string two(unsigned value) { return fmt::format("{:02}", value); }

std::string text_of(const toml::node& node) {
    if (const auto* text = node.as_string()) return text->get();
    if (const auto* number = node.as_integer()) return fmt::format("{}", number->get());
    if (const auto* number = node.as_floating_point()) return fmt::format("{}", number->get());
    if (const auto* truth = node.as_boolean()) return truth->get() ? "true" : "false";
    std::ostringstream text;
    if (const auto* date = node.as_date()) text << date->get();
    if (const auto* stamp = node.as_date_time()) {
        const auto& time = stamp->get();
        if (!time.offset) {
            text << time;
            return text.str();
        }
        const std::string written = fmt::format(
            "{:04}-{}-{}T{}:{}:{}.{:03}{}{}:{}", time.date.year, two(time.date.month),
            two(time.date.day), two(time.time.hour), two(time.time.minute), two(time.time.second),
            time.time.nanosecond / 1'000'000, time.offset->minutes < 0 ? '-' : '+',
            two(static_cast<unsigned>(std::abs(time.offset->minutes)) / 60),
            two(static_cast<unsigned>(std::abs(time.offset->minutes)) % 60));
        const std::string moment = time_toml(written, true);
        return moment.ends_with(":00Z") ? moment.substr(0, moment.size() - 4) + "Z" : moment;
    }
    return text.str();
}

std::string field_text(FieldKind kind, const toml::node& node) {
    const auto* list = node.as_array();
    if (list == nullptr) return text_of(node);
    // A list that is there and empty is not one that is left out.
    if (list->empty() && kind == FieldKind::texts) return ";";
    std::string out;
    for (const toml::node& each : *list) {
        const char* between = kind == FieldKind::points  ? "\n"
                              : kind == FieldKind::texts ? "; "
                                                         : " ";
        out += (out.empty() ? "" : between) +
               (each.is_array() ? field_text(FieldKind::days, each) : text_of(each));
    }
    return out;
}

void read_entry(const Schema& schema, std::size_t section, const toml::table& table,
                Document& document) {
    Entry entry{section, {}};
    for (const FieldInfo& field : schema.sections[section].fields) {
        if (const toml::node* node = table.get(field.key)) {
            entry.values[field.key] = field_text(field.kind, *node);
        }
    }
    document.push_back(std::move(entry));
    const std::string_view name = schema.sections[section].table;
    if (name.empty()) return;
    for (std::size_t i = 0; i < schema.sections.size(); ++i) {
        if (schema.sections[i].within != name) continue;
        const auto* inner = table.get_as<toml::array>(schema.sections[i].table);
        for (std::size_t at = 0; inner != nullptr && at < inner->size(); ++at) {
            if (const auto* each = inner->get(at)->as_table())
                read_entry(schema, i, *each, document);
        }
    }
}

// "name:12: contact \"evening\": receive_khz: -5; allowed: ..." to its field.
Problem locate(const Schema& schema, const Document& document, const Written& written,
               std::string said) {
    Problem problem;
    said = said.substr(said.find(':') + 1);
    const auto take = [&](long line) {
        if (line < 1 || line > static_cast<long>(written.lines.size())) return;
        problem.entry = written.lines[static_cast<std::size_t>(line - 1)].entry;
        problem.key = written.lines[static_cast<std::size_t>(line - 1)].key;
    };
    if (!said.empty() && std::isdigit(static_cast<unsigned char>(said.front())) != 0) {
        take(std::stol(said));
        said = said.substr(said.find(':') + 1);
    } else if (const auto at = said.find("(line "); at != std::string::npos) {
        take(std::stol(said.substr(at + 6)));
    }
    said = trimmed(said);
    for (std::size_t i = 0; i < document.size() && problem.key.empty(); ++i) {
        if (problem.entry && *problem.entry != i) continue;
        const SectionInfo& section = schema.sections[document[i].section];
        const std::string name = quoted(document[i].value("name"));
        const bool named = problem.entry || *section.table == '\0' ||
                           said.find(name) != std::string::npos ||
                           said.rfind(std::string(section.table) + ".", 0) == 0;
        for (const FieldInfo& field : section.fields) {
            const auto at = said.find(std::string(field.key) + ":");
            if (!named || at == std::string::npos ||
                (at > 0 && said[at - 1] != ' ' && said[at - 1] != '.')) {
                continue;
            }
            problem.entry = i;
            problem.key = field.key;
            break;
        }
    }
    const auto at = problem.key.empty() ? std::string::npos : said.find(problem.key + ": ");
    problem.said = at == std::string::npos ? said : said.substr(at + problem.key.size() + 2);
    return problem;
}

}  // namespace

Result<Document> document_of(const Schema& schema, const std::string& toml,
                             const std::string& name) {
    const auto root = parse_toml(toml, name);
    if (!root) return root.error();
    static const toml::table kNone;
    Document document;
    for (std::size_t i = 0; i < schema.sections.size(); ++i) {
        const SectionInfo& section = schema.sections[i];
        if (*section.within != '\0') continue;
        if (*section.table == '\0') {
            read_entry(schema, i, *root, document);
        } else if (!section.many) {
            const auto* table = root->get_as<toml::table>(section.table);
            read_entry(schema, i, table != nullptr ? *table : kNone, document);
        } else if (const auto* list = root->get_as<toml::array>(section.table)) {
            for (const toml::node& each : *list) {
                if (const auto* table = each.as_table()) read_entry(schema, i, *table, document);
            }
        }
    }
    return document;
}

Document new_document(const Schema& schema) {
    Document document;
    for (std::size_t i = 0; i < schema.sections.size(); ++i) {
        if (!schema.sections[i].many) document.push_back({i, {}});
    }
    return document;
}

std::string toml_of(const Schema& schema, const Document& document) {
    return write(schema, document).toml;
}

std::vector<Problem> problems_of(const Schema& schema, const Document& document) {
    std::vector<Problem> problems;
    Document mended = document;
    while (static_cast<int>(problems.size()) < kMostProblems) {
        const Written written = write(schema, mended);
        const Status status = schema.check(written.toml, schema.what);
        if (status) return problems;
        Problem problem = locate(schema, mended, written, status.error().message);
        const bool again = std::any_of(problems.begin(), problems.end(), [&](const Problem& known) {
            return known.entry == problem.entry && known.key == problem.key;
        });
        if (again) return problems;
        problems.push_back(problem);
        if (!problem.entry || problem.key.empty()) return problems;
        // The reader tells the first mistake only: with a good value there it goes on to the next.
        for (const FieldInfo& field : schema.sections[mended[*problem.entry].section].fields) {
            if (field.key == problem.key) mended[*problem.entry].values[field.key] = field.example;
        }
    }
    return problems;
}

std::size_t end_of(const Schema& schema, const Document& document, std::size_t entry) {
    const std::string_view table = schema.sections[document[entry].section].table;
    std::size_t end = entry + 1;
    while (end < document.size() && !table.empty() &&
           schema.sections[document[end].section].within == table) {
        ++end;
    }
    return end;
}

std::size_t place_for(const Schema& schema, const Document& document, std::size_t section,
                      std::size_t chosen) {
    const std::string_view within = schema.sections[section].within;
    std::size_t place = 0;
    for (std::size_t i = 0; i < document.size(); ++i) {
        const bool before = document[i].section <= section;
        if (within.empty() ? before : schema.sections[document[i].section].table == within) {
            const std::size_t end = end_of(schema, document, i);
            place = end;
            if (!within.empty() && chosen < end) break;
        }
    }
    return place;
}

std::string title_of(const Schema& schema, const Entry& entry) {
    const SectionInfo& section = schema.sections[entry.section];
    std::string title = section.heading;
    if (section.many) title += " " + entry.value(section.fields.front().key);
    return *section.within != '\0' ? "    " + title : title;
}

}  // namespace skedlark::gui
