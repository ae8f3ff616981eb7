// Makes corners.json again: how 200 folded trays lie to themselves, as an outside
// solid modeller finds it. Deep is how deep two flats lie in each other, in mm;
// twice, how much metal lies in other metal, curves too, in mm3; gaps are those
// at the corners.
//
//   go test ./calc/fold -run OutsideModellerOfCorners -trays SCRATCH/trays.json
//   npm install --prefix SCRATCH manifold-3d@3.5.4
//   NODE_PATH=SCRATCH/node_modules node testdata/folding/corners.mjs SCRATCH/trays.json testdata/folding/corners.json
//
// SCRATCH is any empty folder, by its whole path.
// With a third argument "compare" nothing is written: the fresh distances must
// agree with the recorded ones to a thousandth.
import { readFileSync, writeFileSync } from 'node:fs';
import { Manifold, bent, filled, version } from './modeller.mjs';

const round = (v) => Math.round(v * 1e4) / 1e4;
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

// How deep two convex plates lie in each other: the width of what they have in
// common, square to the facet that makes it least.
function depth(one, other) {
  const common = one.intersect(other);
  if (common.isEmpty() || common.volume() < 1e-9) return 0;
  const { vertProperties, numProp, triVerts } = common.getMesh();
  const points = Array.from({ length: vertProperties.length / numProp }, (_, i) => Array.from(vertProperties.slice(i * numProp, i * numProp + 3)));
  let least = Infinity;
  for (let i = 0; i < triVerts.length; i += 3) {
    const [a, b, c] = [points[triVerts[i]], points[triVerts[i + 1]], points[triVerts[i + 2]]];
    const u = b.map((v, k) => v - a[k]);
    const w = c.map((v, k) => v - a[k]);
    const normal = [u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]];
    const long = Math.hypot(...normal);
    if (long < 1e-6) continue;
    const along = points.map((p) => dot(p, normal) / long);
    least = Math.min(least, Math.max(...along) - Math.min(...along));
  }
  return least;
}

function apart(a, b) {
  const p = a.boundingBox();
  const q = b.boundingBox();
  return p.min.some((v, k) => v > q.max[k]) || q.min.some((v, k) => v > p.max[k]);
}

// The deepest overlap of two faces that no bend joins.
function deepest(faces, joined) {
  let deep = 0;
  faces.forEach((one, i) => faces.slice(0, i).forEach((other, k) => {
    if (joined.some(([a, b]) => (a === i && b === k) || (a === k && b === i))) return;
    for (const p of one) for (const q of other) if (!apart(p, q)) deep = Math.max(deep, depth(p, q));
  }));
  return deep;
}

const far = 10; // how far a gap is looked for, in millimetres
function measured({ faces, bends, joined, corners }) {
  const solids = faces.map((pieces) => pieces.map((points) => Manifold.hull(points)));
  const curves = bends.map(bent);
  const chain = (numbers) => Manifold.union(numbers.flatMap((i) => solids[i]));
  const gaps = corners.map(([one, other]) => round(chain(one).minGap(chain(other), far)));
  const deep = round(deepest(solids, joined));
  const { whole, apart } = filled([...solids.flat(), ...curves]);
  [...solids.flat(), ...curves].forEach((s) => s.delete());
  return { deep, twice: round(apart - whole), gaps };
}

const [traysFile, answersFile, mode] = process.argv.slice(2);
const cases = JSON.parse(readFileSync(traysFile));
const trays = cases.trays.map(measured);

if (mode === 'compare') {
  const recorded = JSON.parse(readFileSync(answersFile));
  const near = (a, b) => Math.abs(a - b) <= 1e-3;
  const same = (t, r) => r !== undefined && near(t.deep, r.deep) && near(t.twice, r.twice) && t.gaps.length === r.gaps.length && t.gaps.every((g, i) => near(g, r.gaps[i]));
  const differ = trays.filter((t, i) => !same(t, recorded.trays[i])).length;
  if (recorded.digest !== cases.digest || differ > 0) {
    console.error(`${differ} of ${trays.length} trays differ from the recorded ones`);
    process.exit(1);
  }
  console.log(`${trays.length} trays agree with the recorded ones (manifold-3d ${version})`);
} else {
  const lines = trays.map((t) => '  ' + JSON.stringify(t)).join(',\n');
  writeFileSync(answersFile, `{\n "modeller": "manifold-3d ${version}",\n "node": "${process.version}",\n "digest": "${cases.digest}",\n "trays": [\n${lines}\n ]\n}\n`);
}
