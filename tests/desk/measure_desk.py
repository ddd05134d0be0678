#!/usr/bin/env python3
"""Measures the desk as it runs: start of the window, share of one core, memory over many hours.

usage: tests/desk/measure_desk.py DESK COMMAND [start] [load] [memory]     all where none is named
    load: copying a file in real time with the Copy page shown, software rendering, 60 s
    memory: a file of 24 hours as fast as it goes, resident size every hour of it
"""
import os
import re
import subprocess
import sys
import tempfile
import time
import wave

HOURS = 24


class Display:
    def __enter__(self):
        read, write = os.pipe()
        self.server = subprocess.Popen(["Xvfb", "-displayfd", str(write), "-screen", "0", "1024x600x24", "-noreset"],
                                       pass_fds=[write], stderr=subprocess.DEVNULL)
        os.close(write)
        with os.fdopen(read) as told:
            os.environ["DISPLAY"] = ":" + told.readline().strip()

    def __exit__(self, *_):
        self.server.terminate()
        self.server.wait()


def started(desk, home, *arguments):
    environment = dict(os.environ, HOME=home, XDG_CONFIG_HOME=home, XDG_DATA_HOME=home, XDG_RUNTIME_DIR=home,
                       QT_QPA_PLATFORM="xcb")
    began = time.monotonic()
    program = subprocess.Popen([desk, *arguments], env=environment)
    while not subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "^Skedlark$"],
                             capture_output=True, text=True).stdout:
        if program.poll() is not None or time.monotonic() - began > 30.0:
            sys.exit("measure_desk: no window came")
        time.sleep(0.01)
    return program, time.monotonic() - began


def processor_s(program):
    with open(f"/proc/{program.pid}/stat", encoding="ascii") as file:
        fields = file.read().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def resident_mb(program):
    with open(f"/proc/{program.pid}/status", encoding="ascii") as file:
        return int(re.search(r"VmRSS:\s+(\d+)", file.read()).group(1)) / 1024.0


def end(program):
    program.terminate()
    program.wait()


def measure_start(desk, home):
    times = []
    for _ in range(5):
        program, took = started(desk, home)
        times.append(took)
        end(program)
    print(f"start: window after {min(times):.2f} to {max(times):.2f} s (5 starts)", flush=True)


def measure_load(desk, home, scene):
    for page in ("copy", "plan"):
        program, _ = started(desk, home, "--page", page, "--pace", "1", scene)
        time.sleep(10.0)
        before, began = processor_s(program), time.monotonic()
        time.sleep(50.0)
        share = (processor_s(program) - before) / (time.monotonic() - began)
        print(f"load: page {page}: {100.0 * share:.1f} % of one core, {resident_mb(program):.0f} MB", flush=True)
        end(program)


def measure_memory(desk, home, scene):
    # The scene over and over, so that text, picture and audio all grow as they would.
    day = os.path.join(home, "day.wav")
    with wave.open(scene) as one:
        parameters, audio = one.getparams(), one.readframes(one.getnframes())
    seconds = parameters.nframes / parameters.framerate
    with wave.open(day, "wb") as file:
        file.setparams(parameters)
        for _ in range(int(HOURS * 3600.0 / seconds) + 1):
            file.writeframesraw(audio)
    program, _ = started(desk, home, "--page", "copy", "--pace", "0", day)
    began = time.monotonic()
    last = 0.0
    while program.poll() is None:
        time.sleep(30.0)
        # Where it is in the file: what the kernel says it has read.
        with open(f"/proc/{program.pid}/io", encoding="ascii") as file:
            read = int(re.search(r"rchar: (\d+)", file.read()).group(1))
        hours = read / (2.0 * parameters.framerate * 3600.0)
        print(f"memory: {resident_mb(program):.0f} MB after about {hours:.1f} h of audio "
              f"({(time.monotonic() - began) / 60.0:.0f} min)", flush=True)
        if hours >= HOURS - 0.01 or hours == last:
            break
        last = hours
    end(program)


def main():
    desk, command = sys.argv[1:3]
    parts = sys.argv[3:] or ["start", "load", "memory"]
    with Display(), tempfile.TemporaryDirectory() as home:
        os.chmod(home, 0o700)
        scene = os.path.join(home, "scene.wav")
        subprocess.run([command, "key", "QVA7 DE QXB2 = " + "KXQMV BTLWE ZRNHA DUPOJ SGYCF " * 4, "--out", scene,
                        "--rate", "8000", "--snr-2500hz", "3"], check=True, capture_output=True)
        if "start" in parts:
            measure_start(desk, home)
        if "load" in parts:
            measure_load(desk, home, scene)
        if "memory" in parts:
            measure_memory(desk, home, scene)


if __name__ == "__main__":
    main()
