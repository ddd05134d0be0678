#!/usr/bin/python3
"""Writes pchip.csv beside this file: SciPy's PCHIP through two sets of points.

rpn: monotone data of radiochemistry as printed by Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980), table 1
(from memory; the check is SciPy's curve through the same points). dial: a made-up dial that falls.
"""
import os

import numpy
from scipy.interpolate import PchipInterpolator

SETS = {
    "rpn": ([7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20],
            [0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.943740, 0.998636, 0.999919, 0.999994]),
    "dial": ([2, 11, 25, 37.5, 52, 70, 96], [6.11, 5.42, 4.71, 4.25, 3.81, 3.42, 3.02]),
}
with open(os.path.join(os.path.dirname(__file__), "pchip.csv"), "w", encoding="utf-8") as file:
    file.write("# SciPy PchipInterpolator, made by make_pchip.py\nset,x,value,slope\n")
    for name, (x, y) in SETS.items():
        curve = PchipInterpolator(x, y)
        for at in numpy.linspace(x[0], x[-1], 61):
            file.write(f"{name},{at:.17g},{curve(at):.17g},{curve.derivative()(at):.17g}\n")
