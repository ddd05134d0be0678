#!/usr/bin/env python3
"""Drives the real window by real key presses, from the start to saved text: a recording, then live.

usage: virtual-audio.sh run -- contact_test.py DESK COMMAND RECORDINGS VIRTUAL_AUDIO [part...]
    DESK, COMMAND: skedlark-desk and skedlark as built; parts: file, live, dead (all where none is named)
"""
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time

DESK, COMMAND, RECORDINGS, AUDIO = sys.argv[1:5]
PARTS = sys.argv[5:] or ["file", "live", "dead"]
EASY = os.path.join(RECORDINGS, "01-call-up-easy.flac")
SENT = "QVA7 DE QXB2 QXB2 = 3 MESSAGES FOR YOU K"  # live, so that nobody waits for long


def check(right, what):
    if not right:
        sys.exit(f"contact: {what}")
    print(f"contact: {what}: yes", flush=True)


def wait_for(what, condition, seconds):
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        found = condition()
        if found:
            return found
        time.sleep(0.05)
    sys.exit(f"contact: waited {seconds} s for {what}")


class Display:
    def __enter__(self):
        read, write = os.pipe()
        self.server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(write), "-screen", "0", "1024x600x24", "-nolisten", "tcp",
             "-noreset"],
            pass_fds=[write], stderr=subprocess.DEVNULL)
        os.close(write)
        with os.fdopen(read) as told:
            os.environ["DISPLAY"] = ":" + told.readline().strip()
        return self

    def __exit__(self, *_):
        self.server.terminate()
        self.server.wait()


class Desk:
    """The program with folders of its own for settings and data."""

    def __init__(self, home, *arguments):
        self.home = home
        environment = dict(os.environ, HOME=home, XDG_CONFIG_HOME=os.path.join(home, "config"),
                           XDG_DATA_HOME=os.path.join(home, "data"), XDG_RUNTIME_DIR=home,
                           QT_QPA_PLATFORM="xcb")
        began = time.monotonic()
        self.program = subprocess.Popen([DESK, *arguments], env=environment)
        self.window = wait_for("the window", self.find, 20)
        self.start_s = time.monotonic() - began
        subprocess.run(["xdotool", "windowfocus", "--sync", self.window], check=True)

    def find(self):
        found = subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "^Skedlark$"],
                               capture_output=True, text=True)
        return found.stdout.split()[-1] if found.stdout.split() else None

    def keys(self, *names):
        subprocess.run(["xdotool", "key", *names], check=True)
        time.sleep(0.2)

    def type(self, text):
        subprocess.run(["xdotool", "type", "--delay", "5", text], check=True)
        time.sleep(0.2)

    def windows(self):
        found = subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "."],
                               capture_output=True, text=True)
        return set(found.stdout.split())

    def files(self, pattern):
        found = []
        for folder, _, names in os.walk(os.path.join(self.home, "data")):
            found += [os.path.join(folder, n) for n in names if re.search(pattern, n)]
        return sorted(found)

    def journal(self):
        text = ""
        for path in self.files(r"journal.*\.txt$"):
            with open(path, encoding="utf-8") as file:
                text += file.read()
        return text

    def save(self, path):
        self.keys("ctrl+s")
        self.keys("ctrl+a")
        self.type(path)
        self.keys("Return")
        wait_for("the saved file", lambda: os.path.exists(path), 10)
        with open(path, encoding="utf-8") as file:
            return file.read()

    def leave(self):
        self.keys("ctrl+q")
        return self.program.wait(timeout=20)


def plain(text):
    """Letters and figures alone: procedure signals and line ends are written in more than one way."""
    return re.sub(r"[^A-Z0-9]", "", text)


def copied_by_command(path):
    done = subprocess.run([COMMAND, "copy", path], capture_output=True, text=True)
    return plain(done.stdout)


def play(path):
    subprocess.run([AUDIO, "play", path], check=True, timeout=120)


def keyed(home):
    """A short message as a sound file, and its letters."""
    path = os.path.join(home, "sent.wav")
    subprocess.run([COMMAND, "key", SENT, "--out", path, "--rate", "48000", "--wpm", "25",
                    "--snr-2500hz", "15"], check=True, capture_output=True)
    return path, plain(SENT)


def from_a_file(home):
    desk = Desk(home, "--page", "copy", "--pace", "0", EASY)
    print(f"contact: the window stood after {desk.start_s:.2f} s")
    wanted = copied_by_command(EASY)
    wait_for("the whole text", lambda: wanted[-12:] in plain(desk.journal()), 60)
    text = desk.save(os.path.join(home, "copied.txt"))
    check(wanted in plain(text), "the saved text is that of the command")
    check(len(desk.windows()) == 1, "no dialog stands in the way")
    check(desk.leave() == 0, "it leaves with status 0")


def live(home):
    desk = Desk(home, "--page", "copy", "--live", "vcable_monitor")
    wait_for("a recording", lambda: desk.files(r"\.flac$"), 20)
    path, once = keyed(home)
    play(path)
    wait_for("the text", lambda: once[-8:] in plain(desk.journal()), 20)
    subprocess.run([AUDIO, "kill"], check=True)
    time.sleep(3.0)
    check(desk.program.poll() is None, "it is there while the sound server is not")
    subprocess.run([AUDIO, "restart"], check=True)
    time.sleep(3.0)
    play(path)
    wait_for("the text once more without a click",
             lambda: plain(desk.journal()).count(once[-8:]) >= 2, 30)
    text = desk.save(os.path.join(home, "copied.txt"))
    check(plain(text).count(once[-8:]) >= 2, "both stand in the saved text")
    check(len(desk.windows()) == 1, "no dialog stands in the way")
    check(desk.leave() == 0, "it leaves with status 0")


def killed(home):
    desk = Desk(home, "--page", "copy", "--live", "vcable_monitor")
    wait_for("a recording", lambda: desk.files(r"\.flac$"), 20)
    path, once = keyed(home)
    play(path)
    wait_for("the text", lambda: once[-8:] in plain(desk.journal()), 20)
    desk.program.send_signal(signal.SIGKILL)
    desk.program.wait()
    check(once[-8:] in plain(desk.journal()), "what was copied outlives a killed desk")
    recording = desk.files(r"\.flac$")[-1]
    check(once[4:20] in copied_by_command(recording), "what was recorded outlives it and can be read")


def main():
    with Display():
        for name, part in (("file", from_a_file), ("live", live), ("dead", killed)):
            if name not in PARTS:
                continue
            home = tempfile.mkdtemp(prefix="contact.")
            try:
                part(home)
            finally:
                shutil.rmtree(home, ignore_errors=True)
    print("contact: as it should be")


if __name__ == "__main__":
    main()
