// skedlark copy: text, timing and confidence of the keyed tones heard.
#include <memory>

#include "cli/options.h"
#include "cli/status_line.h"
#include "cli/terminal.h"
#include "cli/text_view.h"
#include "cli/watching.h"

namespace skedlark::cli {

namespace {

struct CopyOptions {
    WatchingOptions watching;
    double pitch_hz = 0.0;
    bool json = false;
    bool provisional = false;
    bool ascii = false;
    std::string text = "none";
    int width = 0;  // 0: the terminal's, or 80
};

constexpr const char* kExample =
    "Example:\n"
    "  skedlark copy --pitch 700 evening.flac\n"
    "  skedlark copy --live --record ~/watches --contact evening\n"
    "Text goes to standard output, what is said about it to standard error. On a terminal, dim "
    "text may\n"
    "still change, underlined characters are less than 80 % sure, slanted ones were changed by "
    "--text,\n"
    "_ stands where nothing could be read.\n"
    "--text groups expects five letters or figures, then a gap; plain expects English words. What\n"
    "that changed is listed at the end, and is \"unaided\" in --json: it can be wrong, above all "
    "in\n"
    "names and calls.\n"
    "--call QVA finds that call where it is sent two or three times, some 4 dB below\n"
    "what can be read. It says only that the call was sent, not what else was.\n"
    "A live watch is kept in the log (skedlark log).\n"
    "Exit status: 0 text was copied or a call found; 1 none was; 2 cannot read an input; 3 cut "
    "short from outside.";

bool is_copied_text(const Event& event) {
    if (std::holds_alternative<CallEvent>(event)) {
        return true;
    }
    const auto* character = std::get_if<CharEvent>(&event);
    return character != nullptr && character->final && character->text != " " &&
           character->text != "_";
}

class JsonCopy final : public Printer {
 public:
    void begin(const InputLine& input, bool) override {
        start_ = input.utc;
        copied_ = false;
        out_.write(json_line(input));
        out_.flush();
    }
    void show(const std::vector<Event>& events) override {
        for (const Event& event : events) {
            copied_ = copied_ || is_copied_text(event);
            if (is_news(event)) {
                out_.write(json_line(event, start_));
            }
        }
        out_.flush();
    }
    void show_status(const std::string&) override {}
    void end() override { heard_.clear(); }
    [[nodiscard]] bool answer() const override { return copied_; }
    [[nodiscard]] Output& output() override { return out_; }

 private:
    // What is heard is read again several times a second; the same reading is told once.
    bool is_news(const Event& event) {
        const auto* character = std::get_if<CharEvent>(&event);
        if (character == nullptr) {
            return true;
        }
        std::erase_if(heard_, [&](const CharEvent& old) {
            return old.tone == character->tone && character->final &&
                   old.from_frame < character->to_frame;
        });
        if (character->final) {
            return true;
        }
        for (CharEvent& old : heard_) {
            if (old.tone == character->tone && old.from_frame == character->from_frame) {
                const bool same =
                    old.text == character->text && old.to_frame == character->to_frame;
                old = *character;
                return !same;
            }
        }
        heard_.push_back(*character);
        return true;
    }

    Output out_{1};
    std::optional<UtcTime> start_;
    std::vector<CharEvent> heard_;
    bool copied_ = false;
};

class TextCopy final : public Printer {
 public:
    TextCopy(const CopyOptions& options)
        : options_(options), terminal_(terminal_at(1)), side_terminal_(terminal_at(2)) {}

    void begin(const InputLine& input, bool several) override {
        copied_ = false;
        if (several) {
            out_.write((first_ ? "" : "\n") + input.name + ":\n");
        }
        first_ = false;
        ViewOptions view;
        view.terminal = terminal_;
        view.terminal.width = width();
        view.ascii = options_.ascii;
        view.label_tones = options_.watching.watch.tones > 1;
        // On a terminal both streams draw on one screen, so one of them must do it all.
        view_.emplace(view, out_, terminal_.can_redraw ? out_ : side_);
    }
    void show(const std::vector<Event>& events) override {
        for (const Event& event : events) {
            copied_ = copied_ || is_copied_text(event);
        }
        view_->set_width(width());
        side_status_.clear();
        view_->show(events);
    }
    void show_status(const std::string& status) override {
        if (terminal_.can_redraw) {
            view_->set_status(status);
        } else {
            side_status_.show(status);
        }
    }
    void end() override {
        side_status_.clear();
        view_->finish();
        view_.reset();
    }
    [[nodiscard]] bool answer() const override { return copied_; }
    [[nodiscard]] Output& output() override { return out_; }

 private:
    [[nodiscard]] int width() const {
        return options_.width > 0 ? options_.width : terminal_at(1).width;
    }

    CopyOptions options_;
    Terminal terminal_;
    Terminal side_terminal_;
    Output out_{1};
    Output side_{2};
    StatusLine side_status_{side_, side_terminal_.can_redraw && !terminal_.is_terminal};
    std::optional<TextView> view_;
    bool first_ = true;
    bool copied_ = false;
};

ExitStatus run_copy(CopyOptions options) {
    WatchingOptions& watching = options.watching;
    watching.verb = "copy";
    watching.watch.text = copy::text_kind(options.text);
    if (options.pitch_hz > 0.0) {
        watching.watch.pitch_hz = options.pitch_hz;
    }
    if (options.json) {
        watching.watch.provisional = options.provisional;
        JsonCopy printer;
        return watch_inputs(watching, printer);
    }
    watching.watch.provisional = terminal_at(1).can_redraw;
    TextCopy printer(options);
    return watch_inputs(watching, printer);
}

}  // namespace

void add_copy(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<CopyOptions>();
    CLI::App* verb =
        program.add_subcommand("copy", "Text, timing and confidence of the keyed tones heard");
    add_input_options(*verb, options->watching.input);
    add_watch_options(*verb, options->watching, options->pitch_hz);
    verb->add_option("--tones", options->watching.watch.tones, "How many tones to copy at once")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({1.0, watch::kMaxTones, ""}, true));
    verb->add_option("--wpm", options->watching.watch.speed_wpm,
                     "Speed, where it is known; the search stays within a third of it")
        ->type_name("N")
        ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}));
    verb->add_option("--text", options->text, "What is known of the text; guides what is in doubt")
        ->type_name("none|groups|plain")
        ->capture_default_str()
        ->check(one_of({copy::kTextKinds.begin(), copy::kTextKinds.end()}));
    verb->add_option("--call", options->watching.watch.calls,
                     "An expected call; found far below what can be read; repeatable")
        ->type_name("CALL")
        ->allow_extra_args(false);
    CLI::Option* record = verb->add_option("--record", options->watching.record.folder,
                                           "Also write what is heard to files in this folder")
                              ->type_name("DIR");
    verb->add_option("--record-format", options->watching.record.format, "Kind of these files")
        ->type_name("flac|wav")
        ->capture_default_str()
        ->check(one_of({"flac", "wav"}))
        ->needs(record);
    CLI::Option* json = verb->add_flag("--json", options->json, "Events as JSON Lines");
    verb->add_flag("--provisional", options->provisional,
                   "With --json: characters as heard too, before they are final")
        ->needs(json);
    verb->add_flag("--ascii", options->ascii, "Procedure signals as [AR] instead of overlined")
        ->excludes(json);
    verb->add_option("--width", options->width, "Wrap text at so many columns")
        ->type_name("COLUMNS")
        ->check(number_within({20.0, 1000.0, "columns"}, true))
        ->excludes(json);
    add_log_options(*verb, options->watching.log);
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return run_copy(*options); }; });
}

}  // namespace skedlark::cli
