#!/usr/bin/env python3
"""Start to first frame over a bare OpenGL context of the same kind, with a warm shader cache: medians of 10.

    xvfb-run -a -s "-screen 0 1280x800x24" tests/benchmark/start_time.py \\
        .build/release/bin/halfturn .build/bench/bin/bare_context

The target of both is 250 ms. The picture of `draw` is also compressed and written, which takes its share.
"""
import resource
import statistics
import subprocess
import sys
import tempfile
import time

RUNS = 10


def once(command):
    """Wall and processor time of a command, s."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def median_ms(command):
    once(command)
    runs = [once(command) for _ in range(RUNS)]
    return [1000 * statistics.median(run[k] for run in runs) for k in (0, 1)]


def main():
    halfturn, bare = sys.argv[1:]
    with tempfile.TemporaryDirectory() as place:
        plan, picture = place + "/plan.json", place + "/picture.png"
        once([halfturn, "ladder", "--demo", "-o", plan])
        draw = [halfturn, "draw", plan, "--rung", "2", "--time", "0.4", "--camera", "side", "--size", "1280x800",
                "-o", picture]
        for name, command, kind in [("window", [halfturn, "--demo", "--size", "1280x800", "--frames", "1"], "window"),
                                    ("draw", draw, "surfaceless")]:
            ours, theirs = median_ms(command), median_ms([bare, kind])
            print(f"{name}: {ours[0]:.0f} ms, bare {kind} context {theirs[0]:.0f} ms, over it {ours[0] - theirs[0]:.0f} ms "
                  f"(processor {ours[1]:.0f} and {theirs[1]:.0f} ms)")


if __name__ == "__main__":
    main()
