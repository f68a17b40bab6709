"""Runs the halfturn binary given on the command line; shared by the whole-program tests."""
import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

BINARY = pathlib.Path(sys.argv[1]).resolve()
PROJECT = pathlib.Path(sys.argv[2]).resolve()


def halfturn(*arguments, timeout=120, **options):
    return subprocess.run([BINARY, *map(str, arguments)], capture_output=True, text=True, timeout=timeout, **options)


def ladder(base, to, step=180, *more):
    result = halfturn("ladder", "--base", base, "--to", to, "--step", step, *more, "--json")
    assert result.returncode in (0, 1), result.stderr
    assert result.stderr == "", result.stderr
    return json.loads(result.stdout)["rungs"]


class ProgramTest(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="halfturn-test-")
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def refused(self, code, words, *arguments):
        """The program ends with this code, says these words on standard error and nothing on standard output."""
        result = halfturn(*arguments)
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertIn(words, result.stderr)
        self.assertEqual(result.stdout, "")


def main():
    unittest.main(argv=[sys.argv[0]], verbosity=2)
