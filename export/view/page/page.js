// The page: draws the scene, lists its objects, and says of what is picked where
// it is and what it rests on.
import { model, minus, dot, cross } from './model.js';
import { Camera } from './camera.js';

const find = (id) => document.getElementById(id);
const canvas = find('scene');
const gl = canvas.getContext('webgl', { antialias: true });
const scene = await model('scene.glb');
const drawn = scene.objects.filter((o) => o.corners.length > 0);
const bounds = [0, 1, 2].map((k) => drawn.reduce((b, o) => {
  for (let i = k; i < o.corners.length; i += 3) b = [Math.min(b[0], o.corners[i]), Math.max(b[1], o.corners[i])];
  return b;
}, [0, 0]));
const camera = new Camera(bounds.map((b) => b[0]), bounds.map((b) => b[1]));
let cut = bounds[2][1];
let picked = null;

const program = link(
  `attribute vec3 at, normal; uniform mat4 view; varying vec3 n; varying float z;
   void main() { gl_Position = view * vec4(at, 1.0); n = normal; z = at.z; }`,
  `precision highp float; uniform vec3 colour, toward; uniform float cut, flat_; varying vec3 n; varying float z;
   void main() { if (z > cut) discard;
     gl_FragColor = vec4(colour * (flat_ > 0.5 ? 1.0 : 0.45 + 0.55 * abs(dot(normalize(n), toward))), 1.0); }`);
const uniform = (name) => gl.getUniformLocation(program, name);
const attribute = { at: gl.getAttribLocation(program, 'at'), normal: gl.getAttribLocation(program, 'normal') };

function link(vertex, fragment) {
  const p = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const s = gl.createShader(kind);
    gl.shaderSource(s, text);
    gl.compileShader(s);
    gl.attachShader(p, s);
  }
  gl.linkProgram(p);
  return p;
}

function buffer(numbers) {
  const b = gl.createBuffer();
  gl.bindBuffer(gl.ARRAY_BUFFER, b);
  gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(numbers), gl.STATIC_DRAW);
  return { b, count: numbers.length / 3 };
}

for (const o of drawn) Object.assign(o, { shown: true, at: buffer(o.corners), facing: buffer(o.normals), lines: buffer(o.edges) });
const axes = [[0.84, 0.37, 0], [0, 0.62, 0.45], [0, 0.45, 0.7]].map((colour, k) => ({ colour, lines: buffer([0, 0, 0, ...[0, 1, 2].map((i) => (i === k ? 500 : 0))]) }));

function draw() {
  const ratio = window.devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  [canvas.width, canvas.height] = [width * ratio, height * ratio];
  gl.viewport(0, 0, canvas.width, canvas.height);
  gl.clearColor(1, 1, 1, 1);
  gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
  gl.enable(gl.DEPTH_TEST);
  gl.enable(gl.POLYGON_OFFSET_FILL); // so that edges win over their own faces
  gl.polygonOffset(1, 1);
  gl.useProgram(program);
  gl.uniformMatrix4fv(uniform('view'), false, camera.matrix(width, height));
  gl.uniform3fv(uniform('toward'), camera.axes().toward);
  gl.uniform1f(uniform('cut'), cut);
  for (const o of drawn.filter((o) => o.shown)) {
    put(o.at, o.facing, o === picked ? [0, 0.45, 0.7] : o.colour, gl.TRIANGLES, 0);
    put(o.lines, null, [0.1, 0.1, 0.1], gl.LINES, 1);
  }
  gl.disable(gl.DEPTH_TEST); // the base's axes are seen through everything
  gl.uniform1f(uniform('cut'), Infinity);
  for (const a of axes) put(a.lines, null, a.colour, gl.LINES, 1);
  scaleBar();
}

function put(at, facing, colour, mode, flat) {
  gl.bindBuffer(gl.ARRAY_BUFFER, at.b);
  gl.enableVertexAttribArray(attribute.at);
  gl.vertexAttribPointer(attribute.at, 3, gl.FLOAT, false, 0, 0);
  gl.disableVertexAttribArray(attribute.normal);
  if (facing) {
    gl.bindBuffer(gl.ARRAY_BUFFER, facing.b);
    gl.enableVertexAttribArray(attribute.normal);
    gl.vertexAttribPointer(attribute.normal, 3, gl.FLOAT, false, 0, 0);
  }
  gl.uniform3fv(uniform('colour'), colour);
  gl.uniform1f(uniform('flat_'), flat);
  gl.drawArrays(mode, 0, at.count);
}

// scaleBar shows a round length of about a hundred pixels.
function scaleBar() {
  const want = 130 * camera.perPixel;
  const decade = 10 ** Math.floor(Math.log10(want));
  const length = decade * [5, 2, 1].find((k) => k * decade <= want);
  find('scale').style.width = `${length / camera.perPixel}px`;
  find('scale').firstElementChild.textContent = length >= 1000 ? `${length / 1000} m` : `${length} mm`;
}

