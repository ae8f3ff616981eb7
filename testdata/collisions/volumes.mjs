// Makes volumes.json again: what an outside solid modeller finds in common
// between the pairs of solids that our collision test draws.
//
//   go test ./calc/clash -run OutsideSolidModeller -cases SCRATCH/cases.json
//   npm install --prefix SCRATCH manifold-3d@3.5.4
//   NODE_PATH=SCRATCH/node_modules node testdata/collisions/volumes.mjs SCRATCH/cases.json testdata/collisions/volumes.json
//
// SCRATCH is any empty folder, by its whole path.
// With a third argument "compare" nothing is written: the fresh volumes must
// agree with the recorded ones to a millionth of a cubic millimetre.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const folder = join(process.env.NODE_PATH ?? 'node_modules', 'manifold-3d');
const version = JSON.parse(readFileSync(join(folder, 'package.json'))).version;
const { default: load } = await import(pathToFileURL(join(folder, 'manifold.js')).href);
const modeller = await load();
modeller.setup();
const { Manifold } = modeller;

const [casesFile, volumesFile, mode] = process.argv.slice(2);
const cases = JSON.parse(readFileSync(casesFile));
const volumes = cases.pairs.map(({ A, B }) => {
  const a = Manifold.hull(A), b = Manifold.hull(B), common = a.intersect(b);
  const volume = common.isEmpty() ? 0 : common.volume();
  for (const solid of [a, b, common]) solid.delete();
  return Math.round(volume * 1e6) / 1e6;
});

if (mode === 'compare') {
  const recorded = JSON.parse(readFileSync(volumesFile));
  const differ = volumes.filter((v, i) => !(Math.abs(v - recorded.volumes[i]) <= 1e-6 * Math.max(1, v))).length;
  if (recorded.digest !== cases.digest || differ > 0) {
    console.error(`${differ} of ${volumes.length} volumes differ from the recorded ones`);
    process.exit(1);
  }
  console.log(`${volumes.length} volumes agree with the recorded ones (manifold-3d ${version})`);
} else {
  writeFileSync(volumesFile, JSON.stringify({ modeller: `manifold-3d ${version}`, node: process.version, digest: cases.digest, volumes }) + '\n');
}
