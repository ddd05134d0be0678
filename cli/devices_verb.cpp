// skedlark devices: sound inputs that can be used.
#include <fmt/format.h>

#include <memory>

#include "cli/hookup.h"
#include "cli/json_lines.h"
#include "cli/options.h"
#include "cli/output.h"
#include "dsp/audio/devices.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Example:\n"
    "  skedlark devices\n"
    "  skedlark devices --check --seconds 10\n"
    "Caution: a set whose chassis may be live must only be joined to a computer through an "
    "isolating audio\n"
    "transformer. Begin with the receiver's volume low: headphone levels can overdrive an input.\n"
    "Exit status: 0 done; 1 there is no sound input, or the check failed; 2 cannot do it; 3 cut "
    "short from outside.";

struct DevicesOptions {
    bool json = false;
    HookupOptions hookup{};
    std::string file{};
};

ExitStatus delivered(Output& out, ExitStatus status) {
    if (out.flush()) {
        return status;
    }
    print_error("devices", out.failure()->message);
    return out.failure()->status;
}

ExitStatus run_check(DevicesOptions options) {
    options.hookup.json = options.json;
    if (!options.file.empty()) {
        options.hookup.input.live = false;
        options.hookup.input.files = {options.file};
    }
    Output out(1);
    const Result<bool> good = check_input(options.hookup, out);
    if (!good) {
        print_error("devices", good.error().message);
        return exit_status(good.error().code);
    }
    return delivered(out, *good ? kDone : kAnswerNo);
}

ExitStatus run_devices(const DevicesOptions& options) {
    const Result<std::vector<audio::DeviceInfo>> devices = audio::list_devices();
    if (!devices) {
        print_error("devices", devices.error().message);
        return exit_status(devices.error().code);
    }
    Output out(1);
    int number = 0;
    for (const audio::DeviceInfo& device : *devices) {
        ++number;
        out.write(options.json
                      ? json_line(DeviceLine{number, device.name, device.host_api, device.channels,
                                             device.default_rate_hz, device.is_default})
                      : fmt::format("{:>2}  {}  ({}, {} channel{}, {:.0f} Hz){}\n", number,
                                    device.name, device.host_api, device.channels,
                                    device.channels == 1 ? "" : "s", device.default_rate_hz,
                                    device.is_default ? "  default" : ""));
    }
    if (devices->empty()) {
        print_error("devices", "there is no sound input");
    }
    return delivered(out, devices->empty() ? kAnswerNo : kDone);
}

}  // namespace

void add_devices(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<DevicesOptions>();
    CLI::App* verb = program.add_subcommand("devices", "Sound inputs that can be used");
    verb->add_flag("--json", options->json, "One JSON object a line");
    InputOptions& input = options->hookup.input;
    CLI::Option* check =
        verb->add_option("--check", input.device,
                         "Listen and say whether level, clipping and mains hum are right")
            ->expected(0, 1)
            ->type_name("[DEVICE]");
    CLI::Option* file = verb->add_option("--check-file", options->file, "The same for a sound file")
                            ->type_name("FILE")
                            ->excludes(check);
    verb->add_option("--seconds", options->hookup.seconds, "How long to listen")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({1.0, 600.0, "s"}));
    verb->add_option("--channel", input.channel,
                     "Which channel to check, or mix for the mean of all")
        ->type_name("N|mix")
        ->capture_default_str();
    verb->footer(kExample);
    verb->callback([options, &chosen, check, file] {
        options->hookup.input.live = check->count() > 0;
        const bool checks = check->count() > 0 || file->count() > 0;
        chosen = [options, checks] { return checks ? run_check(*options) : run_devices(*options); };
    });
}

}  // namespace skedlark::cli
