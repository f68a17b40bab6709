// By hand, beside tests/browser/model_test.py: checks 3D files with the Khronos validator and opens them with three.js, both from npm. It needs the network once:
//   cd SOME_EMPTY_FOLDER && npm install gltf-validator three
//   NODE_PATH=SOME_EMPTY_FOLDER/node_modules node tests/cli/validate_glb.js FILE.glb ...
// Ends with 1 when the validator has an error or a warning, or three.js finds no animated figure.
"use strict";
const fs = require("fs");
const path = require("path");
const { pathToFileURL } = require("url");
const validator = require("gltf-validator");

async function main() {
  globalThis.self = globalThis;
  const loader = path.join(path.dirname(path.dirname(require.resolve("three"))), "examples/jsm/loaders/GLTFLoader.js");
  const { GLTFLoader } = await import(pathToFileURL(loader).href);
  const { AnimationMixer } = await import(pathToFileURL(path.join(path.dirname(require.resolve("three")), "three.module.js")).href);
  let bad = 0;
  for (const file of process.argv.slice(2)) {
    const bytes = new Uint8Array(fs.readFileSync(file));
    const report = await validator.validateBytes(bytes);
    for (const message of report.issues.messages.slice(0, 10)) console.log(file, message.code, message.pointer, message.message);
    const model = await new Promise((resolve, reject) => new GLTFLoader().parse(bytes.buffer, "", resolve, reject));
    const pelvis = model.scene.getObjectByName("pelvis");
    const mixer = new AnimationMixer(model.scene);
    mixer.clipAction(model.animations[0]).play();
    const before = pelvis.quaternion.clone();
    mixer.setTime(model.animations[0].duration / 2);
    const turned = before.angleTo(pelvis.quaternion) * 180 / Math.PI;
    console.log(`${file}: ${report.issues.numErrors} errors, ${report.issues.numWarnings} warnings; three.js: ` +
      `${model.animations[0].tracks.length} tracks, half-way the pelvis has turned ${turned.toFixed(1)} degrees`);
    if (report.issues.numErrors + report.issues.numWarnings > 0 || !(turned > 1)) bad = 1;
  }
  process.exit(bad);
}
main().catch((error) => { console.error(error); process.exit(1); });
