#!/usr/bin/env python3
"""Makes welch.csv: scipy.signal.welch of uniform noise from a fixed linear congruential generator
(Numerical Recipes constants) and a 700 Hz tone, for stft_test.cpp. Run it in this folder."""
import math

import numpy
import scipy.signal

state = 12345
audio = []
for n in range(16384):
    state = (state * 1664525 + 1013904223) % 2**32
    tone = 0.25 * math.cos(2.0 * math.pi * 700.0 * n / 8000.0)
    audio.append(((state >> 16) - 32768.0) / 65536.0 + tone)
frequency, density = scipy.signal.welch(
    numpy.array(audio), fs=8000.0, window="hann", nperseg=512, noverlap=256, detrend=False,
    scaling="density")
with open("welch.csv", "w", encoding="ascii") as out:
    out.write("hz,density\n")
    for hz, value in zip(frequency, density):
        out.write(f"{hz:.6f},{value:.12e}\n")
