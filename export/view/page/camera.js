// The eye: a parallel projection, so that one scale holds for all of the scene.
import { dot } from './model.js';

export class Camera {
  constructor(min, max) {
    this.middle = min.map((v, i) => (v + max[i]) / 2);
    this.span = Math.hypot(...max.map((v, i) => v - min[i])) || 1000; // mm
    this.perPixel = 1; // mm
    this.look('corner');
  }

  // look from one of the named sides.
  look(from) {
    const right = Math.PI / 2;
    [this.turn, this.tilt] = { above: [0, right], front: [0, 0], left: [-right, 0], corner: [-0.7, 0.6] }[from];
  }

  fit(width, height) {
    this.perPixel = this.span / Math.max(1, Math.min(width, height));
  }

  rotate(dx, dy) {
    this.turn += dx / 200;
    this.tilt = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, this.tilt + dy / 200));
  }

  // move by so many pixels on the screen, right and down.
  move(dx, dy) {
    const { right, up } = this.axes();
    this.middle = this.middle.map((v, i) => v + this.perPixel * (dy * up[i] - dx * right[i]));
  }

  zoom(factor) {
    this.perPixel = Math.max(0.02, Math.min(100, this.perPixel * factor));
  }

  // axes of the screen in base; toward points at the viewer, who looks along +Y
  // where turn and tilt are 0.
  axes() {
    const [s, c, st, ct] = [Math.sin(this.turn), Math.cos(this.turn), Math.sin(this.tilt), Math.cos(this.tilt)];
    return { right: [c, -s, 0], up: [s * st, c * st, ct], toward: [-s * ct, -c * ct, st] };
  }

  // matrix takes base to the clip cube of a screen of so many pixels, by columns.
  matrix(width, height) {
    const { right, up, toward } = this.axes();
    const [x, y, z] = [2 / (width * this.perPixel), 2 / (height * this.perPixel), -1 / (2 * this.span)];
    const m = [right[0] * x, up[0] * y, toward[0] * z, 0, right[1] * x, up[1] * y, toward[1] * z, 0, right[2] * x, up[2] * y, toward[2] * z, 0];
    return m.concat([-x * dot(right, this.middle), -y * dot(up, this.middle), -z * dot(toward, this.middle), 1]);
  }

  // ray through a pixel: a point on it and its direction, away from the viewer.
  ray(px, py, width, height) {
    const { right, up, toward } = this.axes();
    const [dx, dy] = [this.perPixel * (px - width / 2), this.perPixel * (height / 2 - py)];
    return { from: this.middle.map((v, i) => v + dx * right[i] + dy * up[i] + 2 * this.span * toward[i]), along: toward.map((v) => -v) };
  }
}
