#include "dsp/core/toml_fields.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

#include "dsp/core/text_file.h"

namespace skedlark {

namespace {

constexpr std::size_t kLongestFile = 1U << 20U;
constexpr std::size_t kLongestText = 200;

std::string in_marks(std::string_view text) {
    return fmt::format("'{}'{}", text.substr(0, 60), text.size() > 60 ? "..." : "");
}

// What stands there, for the error message.
std::string shown(const toml::node& node) {
    if (const auto* text = node.as_string()) return in_marks(text->get());
    if (const auto* number = node.as_floating_point()) return fmt::format("{}", number->get());
    if (const auto* number = node.as_integer()) return fmt::format("{}", number->get());
    if (const auto* truth = node.as_boolean()) return truth->get() ? "true" : "false";
    switch (node.type()) {
        case toml::node_type::table:
            return "a table";
        case toml::node_type::array:
            return "a list";
        case toml::node_type::date:
            return "a date";
        case toml::node_type::time:
            return "a time of day";
        default:
            return "a date and time";
    }
}

bool is_printable(std::string_view text) {
    for (const char c : text) {
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) return false;
    }
    return true;
}

std::optional<std::string> good_text(const toml::node& node) {
    const auto* text = node.as_string();
    if (text == nullptr || text->get().empty() || text->get().size() > kLongestText ||
        !is_printable(text->get())) {
        return std::nullopt;
    }
    return text->get();
}

std::optional<double> as_number(const toml::node& node) {
    if (const auto* number = node.as_floating_point()) return number->get();
    if (const auto* number = node.as_integer()) return static_cast<double>(number->get());
    return std::nullopt;
}

std::optional<std::chrono::sys_days> as_day(const toml::date& date) {
    const std::chrono::year_month_day day{
        std::chrono::year(date.year), std::chrono::month(date.month), std::chrono::day(date.day)};
    if (!day.ok() || date.year < kFirstYear || date.year > kLastYear) return std::nullopt;
    return std::chrono::sys_days(day);
}

std::optional<std::chrono::sys_days> good_day(const toml::node& node) {
    if (const auto* date = node.as_date()) return as_day(date->get());
    if (const auto* text = node.as_string()) {
        const auto written = parse_written_time(text->get());
        if (written && !written->has_time) {
            return std::chrono::floor<std::chrono::days>(as_utc(*written));
        }
    }
    return std::nullopt;
}

std::optional<UtcTime> good_utc(const toml::node& node) {
    if (const auto* text = node.as_string()) {
        const auto written = parse_written_time(text->get());
        if (written && written->offset) return as_utc(*written);
        return std::nullopt;
    }
    const auto* stamp = node.as_date_time();
    if (stamp == nullptr || !stamp->get().offset) return std::nullopt;
    const auto day = as_day(stamp->get().date);
    if (!day) return std::nullopt;
    const toml::time& clock = stamp->get().time;
    return UtcTime(*day) + std::chrono::hours(clock.hour) + std::chrono::minutes(clock.minute) +
           std::chrono::seconds(clock.second) +
           std::chrono::milliseconds(clock.nanosecond / 1'000'000) -
           std::chrono::minutes(stamp->get().offset->minutes);
}

constexpr const char* kAllowedText = "text of 1 to 200 bytes in quotation marks";
constexpr const char* kAllowedDay = "a date such as 2026-11-26, 1970 to 2199";
constexpr const char* kAllowedUtc =
    "a date and time of UTC that exist, such as 2026-11-26T18:30:00Z (1970 to 2199)";

}  // namespace

void TomlProblems::add(long line, const std::string& message) {
    if (first) return;
    first = Error{ErrorCode::invalid_value, line > 0 ? fmt::format("{}:{}: {}", file, line, message)
                                                     : fmt::format("{}: {}", file, message)};
}

Result<toml::table> parse_toml(std::string_view text, const std::string& file) {
    if (text.size() > kLongestFile) {
        return Error{ErrorCode::unsupported, fmt::format("{}: longer than 1 MiB", file)};
    }
    try {
        return toml::parse(text, std::string_view(file));
    } catch (const toml::parse_error& wrong) {
        return Error{ErrorCode::damaged,
                     fmt::format("{}:{}: not TOML: {}", file, wrong.source().begin.line,
                                 wrong.description())};
    }
}

Result<toml::table> parse_toml_file(const std::string& path) {
    const Result<std::string> text = read_text_file(path, kLongestFile);
    if (!text) return text.error();
    return parse_toml(*text, path);
}

long TomlFields::line() const { return static_cast<long>(table_.source().begin.line); }

long TomlFields::line_of(std::string_view name) const {
    const toml::node* node = table_.get(name);
    return node == nullptr ? line() : static_cast<long>(node->source().begin.line);
}

void TomlFields::refuse(std::string_view name, const std::string& message) {
    problems_.add(line_of(name),
                  fmt::format("{}{}{}: {}", where_, where_.empty() ? "" : ": ", name, message));
}

void TomlFields::refuse_at(const toml::node& node, const std::string& message) {
    problems_.add(static_cast<long>(node.source().begin.line), message);
}

const toml::node* TomlFields::find(std::string_view name, bool required) {
    asked_.emplace(name);
    const toml::node* node = table_.get(name);
    if (node == nullptr && required) refuse(name, "is missing");
    return node;
}

std::string TomlFields::text(std::string_view name, std::optional<std::string> fallback) {
    const toml::node* node = find(name, !fallback);
    if (node == nullptr) return fallback.value_or("");
    const auto value = good_text(*node);
    if (!value) refuse(name, shown(*node) + "; allowed: " + kAllowedText);
    return value.value_or("");
}

