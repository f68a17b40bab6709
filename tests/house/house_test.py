"""Layers use only what lies below them, sources are ASCII, and the top level holds what it may hold."""
import pathlib
import re
import sys
import unittest

PROJECT = pathlib.Path(sys.argv[1]).resolve()

# Layer: the layers it may include besides itself. The order is the order of building.
BELOW = {
    "base": set(),
    "rotation": {"base"},
    "body": {"rotation"},
    "flight": {"body"},
    "measure": {"flight"},
    "skill": {"rotation"},
    "ladder": {"skill", "flight"},
    "logbook": {"ladder"},
    "format": {"ladder", "measure"},
    "scene": {"ladder"},
    "handout": {"scene", "format"},
    "session": {"scene", "format"},
    "stage": {"scene"},
    "browser": {"session", "stage"},
    "panels": {"session", "scene"},
    "app": {"handout", "session", "stage", "panels", "format", "scene", "ladder", "logbook", "measure"},
}
# Outside headers and the only layers that may see them.
OUTSIDE = {
    r"imgui|backends/imgui": {"panels", "app"},
    r"GLFW/": {"app"},
    r"glad/|GL/|GLES3/|EGL/": {"stage", "app"},
    r"emscripten": {"browser"},
    r"nlohmann/": {"format", "session", "app"},
    r"CLI/": {"app"},
    r"ft2build|freetype": {"stage", "panels", "handout", "app"},
    r"cairo": {"handout"},
    r"Eigen|unsupported/Eigen": {"body", "flight"},
    r"sqlite3": {"logbook"},
    r"png\.h": {"handout"},
}
TOP_LEVEL = {"CMakeLists.txt", "CMakePresets.json", "README.md", "DEVELOPERS.md", "LICENSE", "src", "shaders", "assets",
             "tests", "third_party"}


def everything_below(layer):
    found = set()
    for lower in BELOW[layer]:
        found |= {lower} | everything_below(lower)
    return found


def sources(folder):
    return [f for f in sorted((PROJECT / folder).rglob("*")) if f.suffix in (".cpp", ".hpp")]


class House(unittest.TestCase):
    def test_layers(self):
        for layer in BELOW:
            allowed = everything_below(layer) | {layer}
            for file in sources(f"src/{layer}"):
                for line, text in enumerate(file.read_text().splitlines(), 1):
                    include = re.match(r'\s*#\s*include\s*[<"]([^>"]+)[>"]', text)
                    if not include:
                        continue
                    header = include.group(1)
                    place = f"{file.relative_to(PROJECT)}:{line}: {header}"
                    first = header.split("/")[0]
                    if first in BELOW and "/" in header:
                        self.assertIn(first, allowed, place)
                    for pattern, users in OUTSIDE.items():
                        if re.match(pattern, header):
                            self.assertIn(layer, users, place)

    def test_every_folder_is_a_known_layer(self):
        folders = {f.name for f in (PROJECT / "src").iterdir() if f.is_dir()}
        self.assertEqual(folders, set(BELOW))

    def test_sources_are_ascii(self):
        for file in sources("src") + sources("tests"):
            self.assertTrue(file.read_bytes().isascii(), file)

    def test_top_level(self):
        visible = {f.name for f in PROJECT.iterdir() if not f.name.startswith(".")}
        self.assertLessEqual(visible - {"build"}, TOP_LEVEL)


unittest.main(argv=[sys.argv[0]], verbosity=2)
