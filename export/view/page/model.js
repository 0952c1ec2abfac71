// Reads the scene's GLB: what cellwall writes of glTF 2.0 and no more.

// model returns the cell's name, what the file says of itself, and the objects,
// each with its triangles, its feature edges (mm, base), colour and evidence.
export async function model(address) {
  const data = await (await fetch(address)).arrayBuffer();
  const head = new DataView(data);
  const length = head.getUint32(12, true);
  const doc = JSON.parse(new TextDecoder().decode(new Uint8Array(data, 20, length)));
  const bin = 20 + length + 8; // behind the second chunk's header, where there is one
  const root = doc.nodes[doc.scenes[0].nodes[0]];
  const objects = (root.children || []).map((i) => object(doc, doc.nodes[i], data, bin));
  return { name: root.name, about: root.extras, objects };
}

function object(doc, node, data, bin) {
  const place = placer(node.rotation || [0, 0, 0, 1], node.translation || [0, 0, 0]);
  const out = { name: node.name, evidence: node.extras, corners: [], normals: [], edges: [], colour: [0.6, 0.6, 0.6], datum: place([0, 0, 0]) };
  if (node.mesh === undefined) return out;
  for (const p of doc.meshes[node.mesh].primitives) {
    const at = numbers(doc, p.attributes.POSITION, data, bin);
    const points = [];
    for (let i = 0; i < at.length; i += 3) points.push(place([at[i], at[i + 1], at[i + 2]]));
    solid(points, numbers(doc, p.indices, data, bin), out);
    out.colour = doc.materials[p.material].pbrMetallicRoughness.baseColorFactor.slice(0, 3).map((c) => c ** (1 / 2.2));
  }
  return out;
}

// solid adds the triangles of one convex solid, and those of its edges at which
// the surface turns.
function solid(points, index, out) {
  const sides = new Map(); // of each edge, the normals of its faces
  for (let i = 0; i < index.length; i += 3) {
    const t = [index[i], index[i + 1], index[i + 2]];
    const [a, b, c] = t.map((k) => points[k]);
    const n = unit(cross(minus(b, a), minus(c, a)));
    for (const v of [a, b, c]) {
      out.corners.push(...v);
      out.normals.push(...n);
    }
    t.forEach((from, k) => {
      const to = t[(k + 1) % 3];
      const key = from < to ? from + ' ' + to : to + ' ' + from;
      const known = sides.get(key);
      if (!known) sides.set(key, n);
      else if (dot(known, n) < turns) out.edges.push(...points[from], ...points[to]);
    });
  }
}

const turns = Math.cos((15 * Math.PI) / 180); // less is a round surface's facets

function numbers(doc, accessor, data, bin) {
  const a = doc.accessors[accessor];
  const start = bin + (doc.bufferViews[a.bufferView].byteOffset || 0) + (a.byteOffset || 0);
  const kinds = { 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array };
  return new kinds[a.componentType](data, start, a.count * (a.type === 'VEC3' ? 3 : 1));
}

// placer turns and moves a point in metres into mm in base.
function placer([x, y, z, w], t) {
  return (p) => {
    const u = cross([x, y, z], p).map((c) => 2 * c);
    const v = cross([x, y, z], u);
    return p.map((c, i) => 1000 * (c + w * u[i] + v[i] + t[i]));
  };
}

export const minus = (a, b) => a.map((x, i) => x - b[i]);
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const unit = (a) => a.map((x) => x / (Math.hypot(...a) || 1));
