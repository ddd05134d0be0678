#include "tests/cli/program.h"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <thread>

extern char** environ;

namespace skedlark::test {

namespace {

using Clock = std::chrono::steady_clock;

struct Pipe {
    int read_end = -1;
    int write_end = -1;
};

Pipe make_pipe() {
    std::array<int, 2> ends{};
    if (::pipe2(ends.data(), O_CLOEXEC) != 0) {
        throw std::runtime_error("no pipe");
    }
    return {ends[0], ends[1]};
}

std::vector<std::string> environment_with(const std::map<std::string, std::string>& extra) {
    std::vector<std::string> all;
    for (char** entry = environ; *entry != nullptr; ++entry) {
        const std::string text = *entry;
        if (!extra.contains(text.substr(0, text.find('=')))) {
            all.push_back(text);
        }
    }
    for (const auto& [name, value] : extra) {
        all.push_back(name + "=" + value);
    }
    return all;
}

std::vector<char*> pointers(std::vector<std::string>& texts) {
    std::vector<char*> all;
    for (std::string& text : texts) {
        all.push_back(text.data());
    }
    all.push_back(nullptr);
    return all;
}

void close_if_open(int& descriptor) {
    if (descriptor >= 0) {
        ::close(descriptor);
        descriptor = -1;
    }
}

}  // namespace

Running::Running(const std::vector<std::string>& command, const ProgramOptions& options)
    : options_(options) {
    ::signal(SIGPIPE, SIG_IGN);
    const Pipe in = make_pipe();
    const Pipe out = make_pipe();
    const Pipe error = make_pipe();
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, in.read_end, 0);
    if (options.close_output) {
        posix_spawn_file_actions_addclose(&actions, 1);
    } else if (!options.output_to.empty()) {
        posix_spawn_file_actions_addopen(&actions, 1, options.output_to.c_str(), O_WRONLY, 0);
    } else {
        posix_spawn_file_actions_adddup2(&actions, out.write_end, 1);
    }
    posix_spawn_file_actions_adddup2(&actions, error.write_end, 2);
    // The test ignores SIGPIPE for itself; the program must start as from a shell.
    posix_spawnattr_t attributes;
    posix_spawnattr_init(&attributes);
    sigset_t defaults;
    sigemptyset(&defaults);
    sigaddset(&defaults, SIGPIPE);
    posix_spawnattr_setsigdefault(&attributes, &defaults);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGDEF);
    std::vector<std::string> arguments = command;
    std::vector<std::string> environment = environment_with(options.environment);
    const int failed = ::posix_spawnp(&process_, command.front().c_str(), &actions, &attributes,
                                      pointers(arguments).data(), pointers(environment).data());
    posix_spawnattr_destroy(&attributes);
    posix_spawn_file_actions_destroy(&actions);
    ::close(in.read_end);
    ::close(out.write_end);
    ::close(error.write_end);
    in_ = in.write_end;
    out_ = out.read_end;
    error_ = error.read_end;
    ::fcntl(in_, F_SETFL, O_NONBLOCK);
    if (failed != 0) {
        process_ = -1;
        throw std::runtime_error("cannot start " + command.front());
    }
}

Running::~Running() {
    if (process_ > 0) {
        ::kill(process_, SIGKILL);
        ::waitpid(process_, nullptr, 0);
    }
    close_if_open(in_);
    close_if_open(out_);
    close_if_open(error_);
}

void Running::signal(int number) const { ::kill(process_, number); }

void Running::stop_reading() { close_if_open(out_); }

bool Running::pump(int wait_ms) {
    if (in_ >= 0 && in_sent_ == options_.input.size()) {
        close_if_open(in_);
    }
    std::array<pollfd, 3> waits{pollfd{in_, POLLOUT, 0}, pollfd{out_, POLLIN, 0},
                                pollfd{error_, POLLIN, 0}};
    ::poll(waits.data(), waits.size(), wait_ms);
    if (in_ >= 0 && waits[0].revents != 0) {
        const ssize_t sent =
            ::write(in_, options_.input.data() + in_sent_, options_.input.size() - in_sent_);
        if (sent > 0) {
            in_sent_ += static_cast<std::size_t>(sent);
        } else if (errno != EAGAIN && errno != EINTR) {
            close_if_open(in_);  // the program takes no more
        }
    }
    std::array<char, 65536> block{};
    const auto take = [&](int& descriptor, const pollfd& wait, std::string& into) {
        if (descriptor < 0 || wait.revents == 0) {
            return;
        }
        const ssize_t got = ::read(descriptor, block.data(), block.size());
        if (got > 0) {
            into.append(block.data(), static_cast<std::size_t>(got));
        } else if (got == 0 || errno != EINTR) {
            close_if_open(descriptor);
        }
    };
    take(out_, waits[1], ended_.out);
    take(error_, waits[2], ended_.error);
    return out_ >= 0 || error_ >= 0;
}

bool Running::wait_for_output(const std::string& text, double timeout_s) {
    const auto end = Clock::now() + std::chrono::duration<double>(timeout_s);
    while (ended_.out.find(text) == std::string::npos) {
        if (Clock::now() > end || !pump(50)) {
            return ended_.out.find(text) != std::string::npos;
        }
    }
    return true;
}

Ended Running::wait() {
    const auto end = Clock::now() + std::chrono::duration<double>(options_.timeout_s);
    while (pump(50)) {
        if (Clock::now() > end) {
            ended_.timed_out = true;
            ::kill(process_, SIGKILL);
            break;
        }
    }
    int how = 0;
    while (::waitpid(process_, &how, WNOHANG) == 0) {  // its outputs may be closed before it ends
        if (Clock::now() > end) {
            ended_.timed_out = true;
            ::kill(process_, SIGKILL);
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    process_ = -1;
    ended_.status = WIFEXITED(how) ? WEXITSTATUS(how) : 128 + WTERMSIG(how);
    return ended_;
}

std::string skedlark_path() { return SKEDLARK_BINARY; }

Ended run_skedlark(const std::vector<std::string>& arguments, const ProgramOptions& options) {
    std::vector<std::string> command{skedlark_path()};
    command.insert(command.end(), arguments.begin(), arguments.end());
    return Running(command, options).wait();
}

Ended run_shell(const std::string& command, const ProgramOptions& options) {
    ProgramOptions with_path = options;
    with_path.environment["SKEDLARK"] = skedlark_path();
    return Running({"bash", "-c", command}, with_path).wait();
}

std::vector<nlohmann::json> json_lines(const std::string& text) {
    std::vector<nlohmann::json> all;
    std::istringstream lines(text);
    std::string line;
    while (std::getline(lines, line)) {
        all.push_back(nlohmann::json::parse(line));
    }
    return all;
}

std::vector<nlohmann::json> events_of(const std::vector<nlohmann::json>& events,
                                      const std::string& kind) {
    std::vector<nlohmann::json> some;
    for (const auto& event : events) {
        if (event["event"] == kind) {
            some.push_back(event);
        }
    }
    return some;
}

TempFolder::TempFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "skedlark-XXXXXX").string();
    if (::mkdtemp(pattern.data()) == nullptr) {
        throw std::runtime_error("no folder for the test");
    }
    path_ = pattern;
}

TempFolder::~TempFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::string TempFolder::put(const std::string& name, const std::string& content) const {
    std::ofstream(path(name), std::ios::binary) << content;
    return path(name);
}

std::string content_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream content;
    content << file.rdbuf();
    return content.str();
}

}  // namespace skedlark::test
