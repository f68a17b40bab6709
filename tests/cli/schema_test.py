"""Every JSON file of the project against its published schema, by an independent validator (python3-jsonschema)."""
import json

import jsonschema

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


main()
