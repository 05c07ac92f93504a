// A tank with all that stands in it, in three dimensions. It draws only when something changed. What
// stands where is told by the server's scene; a thing that is being moved goes ahead of it.

import {
  AmbientLight,
  BufferAttribute,
  BufferGeometry,
  Color,
  DirectionalLight,
  DoubleSide,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshLambertMaterial,
  PerspectiveCamera,
  Scene,
  SphereGeometry,
  Vector3,
  WebGLRenderer,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
import { distanceFor } from "./framing";
import { turned, zoomed } from "./orbit";
import { hit, type Vector } from "./picking";
import { DRAW_NOW } from "./print";
import { onLevel, onPart, type Triple } from "./rig-form";
import type { Body as PartBody } from "./view-pack";

export interface RigScene {
  refusal: string;
  blamed: string[];
  notes: string[];
  tank: { floor_m: [number, number][]; height_m: number; liquid_depth_m: number };
  bodies: { key: string; role: string; vertices_m: number[]; triangles: number[] }[];
  parts: { key: string; at_m: Triple; turn: number[][] }[];
  contacts: { key: string; at_m: Triple }[];
}

export interface Met {
  key: string;
  place: Triple;
  /** Number of the part from 1, or 0 where it is none. */
  part: number;
}

interface Thing {
  key: string;
  mesh: Mesh<BufferGeometry, MeshLambertMaterial>;
  vertices: Float32Array;
  triangles: Uint32Array;
  /** Where a part hangs; null for what is told in the tank's coordinates. */
  pose: { at: Triple; turn: number[][] } | null;
  part: number;
  plain: string;
  shift: Vector3;
}

const ANGLE = 35;
const PLAIN: Record<string, string> = {
  anode: "#b4673f",
  shield: "#7f93a8",
  thief: "#8a7bb0",
  wire: "#c9a15a",
  part: "#b9bec4",
  contact: "#2f6fb0",
};
const CHOSEN = "#2f6fb0";
const BLAMED = "#c2253b";

export class RigStage {
  readonly canvas: HTMLCanvasElement;
  readonly controls: OrbitControls;
  private readonly renderer = new WebGLRenderer({ antialias: true, alpha: true });
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(ANGLE, 1, 0.005, 20);
  private readonly ball = new SphereGeometry(1, 16, 12);
  private things: Thing[] = [];
  private lines: LineSegments[] = [];
  private waiting = 0;
  private aspect = 1;
  private framed = false;
  private shown: RigScene | null = null;

  constructor(private readonly parts: readonly PartBody[]) {
    this.canvas = this.renderer.domElement;
    this.canvas.addEventListener(DRAW_NOW, () => this.renderer.render(this.scene, this.camera));
    this.camera.up.set(0, 0, 1);
    const light = new DirectionalLight("#ffffff", 1.7);
    light.position.set(0.3, -0.6, 1);
    this.camera.add(light);
    this.scene.add(new AmbientLight("#ffffff", 1.5), this.camera);
    this.controls = new OrbitControls(this.camera, this.canvas);
    this.controls.enableDamping = false;
    this.controls.addEventListener("change", () => this.draw());
  }

  /** Fits the picture into an element of this size [CSS pixels]. */
  resize(width: number, height: number): void {
    if (width < 1 || height < 1) return;
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio, 1.5));
    this.renderer.setSize(width, height, false);
    this.aspect = this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    if (this.shown !== null && !this.framed) this.frame();
    this.draw();
  }

  /** Shows a scene anew; the view stays where it is. */
  show(scene: RigScene, chosen: string): void {
    this.clear();
    this.shown = scene;
    scene.parts.forEach((pose, k) => this.addPart(pose, k));
    for (const body of scene.bodies) {
      const vertices = new Float32Array(body.vertices_m);
      this.add(body.key, body.role, vertices, new Uint32Array(body.triangles), null, 0);
    }
    for (const contact of scene.contacts) this.addContact(contact.key, contact.at_m);
    this.addTank(scene.tank);
    this.mark(chosen);
    if (!this.framed) this.frame();
    this.draw();
  }

  /** Colours the chosen thing, and those that the refusal names. */
  mark(chosen: string): void {
    for (const thing of this.things) {
      const blamed = this.shown?.blamed.includes(thing.key) ?? false;
      const colour = thing.key !== "" && thing.key === chosen ? CHOSEN : blamed ? BLAMED : thing.plain;
      thing.mesh.material.color = new Color(colour);
    }
    this.draw();
  }

  /** Moves a thing ahead of the server's answer [m]; a part takes its contacts along. */
  shift(key: string, by: Triple): void {
    for (const thing of this.things) {
      if (thing.key !== key) continue;
      thing.shift.add(new Vector3(...by));
      thing.mesh.position.add(new Vector3(...by));
    }
    this.draw();
  }

  /** What lies under a point of the canvas [CSS pixels from its upper left corner]. */
  under(x: number, y: number): Met | null {
    const [origin, way] = this.ray(x, y);
    let best = Infinity;
    let found: Met | null = null;
    for (const thing of this.things) {
      if (thing.key === "" || thing.key.startsWith("contact.")) continue;
      const moved = origin.map((v, k) => v - thing.shift.getComponent(k)) as Triple;
      const from: Vector = thing.pose === null ? moved : onPart(moved, thing.pose.at, thing.pose.turn);
      const along: Vector = thing.pose === null ? way : onPart(way, [0, 0, 0], thing.pose.turn);
      const met = hit(thing.vertices, thing.triangles, from, along);
      if (met === null || met.distance >= best) continue;
      best = met.distance;
      const place = origin.map((v, k) => v + met.distance * (way[k] as number)) as Triple;
      found = { key: thing.key, place, part: thing.part };
    }
    return found;
  }

  /** Where a point of the canvas lies on the level plane at a height [m]. */
  level(x: number, y: number, height: number): Triple | null {
    return onLevel(...this.ray(x, y), height);
  }

  /** Turns the view by degrees, sideways and up. */
  turn(sideways: number, up: number): void {
    turned(this.camera, this.controls, sideways, up);
    this.draw();
  }

  /** Comes nearer (a factor under one) or goes further away. */
  zoom(factor: number): void {
    zoomed(this.camera, this.controls, factor);
    this.draw();
  }

  /** Gives the graphics memory back. */
  dispose(): void {
    cancelAnimationFrame(this.waiting);
    this.clear();
    this.controls.dispose();
    this.ball.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }

  private ray(x: number, y: number): [Triple, Triple] {
    const across = (2 * x) / this.canvas.clientWidth - 1;
    const down = 1 - (2 * y) / this.canvas.clientHeight;
    const origin = this.camera.position;
    const way = new Vector3(across, down, 0.5).unproject(this.camera).sub(origin).normalize();
    return [origin.toArray(), way.toArray()];
  }

  private frame(): void {
    const tank = this.shown?.tank;
    if (tank === undefined) return;
    const reach = Math.max(...tank.floor_m.map(([x, y]) => Math.hypot(x, y)));
    const radius = Math.hypot(reach, tank.height_m / 2);
    const distance = distanceFor(radius, ANGLE, this.aspect);
    this.controls.target.set(0, 0, tank.height_m / 2);
    const arm = new Vector3(0.35, -1, 0.5).normalize().multiplyScalar(0.95 * distance);
    this.camera.position.copy(this.controls.target).add(arm);
    this.camera.near = distance / 50;
    this.camera.far = distance * 10;
    this.camera.updateProjectionMatrix();
    this.controls.update();
    this.framed = true;
  }

  private addPart(pose: RigScene["parts"][number], number: number): void {
    const body = this.parts[number];
    if (body === undefined) return;
    const held = { at: pose.at_m, turn: pose.turn };
    this.add(pose.key, "part", body.vertices, body.triangles, held, number + 1);
  }

  private add(
    key: string,
    role: string,
    vertices: Float32Array,
    triangles: Uint32Array,
    pose: Thing["pose"],
    part: number,
  ): void {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(vertices, 3));
    geometry.setIndex(new BufferAttribute(triangles, 1));
    const see = role === "shield";
    const material = new MeshLambertMaterial({
      side: DoubleSide,
      flatShading: true,
      transparent: see,
      opacity: see ? 0.55 : 1,
    });
    const mesh = new Mesh(geometry, material);
    if (pose !== null) {
      const [a, b, c] = pose.turn as [number[], number[], number[]];
      const [x, y, z] = pose.at;
      const rows = [...a, x, ...b, y, ...c, z, 0, 0, 0, 1] as Parameters<Matrix4["set"]>;
      new Matrix4().set(...rows).decompose(mesh.position, mesh.quaternion, mesh.scale);
    }
    const plain = PLAIN[role] ?? "#b9bec4";
    this.keep({ key, mesh, vertices, triangles, pose, part, plain, shift: new Vector3() });
  }

  private addContact(key: string, at: Triple): void {
    const mesh = new Mesh(this.ball.clone(), new MeshLambertMaterial({}));
    mesh.position.set(...at);
    mesh.scale.setScalar(0.004);
    const nothing = { vertices: new Float32Array(), triangles: new Uint32Array(), pose: null };
    this.keep({ key, mesh, ...nothing, part: 0, plain: PLAIN["contact"] ?? "", shift: new Vector3() });
  }

  private keep(thing: Thing): void {
    this.things.push(thing);
    this.scene.add(thing.mesh);
  }

  private addTank(tank: RigScene["tank"]): void {
    const loop = (z: number): number[] =>
      tank.floor_m.flatMap(([x, y], k) => {
        const [nx, ny] = tank.floor_m[(k + 1) % tank.floor_m.length] as [number, number];
        return [x, y, z, nx, ny, z];
      });
    const posts =
      tank.floor_m.length > 12
        ? []
        : tank.floor_m.flatMap(([x, y]) => [x, y, 0, x, y, tank.height_m]);
    this.addLines([...loop(0), ...loop(tank.height_m), ...posts], "#8b8f94");
    this.addLines(loop(tank.liquid_depth_m), "#2f8fc4");
  }

  private addLines(points: number[], colour: string): void {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(new Float32Array(points), 3));
    const lines = new LineSegments(geometry, new LineBasicMaterial({ color: colour }));
    this.lines.push(lines);
    this.scene.add(lines);
  }

  private clear(): void {
    for (const one of [...this.things.map(({ mesh }) => mesh), ...this.lines]) {
      this.scene.remove(one);
      one.geometry.dispose();
      (one.material as LineBasicMaterial).dispose();
    }
    this.things = [];
    this.lines = [];
  }

  private draw(): void {
    if (this.waiting !== 0) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      this.renderer.render(this.scene, this.camera);
      this.canvas.dispatchEvent(new Event("drawn"));
    });
  }
}
