// Validates a GLB file with Khronos' validator, loads it and the OBJ file with
// three's loaders, and prints what both hold: per name the box round it and the
// volume, in metres with Y up for the GLB, in the file's own units for the OBJ.
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

const [, , modules, glbPath, objPath] = process.argv;
const require = createRequire(modules + '/');
const load = (path) => import(pathToFileURL(modules + '/three/' + path));
const THREE = await load('build/three.module.js');
const { GLTFLoader } = await load('examples/jsm/loaders/GLTFLoader.js');
const { OBJLoader } = await load('examples/jsm/loaders/OBJLoader.js');
globalThis.self = globalThis; // the loader looks for a browser's window

const bytes = readFileSync(glbPath);
const report = await require('gltf-validator').validateBytes(new Uint8Array(bytes));

function measure(object) {
  const box = new THREE.Box3().makeEmpty();
  let volume = 0;
  object.updateWorldMatrix(true, true);
  object.traverse((mesh) => {
    if (!mesh.isMesh) return;
    const g = mesh.geometry.index ? mesh.geometry.toNonIndexed() : mesh.geometry;
    const p = g.attributes.position;
    const at = (i) => new THREE.Vector3().fromBufferAttribute(p, i).applyMatrix4(mesh.matrixWorld);
    const o = at(0);
    for (let i = 0; i < p.count; i += 3) {
      const [a, b, c] = [at(i), at(i + 1), at(i + 2)];
      [a, b, c].forEach((v) => box.expandByPoint(v));
      volume += a.sub(o).dot(b.sub(o).cross(c.sub(o))) / 6;
    }
  });
  return { name: object.name, extras: object.userData, min: box.min.toArray(), max: box.max.toArray(), volume };
}

const gltf = await new GLTFLoader().parseAsync(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length), '');
const root = gltf.scene.children[0];
const nodes = gltf.parser.json.nodes[0].children.map((i) => gltf.parser.json.nodes[i].name);
console.log(JSON.stringify({
  issues: report.issues,
  nodes, // as the file spells them: three changes names
  extras: root.userData,
  glb: root.children.map(measure),
  obj: new OBJLoader().parse(readFileSync(objPath, 'utf8')).children.map(measure),
}));
