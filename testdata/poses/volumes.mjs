// Makes volumes.json again: how parts lie on the brake by the poses of their plans,
// as an outside solid modeller finds it. Low and high are the heights of the
// clamped face over the bed, front is how far behind the hinge it begins, in mm;
// whole is how much metal the part has, and bed, leaf and tools how much of it lies
// in these, in mm3. The leaf is asked without the curves of the bends and, as curve,
// with nothing else.
//
//   go test ./cmd/brakeside -run OutsideModellerOfPoses -poses SCRATCH/poses.json
//   npm install --prefix SCRATCH manifold-3d@3.5.4
//   NODE_PATH=SCRATCH/node_modules node testdata/poses/volumes.mjs SCRATCH/poses.json testdata/poses/volumes.json
//
// SCRATCH is any empty folder, by its whole path.
// With a third argument "compare" nothing is written: the fresh answers must agree
// with the recorded ones to a thousandth.
import { readFileSync, writeFileSync } from 'node:fs';
import { Manifold, bent, version } from '../folding/modeller.mjs';

const round = (v) => Math.round(v * 1e4) / 1e4 + 0;
const hull = (points) => Manifold.hull(points);

// A pose is written row by row; the modeller takes it column by column.
const posed = (solid, pose) => solid.transform([0, 1, 2, 3].flatMap((k) => [...pose.map((row) => row[k]), k === 3 ? 1 : 0]));

function common(one, other) {
  const both = one.intersect(other);
  const volume = both.isEmpty() ? 0 : both.volume();
  both.delete();
  return round(volume);
}

// A bar or a finger, with the slots that walls may stand in.
const tool = ({ body, slots }) => (slots ?? []).reduce((bar, slot) => bar.subtract(hull(slot)), hull(body));

function measured({ pose, clamped, others, bends, bed, leaf, tools }) {
  const face = posed(Manifold.union(clamped.map(hull)), pose);
  const flats = posed(Manifold.union([...clamped, ...others].map(hull)), pose);
  const curves = bends.map((b) => posed(bent(b), pose));
  const part = Manifold.union([flats, ...curves]);
  const { min, max } = face.boundingBox();
  const answer = {
    low: round(min[2]), high: round(max[2]), front: round(min[1]), whole: round(part.volume()),
    bed: common(part, hull(bed)), leaf: common(flats, hull(leaf)), curve: round(curves.reduce((sum, c) => sum + common(c, hull(leaf)), 0)), tools: tools.map((t) => common(part, tool(t))),
  };
  [face, flats, ...curves, part].forEach((s) => s.delete());
  return answer;
}

const [posesFile, answersFile, mode] = process.argv.slice(2);
const cases = JSON.parse(readFileSync(posesFile));
const poses = cases.poses.map(measured);

if (mode === 'compare') {
  const recorded = JSON.parse(readFileSync(answersFile));
  const near = (a, b) => Math.abs(a - b) <= 1e-3 * Math.max(1, Math.abs(a) / 1e3);
  const figures = (p) => [p.low, p.high, p.front, p.whole, p.bed, p.leaf, p.curve, ...p.tools];
  const same = (p, r) => r !== undefined && p.tools.length === r.tools.length && figures(p).every((v, i) => near(v, figures(r)[i]));
  const differ = poses.filter((p, i) => !same(p, recorded.poses[i])).length;
  if (recorded.digest !== cases.digest || differ > 0) {
    console.error(`${differ} of ${poses.length} poses differ from the recorded ones`);
    process.exit(1);
  }
  console.log(`${poses.length} poses agree with the recorded ones (manifold-3d ${version})`);
} else {
  const lines = poses.map((p) => '  ' + JSON.stringify(p)).join(',\n');
  writeFileSync(answersFile, `{\n "modeller": "manifold-3d ${version}",\n "node": "${process.version}",\n "digest": "${cases.digest}",\n "poses": [\n${lines}\n ]\n}\n`);
}
