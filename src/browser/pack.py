"""Puts the viewer into one page: assets/page/page.html with its style, script, fonts and program, and the places that
`halfturn share` fills with a plan left as they are.

pack.py OUT ASSETS FONTS PROGRAM.js PYFTSUBSET"""
import base64
import gzip
import hashlib
import pathlib
import re
import subprocess
import sys
import tempfile

out, assets, fonts, glue, cutter = (pathlib.Path(a) for a in sys.argv[1:])
# Latin with its accents, and the signs of our own words. Letters of names that are missing come from the device.
LETTERS = [*range(0x20, 0x7F), *range(0xA0, 0x180), 0x2013, 0x2014, *range(0x2018, 0x201F), 0x2022, 0x2026,
           0x2190, 0x2191, 0x2192, 0x2193, 0x2212, 0x2260]


def font_face(weight, name):
    with tempfile.TemporaryDirectory() as folder:
        cut = pathlib.Path(folder) / "cut.woff2"
        subprocess.run([cutter, fonts / f"Inter-{name}.otf", f"--output-file={cut}", "--flavor=woff2", "--layout-features=kern,tnum",
                        "--unicodes=" + ",".join(f"{code:x}" for code in LETTERS)], check=True)
        link = base64.b64encode(cut.read_bytes()).decode()
    return f'@font-face {{ font-family: HalfturnInter; font-weight: {weight}; src: url("data:font/woff2;base64,{link}"); }}'


def script(text):
    """Inside a script element nothing may end it or begin a comment."""
    return text.replace("</", "<\\/").replace("<!--", "<\\!--")


# The page's script in the order in which it is read: one scope, so that the page has no names but ours.
SCRIPTS = ["tools", "drawing", "words", "arc", "fingers", "tabs", "shelf", "log", "more", "start"]


def page_script():
    return '"use strict";\n(() => {\n' + "".join((assets / f"{name}.js").read_text() for name in SCRIPTS) + "})();\n"


parts = {
    "FONTS": "\n".join(font_face(*face) for face in ((500, "Medium"), (700, "Bold"), (800, "ExtraBold"))),
    "STYLE": (assets / "page.css").read_text(),
    # The same bytes for the same program: no time of packing in the head.
    "CODE": base64.b64encode(gzip.compress(glue.with_suffix(".wasm").read_bytes(), 9, mtime=0)).decode(),
    "GLUE": script(glue.read_text()),
    "SCRIPT": script(page_script()),
}
page = re.sub("@([A-Z]+)@", lambda place: parts.get(place[1], place[0]), (assets / "page.html").read_text())
# Only our own two scripts may run, whatever else gets into the page.
hashes = [base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in re.findall("<script>(.*?)</script>", page, re.S)]
page = page.replace("@SCRIPTS@", " ".join(f"'sha256-{hash}'" for hash in hashes))
out.write_text(page)
