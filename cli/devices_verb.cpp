// skedlark devices: sound inputs that can be used.
#include <fmt/format.h>

#include <memory>

#include "cli/json_lines.h"
#include "cli/options.h"
#include "cli/output.h"
#include "dsp/audio/devices.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Example:\n"
    "  skedlark devices\n"
    "Exit status: 0 done; 1 there is no sound input; 2 cannot do it; 3 cut short from outside.";

struct DevicesOptions {
    bool json = false;
};

ExitStatus delivered(Output& out, ExitStatus status) {
    if (out.flush()) {
        return status;
    }
    print_error("devices", out.failure()->message);
    return out.failure()->status;
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
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return run_devices(*options); }; });
}

}  // namespace skedlark::cli
