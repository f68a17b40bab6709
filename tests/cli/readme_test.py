"""The commands that the README shows run as they stand there, in order, in an empty folder."""
import re
import shlex

from program import PROJECT, ProgramTest, halfturn, main


def commands():
    blocks = re.findall(r"```sh\n(.*?)```", (PROJECT / "README.md").read_text(), re.S)
    lines = [line for block in blocks for line in block.splitlines() if line.startswith("halfturn ")]
    # Without a subcommand the viewer opens; the window tests do that.
    return [shlex.split(line)[1:] for line in lines if not line.endswith(".json") or line.split()[1] != line.split()[-1]]


class Readme(ProgramTest):
    def test_commands(self):
        # The file that the page shows, under the name that the commands give it.
        athlete = re.search(r"```json\n(.*?)```", (PROJECT / "README.md").read_text(), re.S)
        (self.folder / "ana.json").write_text(athlete.group(1))
        shown = commands()
        self.assertGreater(len(shown), 3)
        for arguments in shown:
            with self.subTest(arguments=arguments):
                result = halfturn(*arguments, cwd=self.folder)
                self.assertIn(result.returncode, (0, 1), result.stderr)


main()
