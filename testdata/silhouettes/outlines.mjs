// Makes outlines.json again: what an outside solid modeller finds of the pictures of
// parts, all of them together:
//   undrawn: how far the outline that it projects lies from the nearest stroke, at most
//   outside: how far a stroke lies outside of that outline, at most
//   covered: of how many places on strokes something stands before them
// in mm at the part's own size.
//
//   go test ./calc/scene -run OutsideSolidModeller -silhouettes SCRATCH/pictures.json
//   npm install --prefix SCRATCH manifold-3d@3.5.4
//   NODE_PATH=SCRATCH/node_modules node testdata/silhouettes/outlines.mjs SCRATCH/pictures.json testdata/silhouettes/outlines.json
//
// SCRATCH is any empty folder, by its whole path. With a third argument "compare"
// nothing is written: the fresh answers must agree with the recorded ones.
import { readFileSync, writeFileSync } from 'node:fs';
import { Manifold, bent, version } from '../folding/modeller.mjs';

const every = 1; // mm between the places asked along a line
const crack = 2e-3; // mm: where walls are seen edge on, its projection has cracks of no width
const before = 0.3; // mm: what is nearer to the viewer than a stroke by this stands before it
const beside = 0.05; // mm: a place is covered when it is to all four sides
const cell = 8; // mm

const round = (v) => Math.round(v * 1e3) / 1e3 + 0;

function* along([ax, ay, bx, by], most) {
  const long = Math.hypot(bx - ax, by - ay);
  const steps = Math.max(1, Math.min(most, Math.ceil(long / every)));
  for (let i = 0; i <= steps; i++) yield [ax + (bx - ax) * i / steps, ay + (by - ay) * i / steps, i / steps];
}

// How far a place lies from the nearest of some lines.
function nearest([x, y], lines) {
  let least = Infinity;
  for (const [ax, ay, bx, by] of lines) {
    const dx = bx - ax, dy = by - ay, square = dx * dx + dy * dy;
    const share = square > 0 ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / square)) : 0;
    const offX = x - ax - share * dx, offY = y - ay - share * dy;
    least = Math.min(least, offX * offX + offY * offY);
  }
  return Math.sqrt(least);
}

// Inside by the crossings of a ray, over all rings together.
function inside([x, y], edges) {
  let odd = false;
  for (const [ax, ay, bx, by] of edges) if ((ay > y) !== (by > y) && x < ax + (bx - ax) * (y - ay) / (by - ay)) odd = !odd;
  return odd;
}

// How near to the viewer a solid comes at a place of the page, z towards the viewer.
function heights(part) {
  const { vertProperties: v, numProp, triVerts } = part.getMesh();
  const cells = new Map();
  for (let k = 0; k < triVerts.length; k += 3) {
    const t = [0, 1, 2].flatMap((i) => Array.from(v.subarray(triVerts[k + i] * numProp, triVerts[k + i] * numProp + 3)));
    const xs = [t[0], t[3], t[6]], ys = [t[1], t[4], t[7]];
    for (let x = Math.floor(Math.min(...xs) / cell); x <= Math.max(...xs) / cell; x++) {
      for (let y = Math.floor(Math.min(...ys) / cell); y <= Math.max(...ys) / cell; y++) {
        const key = `${x} ${y}`;
        cells.has(key) ? cells.get(key).push(t) : cells.set(key, [t]);
      }
    }
  }
  return (x, y) => (cells.get(`${Math.floor(x / cell)} ${Math.floor(y / cell)}`) ?? []).reduce((most, [ax, ay, az, bx, by, bz, cx, cy, cz]) => {
    const area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    if (Math.abs(area) < 1e-9) return most;
    const u = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / area, w = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / area;
    return u < 0 || w < 0 || u + w > 1 ? most : Math.max(most, az + u * (bz - az) + w * (cz - az));
  }, -Infinity);
}

function judged({ right, up, away, flats, open, bends, strokes }) {
  const turn = [0, 1, 2].flatMap((k) => [right[k], up[k], -away[k], 0]).concat([0, 0, 0, 1]);
  const holes = Manifold.union(open.map((f) => Manifold.hull(f)));
  const part = Manifold.union([...flats.map((f) => Manifold.hull(f)), ...bends.map(bent)]).subtract(holes).transform(turn);
  const edges = part.project().offset(crack, 'Miter').offset(-crack, 'Miter').simplify(crack).toPolygons().flatMap((ring) => ring.map((p, i) => [...p, ...ring[(i + 1) % ring.length]]));
  const height = heights(part);
  part.delete();
  const lines = strokes.map(([ax, ay, , bx, by]) => [ax, ay, bx, by]);
  const found = { undrawn: 0, outside: 0, covered: 0, places: 0 };
  for (const e of edges) for (const at of along(e, 20)) found.undrawn = Math.max(found.undrawn, nearest(at, lines));
  for (const s of lines) for (const at of along(s, 7)) if (!inside(at, edges)) found.outside = Math.max(found.outside, nearest(at, edges));
  strokes.forEach(([ax, ay, from, bx, by, to], i) => {
    if (Math.hypot(bx - ax, by - ay) < before) return; // no more than a dot
    for (const [x, y, share] of along(lines[i], 7)) {
      const z = -(from + (to - from) * share) + before;
      found.places++;
      if ([[-1, -1], [-1, 1], [1, -1], [1, 1]].every(([dx, dy]) => height(x + beside * dx, y + beside * dy) > z)) found.covered++;
    }
  });
  return found;
}

const [picturesFile, answersFile, mode] = process.argv.slice(2);
const { digest, pictures } = JSON.parse(readFileSync(picturesFile));
const answers = { digest, pictures: pictures.length, places: 0, undrawn: 0, outside: 0, covered: 0 };
for (const p of pictures) {
  const found = judged(p);
  if (found.undrawn > 0.3 || found.outside > 0.3 || found.covered > 0) console.error(p.name, found);
  answers.undrawn = round(Math.max(answers.undrawn, found.undrawn));
  answers.outside = round(Math.max(answers.outside, found.outside));
  answers.covered += found.covered;
  answers.places += found.places;
}
if (mode === 'compare') {
  const recorded = JSON.parse(readFileSync(answersFile));
  const differ = Object.keys(answers).filter((key) => key === 'digest' ? answers[key] !== recorded[key] : !(Math.abs(answers[key] - recorded[key]) <= 0.01));
  if (differ.length > 0) {
    console.error(`differ from the recorded answers: ${differ.join(', ')}`, answers);
    process.exit(1);
  }
  console.log(`the outlines of ${answers.pictures} pictures agree with the recorded ones (manifold-3d ${version})`);
} else {
  writeFileSync(answersFile, JSON.stringify({ modeller: `manifold-3d ${version}`, ...answers }) + '\n');
}
