// The part in three dimensions. It draws only when something changed, and keeps no state of the
// page: what is shown is told by its methods. Flat colours a triangle, flat light from the viewer.

import {
  BackSide,
  BufferAttribute,
  BufferGeometry,
  Color,
  DataTexture,
  DoubleSide,
  FloatType,
  LinearFilter,
  Mesh,
  MeshBasicMaterial,
  PerspectiveCamera,
  RGFormat,
  Scene,
  ShaderMaterial,
  SphereGeometry,
  Vector3,
  Vector4,
  WebGLRenderer,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
import { type Box, boxOf, distanceFor, holds, middleOf, normalNear, radiusOf } from "./framing";
import { turned, zoomed } from "./orbit";
import { type Hit, hit, type Vector } from "./picking";
import { lastOf, type Marks, marksAt, valuesAt } from "./course";
import { DRAW_NOW } from "./print";
import { colourTable } from "./scale";
import { seenFrom } from "./seeing";
import type { Body, Quantity, View } from "./view-pack";

export interface Found {
  body: Body;
  triangle: number;
  place: [number, number, number];
}

export type Axis = "x" | "y" | "z";

/** A camera's place from what it looks at, and that from the middle of the parts [their radii]. */
export interface Pose {
  arm: [number, number, number];
  aside: [number, number, number];
}

const ANGLE = 35;
/** Most points of the picture a pixel of the page, while it moves and when it rests. */
const QUICK = 1;
const FINE = 3;
/** Triangles from which a moving picture has fewer points, and how few [a pixel]. */
const MANY = 30_000;
const QUICK_OF_MANY = 0.6;
const REST_MS = 180;
const STEPS = 256;
/** Triangles in a row of the texture that holds the value and the mark of each. */
const WIDE = 1024;
const PLAIN: Record<string, string> = { anode: "#7a4a30", shield: "#8c99a6", part: "#b9bec4" };

const VERTEX = /* glsl */ `
  #define WIDE ${WIDE}
  uniform highp sampler2D held;
  varying float vValue;
  varying float vMark;
  #ifdef CUT
  varying vec3 vWorld;
  #endif
  varying vec3 vView;
  void main() {
    vec4 view = viewMatrix * vec4(position, 1.0);
    int triangle = gl_VertexID / 3;
    vec2 found = texelFetch(held, ivec2(triangle % WIDE, triangle / WIDE), 0).rg;
    vValue = found.r;
    vMark = found.g;
    #ifdef CUT
    vWorld = position;
    #endif
    vView = view.xyz;
    gl_Position = projectionMatrix * view;
  }`;

const FRAGMENT = /* glsl */ `
  uniform sampler2D table;
  uniform vec2 ends;
  uniform vec3 plain;
  uniform float coloured;
  uniform float opacity;
  uniform vec4 cut;
  varying float vValue;
  varying float vMark;
  #ifdef CUT
  varying vec3 vWorld;
  #endif
  varying vec3 vView;
  void main() {
    #ifdef CUT
    if (dot(cut.xyz, vWorld) > cut.w) discard;
    #endif
    vec3 normal = normalize(cross(dFdx(vView), dFdy(vView)));
    float facing = abs(dot(normal, normalize(vView)));
    float at = clamp((vValue - ends.x) / (ends.y - ends.x), 0.0, 1.0);
    vec3 colour = mix(plain, texture2D(table, vec2(at * 0.996 + 0.002, 0.5)).rgb, coloured);
    float stripe = mod(gl_FragCoord.x + gl_FragCoord.y, 8.0);
    if (vMark > 1.5 && stripe < 3.0) colour = vec3(1.0);
    else if (vMark > 0.5 && stripe < 2.5) colour = vec3(0.0);
    gl_FragColor = vec4(colour * (0.68 + 0.32 * facing), opacity);
  }`;

/** A canvas with the bodies of a view on it. */
export class Stage {
  readonly canvas: HTMLCanvasElement;
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(ANGLE, 1, 0.001, 10);
  private readonly controls: OrbitControls;
  private readonly table: DataTexture;
  private readonly meshes: { body: Body; mesh: Mesh<BufferGeometry, ShaderMaterial> }[];
  private readonly box: Box;
  private readonly spot: Mesh;
  private cut = new Vector4(0, 0, 0, 1);
  private waiting = 0;
  private resting = 0;
  private ratio = 1;
  private moment: number;
  private following = false;
  /** Called when a hand or a key moved the camera; not when it follows another stage. */
  onMove: () => void = () => undefined;
  private readonly pins: Mesh<SphereGeometry, MeshBasicMaterial>[] = [];

  constructor(private readonly view: View) {
    this.renderer = new WebGLRenderer({ antialias: false, alpha: true });
    this.canvas = this.renderer.domElement;
    this.canvas.addEventListener(DRAW_NOW, () => this.rendered(FINE));
    this.table = tableOf(view.colours);
    this.moment = lastOf(view);
    this.meshes = view.bodies.map((body) => ({ body, mesh: this.meshOf(body) }));
    this.scene.add(...this.meshes.map(({ mesh }) => mesh));
    const parts = view.bodies.filter(({ role }) => role === "part");
    this.box = boxOf((parts.length > 0 ? parts : view.bodies).map(({ vertices }) => vertices));
    this.spot = new Mesh(
      new SphereGeometry(0.02 * radiusOf(this.box), 20, 12),
      new MeshBasicMaterial({ color: "#ffffff", depthTest: false, transparent: true, opacity: 0.9 }),
    );
    this.spot.visible = false;
    this.spot.renderOrder = 2;
    this.scene.add(this.spot);
    this.camera.up.set(0, 0, 1);
    this.controls = new OrbitControls(this.camera, this.canvas);
    this.controls.enableDamping = false;
    this.controls.addEventListener("change", () => {
      this.draw();
      if (!this.following) this.onMove();
    });
    this.stand([0.75, -1, 0.45]);
  }

  /** Fits the picture into an element of this size [CSS pixels]. */
  resize(width: number, height: number): void {
    if (width < 1 || height < 1) return;
    this.renderer.setSize(width, height, false);
    const before = distanceFor(1, ANGLE, this.ratio);
    this.ratio = this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    const further = distanceFor(1, ANGLE, this.ratio) / before;
    this.camera.position.sub(this.controls.target).multiplyScalar(further).add(this.controls.target);
    this.controls.update();
    this.draw();
  }

  /** Colours the bodies by a quantity at a moment of the course, the last if none, or plainly. */
  colour(quantity: Quantity | null, moment: number = lastOf(this.view)): void {
    for (const { body, mesh } of this.meshes) {
      const values = quantity === null ? undefined : valuesAt(this.view, body, quantity.key, moment);
      mesh.material.uniforms["coloured"]!.value = values === undefined ? 0 : 1;
      if (quantity === null || values === undefined) continue;
      mesh.material.uniforms["ends"]!.value.set(quantity.low, quantity.high);
      const held = heldBy(mesh);
      for (let t = 0; t < values.length; t += 1) held.array[2 * t] = values[t] as number;
      held.texture.needsUpdate = true;
    }
    if (moment !== this.moment) this.patterns(moment);
    this.draw();
  }

  /** Puts the patterns of burning and of bare places on as they are at a moment. */
  private patterns(moment: number): void {
    this.moment = moment;
    for (const { body, mesh } of this.meshes) {
      if (body.role !== "part") continue;
      const held = heldBy(mesh);
      putMarks(held.array, marksAt(this.view, body, moment));
      held.texture.needsUpdate = true;
    }
  }

  /** Pins at places, such as the contacts. */
  pin(places: readonly (readonly [number, number, number])[]): void {
    const size = 0.015 * radiusOf(this.box);
    for (const place of places) {
      for (const [wide, colour] of [[1.5, "#ffffff"], [1, "#000000"]] as const) {
        const ball = new Mesh(new SphereGeometry(wide * size, 12, 8), new MeshBasicMaterial({ color: colour }));
        ball.position.set(...(place as [number, number, number]));
        if (wide > 1) ball.material.side = BackSide;
        this.pins.push(ball);
        this.scene.add(ball);
      }
    }
    this.draw();
  }

  /** Where the camera stands and looks, for another stage to do the same. */
  get pose(): Pose {
    const { position } = this.camera;
    const { target } = this.controls;
    const size = radiusOf(this.box);
    return {
      arm: position.clone().sub(target).divideScalar(size).toArray() as Pose["arm"],
      aside: target.clone().sub(new Vector3(...middleOf(this.box))).divideScalar(size).toArray() as Pose["aside"],
    };
  }

  /** Stands as another stage does, each against its own part's size. */
  follow({ arm, aside }: Pose): void {
    const size = radiusOf(this.box);
    this.controls.target.set(...aside).multiplyScalar(size).add(new Vector3(...middleOf(this.box)));
    this.camera.position.set(...arm).multiplyScalar(size).add(this.controls.target);
    this.following = true;
    this.controls.update();
    this.following = false;
    this.draw();
  }

  /** Cuts off what lies beyond a share of the box along an axis; 1 cuts nothing. */
  cutAt(axis: Axis, share: number): void {
    const k = "xyz".indexOf(axis);
    const normal = [0, 0, 0];
    normal[k] = 1;
    const [low, high] = [this.box.low[k] as number, this.box.high[k] as number];
    const edge = share >= 1 ? 1e6 : low + share * (high - low);
    this.cut.set(normal[0] as number, normal[1] as number, normal[2] as number, edge);
    for (const { mesh } of this.meshes) {
      if (share < 1 === "CUT" in mesh.material.defines) continue;
      mesh.material.defines = share < 1 ? { CUT: 1 } : {};
      mesh.material.needsUpdate = true;
    }
    this.draw();
  }

  /** Shows or hides bodies of a role. */
  show(role: string, shown: boolean): void {
    for (const { body, mesh } of this.meshes) if (body.role === role) mesh.visible = shown;
    this.draw();
  }

  /** What lies under a point of the canvas [CSS pixels from its upper left corner]. */
  under(x: number, y: number): Found | null {
    const ray = new Vector3(
      (2 * x) / this.canvas.clientWidth - 1,
      1 - (2 * y) / this.canvas.clientHeight,
      0.5,
    ).unproject(this.camera);
    const origin = this.camera.position;
    const way = ray.sub(origin).normalize();
    const from: Vector = [origin.x, origin.y, origin.z];
    const along: Vector = [way.x, way.y, way.z];
    const kept = (px: number, py: number, pz: number): boolean =>
      this.cut.x * px + this.cut.y * py + this.cut.z * pz <= this.cut.w;
    let nearest: (Hit & { body: Body }) | null = null;
    for (const { body, mesh } of this.meshes) {
      if (!mesh.visible) continue;
      const met = hit(body.vertices, body.triangles, from, along, kept);
      if (met !== null && (nearest === null || met.distance < nearest.distance)) {
        nearest = { ...met, body };
      }
    }
    if (nearest === null) return null;
    const reached = origin.clone().addScaledVector(way, nearest.distance);
    return {
      body: nearest.body,
      triangle: nearest.triangle,
      place: [reached.x, reached.y, reached.z],
    };
  }

  /** Turns so that a place of the parts is seen, and marks it; false where it is hidden from
   * everywhere: then it is looked at square to its surface, and only a cut shows it. */
  look(place: readonly [number, number, number]): boolean {
    const parts = this.meshes.filter(({ body }) => body.role === "part").map(({ body }) => body);
    const part = parts.find((one) => holds(boxOf([one.vertices]), place)) ?? parts[0];
    if (part === undefined) return false;
    const normal = normalNear(part.vertices, part.triangles, place);
    const way = seenFrom(parts, place, normal, radiusOf(this.box));
    this.mark(place);
    const [x, y, z] = way ?? normal;
    this.stand([x + 1e-3, y, Math.min(Math.max(z, -0.97), 0.97)]);
    return way !== null;
  }

  /** Marks a place, or none. */
  mark(place: readonly [number, number, number] | null): void {
    this.spot.visible = place !== null;
    if (place !== null) this.spot.position.set(...(place as [number, number, number]));
    this.draw();
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
    window.clearTimeout(this.resting);
    this.controls.dispose();
    for (const { mesh } of this.meshes) {
      mesh.geometry.dispose();
      heldBy(mesh).texture.dispose();
      mesh.material.dispose();
    }
    for (const pin of this.pins) {
      pin.geometry.dispose();
      pin.material.dispose();
    }
    this.table.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }

  private stand(direction: [number, number, number]): void {
    const radius = radiusOf(this.box);
    const distance = 1.04 * distanceFor(radius, ANGLE, this.ratio);
    this.controls.target.set(...middleOf(this.box));
    const arm = new Vector3(...direction).normalize().multiplyScalar(distance);
    this.camera.position.copy(this.controls.target).add(arm);
    this.camera.near = distance / 50;
    this.camera.far = distance * 20;
    this.camera.updateProjectionMatrix();
    this.controls.update();
    this.draw();
  }

  /** Draws quickly now, and finely once nothing has moved for a moment. How far it is stands on the
   * canvas as data-drawn ("soon", "quickly", "finely"), for whoever takes a picture of the page. */
  private draw(): void {
    this.canvas.dataset["drawn"] = "soon";
    if (this.waiting !== 0) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      window.clearTimeout(this.resting);
      this.rendered(Math.min(window.devicePixelRatio, this.count > MANY ? QUICK_OF_MANY : QUICK));
      this.canvas.dataset["drawn"] = "quickly";
      this.canvas.dispatchEvent(new Event("drawn")); // each of them, for whoever times it
      this.resting = window.setTimeout(() => {
        this.rendered(Math.min(2 * window.devicePixelRatio, FINE));
        this.canvas.dataset["drawn"] = "finely";
      }, REST_MS);
    });
  }

  private rendered(ratio: number): void {
    if (this.renderer.getPixelRatio() !== ratio) this.renderer.setPixelRatio(ratio);
    this.renderer.render(this.scene, this.camera);
  }

  private meshOf(body: Body): Mesh<BufferGeometry, ShaderMaterial> {
    const count = body.triangles.length;
    const positions = new Float32Array(3 * count);
    for (let i = 0; i < count; i += 1) {
      const from = 3 * (body.triangles[i] as number);
      for (let k = 0; k < 3; k += 1) positions[3 * i + k] = body.vertices[from + k] as number;
    }
    const rows = Math.max(Math.ceil(count / 3 / WIDE), 1);
    const held = new Float32Array(2 * WIDE * rows);
    putMarks(held, body);
    const texture = new DataTexture(held, WIDE, rows, RGFormat, FloatType);
    texture.needsUpdate = true;
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(positions, 3));
    const see = body.role === "shield";
    const plain = new Color();
    plain.setStyle(PLAIN[body.role] ?? "#b9bec4", "srgb-linear");
    const material = new ShaderMaterial({
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      side: DoubleSide,
      transparent: see,
      depthWrite: !see,
      uniforms: {
        table: { value: this.table },
        held: { value: texture },
        ends: { value: { x: 0, y: 1, set(x: number, y: number) { this.x = x; this.y = y; } } },
        plain: { value: plain },
        coloured: { value: 0 },
        opacity: { value: see ? 0.35 : 1 },
        cut: { value: this.cut },
      },
    });
    const mesh = new Mesh(geometry, material);
    mesh.visible = body.role !== "anode" && body.role !== "shield";
    return mesh;
  }

  private get count(): number {
    return this.view.bodies.reduce((sum, { triangles }) => sum + triangles.length / 3, 0);
  }

  /** The view that is shown. */
  get shown(): View {
    return this.view;
  }
}

type Drawn = Mesh<BufferGeometry, ShaderMaterial>;

/** The texture that holds the value and the mark of each triangle, and its numbers. */
function heldBy(mesh: Drawn): { texture: DataTexture; array: Float32Array } {
  const texture = mesh.material.uniforms["held"]!.value as DataTexture;
  return { texture, array: texture.image.data as unknown as Float32Array };
}

/** Marks triangles that burn by 1, bare ones by 2, all others by 0. */
function putMarks(held: Float32Array, { burning, bare }: Marks): void {
  for (let n = 1; n < held.length; n += 2) held[n] = 0;
  for (const t of burning) held[2 * t + 1] = 1;
  for (const t of bare) held[2 * t + 1] = 2;
}

function tableOf(colours: readonly string[]): DataTexture {
  const table = new DataTexture(colourTable(colours, STEPS), STEPS, 1);
  table.magFilter = LinearFilter;
  table.minFilter = LinearFilter;
  table.needsUpdate = true;
  return table;
}
