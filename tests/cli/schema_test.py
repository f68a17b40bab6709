"""Every JSON file of the project against its published schema, by an independent validator (python3-jsonschema)."""
import json
import random

import jsonschema

from fly_random_test import random_body, random_motion
from fly_test import BODY, MOTION, changed
from program import PROJECT, ProgramTest, halfturn, main


def schema(name):
    return json.loads((PROJECT / "assets" / "schema" / f"halfturn-{name}.schema.json").read_text())


def check(document, name):
    found = schema(name)
    jsonschema.Draft202012Validator.check_schema(found)
    jsonschema.Draft202012Validator(found).validate(document)


class Schemas(ProgramTest):
    def test_assets(self):
        assets = PROJECT / "assets"
        for file in sorted(assets.rglob("*.json")):
            document = json.loads(file.read_text())
            if "format" in document:
                with self.subTest(file=file.name):
                    check(document, document["format"].removeprefix("halfturn-"))

    def test_written_plan(self):
        path = self.folder / "plan.json"
        halfturn("ladder", "--base", "cheat kick", "--to", 900, "--step", "180,takeoff=both feet,360", "--mark", 30, "-o", path)
        check(json.loads(path.read_text()), "plan")

    def test_flights_in_a_page(self):
        page = self.folder / "page.html"
        made = halfturn("share", "--demo", "--simulated", "-o", page)
        self.assertEqual(made.returncode, 0, made.stderr)
        text = page.read_text()
        if 'id="flights">' not in text:
            self.skipTest("this build has no viewer for browsers, and only that reads flights")
        flights = json.loads(text.split('id="flights">')[1].split("</script>")[0])
        check(flights, "flights")
        self.assertTrue(all("flight" in rung for rung in flights["rungs"]))
        flight = flights["rungs"][1]["flight"]
        for change in ({"samples": 1}, {"orientation": []}, {"arm_moves": [{"time_s": 0}]}, {"mass_kg": 70}, {"joints": {"wing": {}}}):
            with self.subTest(change=change):
                with self.assertRaises(jsonschema.ValidationError):
                    check(flights | {"rungs": [{"flight": flight | change}]}, "flights")

    def test_schema_refuses_what_the_program_refuses(self):
        good = {"format": "halfturn-plan", "version": 1, "base": "back flip", "rungs": [{}, {"step_deg": 180}]}
        check(good, "plan")
        for change in ({"version": 2}, {"sied": "left"}, {"side": "up"}, {"rungs": [{}, {"step_deg": 400}]}, {"rungs": [{}, {}]}, {"rungs": []}):
            with self.subTest(change=change):
                with self.assertRaises(jsonschema.ValidationError):
                    check(good | change, "plan")
                path = self.folder / "plan.json"
                path.write_text(json.dumps(good | change))
                self.assertEqual(halfturn("ladder", path).returncode, 2)

    def test_bodies_and_motions(self):
        check(BODY, "body")
        check(MOTION, "motion")
        rate = {k: v for k, v in MOTION.items() if k != "angular_momentum_world_kgm2_s"}
        check(rate | {"angular_velocity_body_deg_s": [0, 0, 1]}, "motion")
        source = random.Random(2)
        for count in (1, 4, 9):
            body = random_body(source, count, 0)
            check(body, "body")
            check(random_motion(source, body, source.choice(["some", "velocity"])), "motion")

    def test_schema_refuses_bodies_and_motions_that_the_program_refuses(self):
        arm = ["segments", 1]
        keys = ["joints_deg", "arm", "x"]
        cases = [("body", path, value) for path, value in (
            (["version"], 2), (["segments"], []), (["reference_segment"], KeyError), (["colour"], "red"),
            (arm + ["mass_kg"], -1), (arm + ["axes"], ["q"]), (arm + ["parent"], None), (arm + ["com_m"], [0, 0]),
            (arm + ["inertia_about_com_kgm2"], [[1, 0, 0]]), (["segments", 0, "axes"], ["x"]),
            (["segments", 0, "parent"], "arm"), (["segments", 0, "joint_centre_in_parent_m"], [0, 1, 0]))]
        cases += [("motion", path, value) for path, value in (
            (["duration_s"], 0), (["output_hz"], -1), (["takeoff", "tilt_deg"], KeyError), (["speed"], 3),
            (["angular_momentum_world_kgm2_s"], KeyError), (["angular_velocity_body_deg_s"], [0, 0, 1]),
            (keys, []), (keys, [[0.1]]), (keys, [[0.1, 2, 3]]), (["joints_deg", "arm", "w"], [[0, 1]]))]
        for name, path, value in cases:
            with self.subTest(name=name, path=path):
                files = {"body": BODY, "motion": MOTION}
                files[name] = changed(files[name], path, value)
                with self.assertRaises(jsonschema.ValidationError):
                    check(files[name], name)
                for kind, document in files.items():
                    (self.folder / f"{kind}.json").write_text(json.dumps(document))
                result = halfturn("fly", "--body", self.folder / "body.json", "--motion", self.folder / "motion.json", "--csv")
                self.assertEqual(result.returncode, 2, result.stderr)


if __name__ == "__main__":
    main()