std::string TomlFields::call(std::string_view name) {
    std::string value = text(name);
    bool good = value.size() >= 2 && value.size() <= 12;
    for (char& c : value) {
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
        good = good && ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/');
    }
    if (has(name) && !good) {
        refuse(name, in_marks(value) + " is not a call; allowed: 2 to 12 letters, figures and /");
    }
    return value;
}

double TomlFields::number(std::string_view name, const Allowed& allowed,
                          std::optional<double> fallback) {
    const toml::node* node = find(name, !fallback);
    const double safe = fallback.value_or(allowed.from);
    if (node == nullptr) return safe;
    const auto value = as_number(*node);
    if (value && *value >= allowed.from && *value <= allowed.to) return *value;
    refuse(name, fmt::format("{}; allowed: {} to {}{}{}", shown(*node), allowed.from, allowed.to,
                             allowed.unit.empty() ? "" : " ", allowed.unit));
    return safe;
}

long TomlFields::whole(std::string_view name, const Allowed& allowed,
                       std::optional<long> fallback) {
    const auto wanted = fallback ? std::optional(static_cast<double>(*fallback)) : std::nullopt;
    const double value = number(name, allowed, wanted);
    if (value != std::floor(value)) {
        refuse(name, fmt::format("{}; allowed: whole numbers, {} to {}", value, allowed.from,
                                 allowed.to));
        return static_cast<long>(wanted.value_or(allowed.from));
    }
    return static_cast<long>(value);
}

UtcTime TomlFields::utc(std::string_view name, std::optional<UtcTime> fallback) {
    const toml::node* node = find(name, !fallback);
    if (node == nullptr) return fallback.value_or(UtcTime{});
    const auto value = good_utc(*node);
    if (!value) {
        const auto* stamp = node->as_date_time();
        const bool open = stamp != nullptr && !stamp->get().offset;
        refuse(name,
               (open ? "does not say that it is UTC" : shown(*node)) + "; allowed: " + kAllowedUtc);
    }
    return value.value_or(fallback.value_or(UtcTime{}));
}

std::optional<std::chrono::sys_days> TomlFields::date(std::string_view name) {
    const toml::node* node = find(name, false);
    if (node == nullptr) return std::nullopt;
    const auto value = good_day(*node);
    if (!value) refuse(name, shown(*node) + "; allowed: " + kAllowedDay);
    return value;
}

std::vector<std::chrono::sys_days> TomlFields::dates(std::string_view name) {
    std::vector<std::chrono::sys_days> days;
    const toml::node* node = find(name, false);
    if (node == nullptr) return days;
    const auto* list = node->as_array();
    if (list == nullptr) {
        refuse(name, shown(*node) + "; allowed: a list of dates in brackets");
        return days;
    }
    for (const toml::node& one : *list) {
        const auto day = good_day(one);
        if (!day) {
            refuse(name, shown(one) + "; allowed: " + kAllowedDay);
            return {};
        }
        days.push_back(*day);
    }
    return days;
}

std::vector<std::string> TomlFields::texts(std::string_view name,
                                           std::vector<std::string> fallback) {
    const toml::node* node = find(name, false);
    if (node == nullptr) return fallback;
    const auto* list = node->as_array();
    if (list == nullptr) {
        refuse(name, shown(*node) + "; allowed: a list of texts in brackets");
        return fallback;
    }
    std::vector<std::string> values;
    for (const toml::node& one : *list) {
        const auto value = good_text(one);
        if (!value) {
            refuse(name, shown(one) + "; allowed: " + kAllowedText);
            return fallback;
        }
        values.push_back(*value);
    }
    return values;
}

double TomlFields::any_number(std::string_view name, std::optional<double> fallback) {
    const toml::node* node = find(name, !fallback);
    if (node == nullptr) return fallback.value_or(0.0);
    const auto value = as_number(*node);
    if (!value) refuse(name, shown(*node) + "; allowed: a number");
    return value.value_or(fallback.value_or(0.0));
}

const toml::table& TomlFields::table(std::string_view name) {
    static const toml::table kNone;
    const toml::node* node = find(name, false);
    if (node == nullptr) return kNone;
    if (const auto* table = node->as_table()) return *table;
    refuse(name, fmt::format("{}; allowed: a table, headed [{}]", shown(*node), name));
    return kNone;
}

const toml::array* TomlFields::list(std::string_view name) {
    const toml::node* node = find(name, true);
    if (node == nullptr) return nullptr;
    const auto* list = node->as_array();
    if (list == nullptr) refuse(name, shown(*node) + "; allowed: a list in brackets");
    return list;
}

std::vector<const toml::table*> TomlFields::tables(std::string_view name) {
    std::vector<const toml::table*> all;
    const toml::node* node = find(name, false);
    if (node == nullptr) return all;
    const auto* list = node->as_array();
    if (list != nullptr) {
        for (const toml::node& one : *list) {
            if (const auto* table = one.as_table()) all.push_back(table);
        }
    }
    if (list == nullptr || all.size() != list->size()) {
        refuse(name, fmt::format("allowed: tables, each headed [[{}]]", name));
        all.clear();
    }
    return all;
}

void TomlFields::refuse_unknown() {
    for (const auto& [key, node] : table_) {
        if (!asked_.contains(key.str())) {
            refuse(key.str(),
                   fmt::format("is not known here; allowed: {}", fmt::join(asked_, ", ")));
            return;
        }
    }
}

}  // namespace skedlark
