#!/usr/bin/env python3
"""Time and greatest memory of `halfturn measure` on records of ten minutes at 1 kHz: median of 5 runs each.

    tests/benchmark/measure_time.py .build/release/bin/halfturn

The target is 1 s and 100 MB.
"""
import math
import os
import statistics
import sys
import tempfile
import time

ROWS = 600_000
RUNS = 5
GRAVITY = 9.80665
OPTIONS = ["--rest", "up", "--flip-toward", "back", "--axes", "forward=x,up=y", "--json"]


def blend(s):
    s = min(max(s, 0), 1)
    return s * s * s * (10 - 15 * s + 6 * s * s)


def rows():
    """A man who stands and sways for ten minutes and turns one back flip of 0.8 s in the middle."""
    for i in range(ROWS):
        t = i / 1000
        u = (t - 300) / 0.8
        flip = 2 * math.pi * blend(u) + 0.01 * math.sin(0.7 * t)
        rate = (2 * math.pi * 30 * u * u * (1 - u) * (1 - u) / 0.8 if 0 < u < 1 else 0) + 0.007 * math.cos(0.7 * t)
        force = 0 if 0 < u < 1 else GRAVITY
        yield t, flip, rate, force


def write(place, gyroscope):
    with open(place, "w") as file:
        file.write("time_s," + ("gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s" if gyroscope else "qw,qx,qy,qz") +
                   ",acc_x,acc_y,acc_z\n")
        for t, flip, rate, force in rows():
            turn = f"0,0,{rate:.6f}" if gyroscope else f"{math.cos(flip / 2):.6f},0,0,{math.sin(flip / 2):.6f}"
            file.write(f"{t:.3f},{turn},{force * math.sin(flip):.5f},{force * math.cos(flip):.5f},{0.001 * (i_noise(t)):.5f}\n")


def i_noise(t):
    return math.sin(997 * t) * 17


def run(binary, place):
    """Wall and processor time, s, and greatest memory, MB."""
    start = time.perf_counter()
    child = os.fork()
    if child == 0:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.execv(binary, [binary, "measure", place, *OPTIONS])
    _, status, usage = os.wait4(child, 0)
    assert status == 0, "halfturn measure failed"
    return time.perf_counter() - start, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def main():
    binary = sys.argv[1]
    with tempfile.TemporaryDirectory() as folder:
        for name, gyroscope in [("quaternion and accelerometer", False), ("gyroscope and accelerometer", True)]:
            place = folder + "/record.csv"
            write(place, gyroscope)
            wall, processor, memory = (statistics.median(v) for v in zip(*(run(binary, place) for _ in range(RUNS))))
            print(f"{name}: {wall:.2f} s (processor {processor:.2f} s), {memory:.0f} MB, "
                  f"file {os.path.getsize(place) / 1e6:.0f} MB")


if __name__ == "__main__":
    main()
