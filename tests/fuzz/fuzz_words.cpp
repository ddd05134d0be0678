// Words of the command line: each is taken or refused with a message that says why.
#include <cstdint>
#include <cstdlib>
#include <string>

#include "cli/options.h"
#include "dsp/morse/code_table.h"
#include "dsp/synth/conditions.h"

using namespace skedlark;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string word(reinterpret_cast<const char*>(data), size);
    if (const auto channel = cli::parse_channel(word);
        channel ? channel->channel < 1 : channel.error().message.empty()) {
        std::abort();
    }
    std::string number = word;
    const CLI::Validator pitch = cli::number_within({200.0, 3000.0, "Hz"});
    if (pitch(number).empty()) {
        const double value = std::stod(word);
        if (!(value >= 200.0 && value <= 3000.0)) {
            std::abort();
        }
    }
    synth::SceneConfig scene;
    if (const Status status = synth::apply_conditions(word, scene);
        !status && status.error().message.empty()) {
        std::abort();
    }
    if (const auto symbols = morse::symbols_from_text(word);
        !symbols && symbols.error().message.empty()) {
        std::abort();
    }
    return 0;
}
