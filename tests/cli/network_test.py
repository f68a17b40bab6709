"""Nothing leaves the machine: every call of the kernel for a socket is looked at, in the commands and in the window."""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
from program import BINARY, ProgramTest, main

REACHES_OUT = re.compile(r"\bAF_(INET6?|PACKET|BLUETOOTH)\b")
TRACED = shutil.which("strace") and subprocess.run(["strace", "-o", os.devnull, "true"], capture_output=True).returncode == 0


@unittest.skipUnless(TRACED, "strace is missing or may not trace here")
class NothingLeaves(ProgramTest):
    def trace(self, *command, codes=(0,)):
        """What the command and all that it starts ask of the network, a line each."""
        log = self.folder / "network.log"
        environment = dict(os.environ, HOME=str(self.folder), XDG_DATA_HOME=str(self.folder / "data"))
        run = subprocess.run(["strace", "-f", "-qq", "-e", "trace=%network", "-o", log, *map(str, command)],
                             capture_output=True, text=True, timeout=240, env=environment)
        self.assertIn(run.returncode, codes, run.stderr)
        return log.read_text(errors="replace")

    def assert_stays(self, *arguments, codes=(0,)):
        asked = self.trace(BINARY, *arguments, codes=codes)
        reaching = [line for line in asked.splitlines() if REACHES_OUT.search(line)]
        self.assertEqual(reaching, [], f"{arguments}")

    def test_the_measure_sees_a_socket(self):
        sends = "import socket; socket.socket(socket.AF_INET, socket.SOCK_DGRAM).connect(('127.0.0.1', 9))"
        self.assertRegex(self.trace(sys.executable, "-c", sends), REACHES_OUT)

    def test_commands(self):
        plan, logbook = self.folder / "plan.json", self.folder / "club.db"
        self.assert_stays("ladder", "--base", "back flip", "--to", 360, "--step", 180, "-o", plan)
        self.assert_stays("athlete", "add", "Ana", "--plan", plan, "--logbook", logbook)
        self.assert_stays("attempt", "add", "Ana", "in hand", "--rung", 1, "--on-plan", "--logbook", logbook)
        self.assert_stays("progress", "Ana", "--logbook", logbook)
        self.assert_stays("spread", plan, "--rung", 1, "--flights", 200, codes=(0, 1))
        for name in ("sheet.pdf", "sheet.svg"):
            self.assert_stays("sheet", plan, "-o", self.folder / name)
        self.assert_stays("draw", plan, "--rung", 1, "--time", 0.3, "--size", "320x200", "-o", self.folder / "picture.png")
        self.assert_stays("film", plan, "--rung", 1, "--size", "320x240", "--fps", 10, "-o", self.folder / "clip.mp4")
        self.assert_stays("export", plan, "--rung", 1, "-o", self.folder / "flight.glb")
        self.assert_stays("share", plan, "-o", self.folder / "page.html")

    @unittest.skipUnless(shutil.which("xvfb-run"), "needs xvfb-run")
    def test_the_window(self):
        script = ('"$0" & program=$!; for i in $(seq 60); do sleep 0.5; '
                  'xdotool search --name Halfturn >/dev/null 2>&1 && break; done; '
                  'xdotool search --name Halfturn >/dev/null || exit 9; sleep 3; kill $program; wait $program; exit 0')
        asked = self.trace("xvfb-run", "-a", "-s", "-screen 0 900x600x24 -nolisten tcp", "bash", "-c", script, BINARY)
        program = {line.split()[0] for line in asked.splitlines() if "AF_UNIX" in line}
        self.assertTrue(program, "the window talks to its display by a local socket")
        self.assertEqual([line for line in asked.splitlines() if REACHES_OUT.search(line) and "connect(" in line], [])


if __name__ == "__main__":
    main()
