"""Writes TARGET_embedded.hpp/.cpp into OUT: every FILE as a std::string_view in halfturn::embedded."""
import pathlib
import re
import sys

out, target, files = pathlib.Path(sys.argv[1]), sys.argv[2], [pathlib.Path(f) for f in sys.argv[3:]]
out.mkdir(parents=True, exist_ok=True)
names = [re.sub(r"\W", "_", f.name) for f in files]
if len(set(names)) != len(names):
    sys.exit(f"embed.py: two files for {target} have the same name: {names}")

header = ["#pragma once", "#include <string_view>", "namespace halfturn::embedded {"]
header += [f"extern const std::string_view {name};" for name in names]
header += ["}", ""]
(out / f"{target}_embedded.hpp").write_text("\n".join(header))

with open(out / f"{target}_embedded.cpp", "w") as source:
    source.write(f'#include "{target}_embedded.hpp"\n')
    for name, file in zip(names, files):
        data = file.read_bytes()
        source.write(f"namespace {{\nalignas(16) const unsigned char {name}_bytes[] = {{\n")
        for start in range(0, len(data), 32):
            source.write(",".join(str(byte) for byte in data[start : start + 32]) + ",\n")
        source.write("0};\n}\n")
        source.write(
            f"const std::string_view halfturn::embedded::{name}"
            f"{{static_cast<const char*>(static_cast<const void*>({name}_bytes)), {len(data)}}};\n"
        )
