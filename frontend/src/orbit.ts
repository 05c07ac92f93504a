// A camera that goes round what it looks at, by keys and buttons as by the pointer.

import type { PerspectiveCamera } from "three";
import type { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";

/** Short of straight up, where a turn sideways would have no meaning [rad]. */
const STEEPEST = 1.5;

/** Turns the view by degrees, sideways and up. */
export function turned(
  camera: PerspectiveCamera,
  controls: OrbitControls,
  sideways: number,
  up: number,
): void {
  const arm = camera.position.clone().sub(controls.target);
  const length = arm.length();
  const level = Math.atan2(arm.y, arm.x) + (sideways * Math.PI) / 180;
  const wished = Math.asin(arm.z / length) + (up * Math.PI) / 180;
  const rise = Math.min(Math.max(wished, -STEEPEST), STEEPEST);
  arm.set(Math.cos(level) * Math.cos(rise), Math.sin(level) * Math.cos(rise), Math.sin(rise));
  camera.position.copy(controls.target).addScaledVector(arm, length);
  controls.update();
}

/** Comes nearer (a factor under one) or goes further away. */
export function zoomed(camera: PerspectiveCamera, controls: OrbitControls, factor: number): void {
  camera.position.sub(controls.target).multiplyScalar(factor).add(controls.target);
  controls.update();
}
