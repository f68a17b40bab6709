"""The 3D file opened by three.js (Debian's libjs-three) in headless Chromium: its clock, its figure, its picture."""
import base64
import math
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "cli"))
from chromium import Browser  # noqa: E402
from program import ProgramTest, halfturn, main  # noqa: E402

THREE = pathlib.Path("/usr/share/javascript/three")
SIZE = (480, 360)
PAGE = """<!DOCTYPE html><title>three</title><style>body{{margin:0}}</style><body>
<script src="{three}/three.js"></script><script src="{three}/examples/js/loaders/GLTFLoader.js"></script>
<script>
const bytes = Uint8Array.from(atob("{data}"), c => c.charCodeAt(0));
new THREE.GLTFLoader().parse(bytes.buffer, "", model => {{
  const mixer = new THREE.AnimationMixer(model.scene);
  for (const clip of model.animations) {{
    const action = mixer.clipAction(clip);
    action.setLoop(THREE.LoopOnce);
    action.clampWhenFinished = true;
    action.play();
  }}
  const scene = new THREE.Scene();
  scene.background = new THREE.Color(1, 0, 1);
  scene.add(model.scene, new THREE.HemisphereLight(0xffffff, 0x888888, 1));
  const camera = new THREE.PerspectiveCamera(45, {width} / {height}, 0.1, 50);
  camera.position.set(2.4, 1.6, -3.4);
  camera.lookAt(0, 1.1, 0);
  const renderer = new THREE.WebGLRenderer({{preserveDrawingBuffer: true}});
  renderer.setSize({width}, {height});
  document.body.append(renderer.domElement);
  let at = 0;
  window.model = {{
    duration: Math.max(...model.animations.map(clip => clip.duration)),
    pelvis(t) {{
      mixer.update(t - at);
      at = t;
      model.scene.updateMatrixWorld(true);
      const q = model.scene.getObjectByName("pelvis").getWorldQuaternion(new THREE.Quaternion());
      renderer.render(scene, camera);
      return [q.w, q.x, q.y, q.z];
    }},
  }};
}}, problem => {{ document.title = "problem: " + problem; }});
</script>"""


class Model(ProgramTest):
    @classmethod
    def setUpClass(cls):
        cls.browser = Browser("--allow-file-access-from-files")

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()

    def export(self, name, *more):
        path = self.folder / name
        made = halfturn("export", "--demo", "-o", path, *more)
        self.assertEqual(made.returncode, 0, made.stderr)
        return path

    def test_three_js_shows_the_flight(self):
        for rung in (1, 4):
            data = base64.b64encode(self.export("flight.glb", "--rung", rung).read_bytes()).decode()
            page = self.folder / "three.html"
            page.write_text(PAGE.format(three=THREE.as_uri(), data=data, width=SIZE[0], height=SIZE[1]))
            self.browser.size(*SIZE)
            self.browser.open(page.as_uri(), "window.model || document.title !== 'three'")
            self.assertEqual(self.browser.value("document.title"), "three")
            lines = self.export("flight.csv", "--rung", rung, "--hz", 10).read_text().splitlines()[1:]
            rows = [[float(cell) for cell in line.split(",")] for line in lines]
            self.assertAlmostEqual(self.browser.value("model.duration"), rows[-1][0], places=4)
            pictures = set()
            for row in rows[:-1]:
                q = self.browser.value(f"model.pelvis({row[0]})")
                cosine = abs(sum(a * b for a, b in zip(q, row[1:5])))
                self.assertLess(2 * math.degrees(math.acos(min(1.0, cosine))), 0.25, (rung, row[0]))
                width, height, pixels, png = self.browser.picture()
                pictures.add(png)
            # Something stands before the ground that nothing of it has, and it moves.
            shown = sum(row[i:i + 3] != b"\xff\x00\xff" for row in pixels for i in range(0, len(row), 3))
            self.assertGreater(shown, 0.05 * width * height)
            self.assertGreater(len(pictures), len(rows) / 2)


if __name__ == "__main__":
    main()