// hit is the nearest point of a shown object under a pixel (Moeller and Trumbore,
// J. Graphics Tools 2 (1997) 21).
function hit(px, py) {
  const { from, along } = camera.ray(px, py, canvas.clientWidth, canvas.clientHeight);
  let best = null;
  for (const o of drawn.filter((o) => o.shown)) {
    for (let i = 0; i < o.corners.length; i += 9) {
      const [a, b, c] = [0, 3, 6].map((k) => o.corners.slice(i + k, i + k + 3));
      const [e, f, s] = [minus(b, a), minus(c, a), minus(from, a)];
      const p = cross(along, f);
      const det = dot(e, p);
      const q = cross(s, e);
      const [u, v, t] = [dot(s, p) / det, dot(along, q) / det, dot(f, q) / det];
      if (!(u >= 0 && v >= 0 && u + v <= 1) || (best && t >= best.t)) continue;
      const at = from.map((x, k) => x + t * along[k]);
      if (at[2] <= cut) best = { o, t, at };
    }
  }
  return best;
}

function pick(o, at) {
  picked = o;
  const rows = [];
  const mm = (v) => v.map((x) => x.toFixed(1)).join(', ');
  if (o) {
    const e = o.evidence;
    rows.push(['object', `${o.name} (${e.kind})`]);
    if (e.inside) rows.push(['inside', e.inside]);
    if (e.located) rows.push(['datum, mm', mm(o.datum)], ['± (k = 2), mm', mm(e.sigma_xyz_mm.map((s) => 2 * s))]);
    else rows.push(['datum', 'none: it holds what no object explains']);
    for (const [name, m] of Object.entries(e.measures || {})) rows.push([name.replace('_mm', '').replaceAll('_', ' '), `${m.value.toFixed(1)} ± ${(2 * m.sigma).toFixed(1)} mm`]);
    if (e.claims) rows.push(['told, not measured', e.claims.join(', ')]);
    rows.push(['margin, mm', e.margin_mm], ['seen in', e.scans.join(', ') || '—']);
  }
  if (at) rows.push(['point, mm', mm(at)]);
  find('picked').replaceChildren(...rows.flatMap(([k, v]) => [element('dt', k), element('dd', v)]));
  for (const o of drawn) o.button.classList.toggle('on', o === picked);
  draw();
}

function element(tag, text) {
  const e = document.createElement(tag);
  e.textContent = text;
  return e;
}

// The panel.
document.title = find('cell').textContent = scene.name;
find('note').textContent = `${scene.about.note}; base frame, whose axes are 500 mm long: X orange, Y green, Z blue`;
find('cautions').textContent = scene.about.cautions.join(' ');
find('missing').replaceChildren(...scene.about.not_located.map((r) => element('li', `${r.name} (${r.kind}): ${r.reason}`)));
if (!scene.about.not_located.length) find('missing').append(element('li', 'nothing that was asked for'));
for (const o of drawn) {
  const line = document.createElement('li');
  const box = Object.assign(document.createElement('input'), { type: 'checkbox', checked: true, title: `show ${o.name}` });
  box.addEventListener('change', () => { o.shown = box.checked; draw(); });
  const colour = document.createElement('i');
  colour.style.background = `rgb(${o.colour.map((c) => Math.round(255 * c))})`;
  o.button = element('button', `${o.name}`);
  o.button.addEventListener('click', () => pick(o));
  line.append(box, colour, o.button);
  find('objects').append(line);
}
Object.assign(find('cut'), { min: bounds[2][0], max: bounds[2][1] + 10, value: bounds[2][1] + 10 });
const sink = () => { cut = Number(find('cut').value); find('height').textContent = `${cut.toFixed(0)} mm`; draw(); };
find('cut').addEventListener('input', sink);
for (const b of document.querySelectorAll('[data-look]')) b.addEventListener('click', () => { camera.look(b.dataset.look); draw(); });

// The mouse, a finger, the keys.
let drag = null;
canvas.addEventListener('pointerdown', (e) => { drag = { x: e.offsetX, y: e.offsetY, moved: false }; canvas.setPointerCapture(e.pointerId); });
canvas.addEventListener('pointermove', (e) => {
  if (!drag) return;
  const [dx, dy] = [e.offsetX - drag.x, e.offsetY - drag.y];
  if (!drag.moved && Math.hypot(dx, dy) < 4) return;
  Object.assign(drag, { x: e.offsetX, y: e.offsetY, moved: true });
  if (e.shiftKey || e.buttons > 1) camera.move(dx, dy);
  else camera.rotate(dx, dy);
  draw();
});
canvas.addEventListener('pointerup', (e) => {
  if (drag && !drag.moved) {
    const h = hit(e.offsetX, e.offsetY);
    pick(h && h.o, h && h.at);
  }
  drag = null;
});
canvas.addEventListener('contextmenu', (e) => e.preventDefault());
canvas.addEventListener('wheel', (e) => { e.preventDefault(); camera.zoom(Math.exp(e.deltaY / 1000)); draw(); }, { passive: false });
canvas.addEventListener('keydown', (e) => {
  const keys = { ArrowLeft: () => camera.rotate(-20, 0), ArrowRight: () => camera.rotate(20, 0), ArrowUp: () => camera.rotate(0, -20), ArrowDown: () => camera.rotate(0, 20), '+': () => camera.zoom(0.8), '-': () => camera.zoom(1.25) };
  if (keys[e.key]) { keys[e.key](); e.preventDefault(); draw(); }
});
window.addEventListener('resize', draw);
camera.fit(canvas.clientWidth, canvas.clientHeight);
sink();
