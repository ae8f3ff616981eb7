// Makes volumes.json again: what an outside solid modeller finds as the volume
// of the finished example parts.
//
//   go test ./calc/fold -run OutsideSolidModeller -cases SCRATCH/parts.json
//   npm install --prefix SCRATCH manifold-3d@3.5.4
//   NODE_PATH=SCRATCH/node_modules node testdata/folding/volumes.mjs SCRATCH/parts.json testdata/folding/volumes.json
//
// SCRATCH is any empty folder, by its whole path.
// With a third argument "compare" nothing is written: the fresh volumes must
// agree with the recorded ones to a thousandth of a cubic millimetre.
import { readFileSync, writeFileSync } from 'node:fs';
import { Manifold, bent, filled, version } from './modeller.mjs';

const [casesFile, volumesFile, mode] = process.argv.slice(2);
const cases = JSON.parse(readFileSync(casesFile));
const round = (v) => Math.round(v * 1e6) / 1e6;
const volumes = cases.parts.map(({ flats, bends }) => {
  const { whole, apart } = filled([...flats.map((points) => Manifold.hull(points)), ...bends.map(bent)]);
  return { whole: round(whole), apart: round(apart) };
});

if (mode === 'compare') {
  const recorded = JSON.parse(readFileSync(volumesFile));
  const differ = volumes.filter((v, i) => !(Math.abs(v.whole - recorded.volumes[i].whole) <= 1e-3 && Math.abs(v.apart - recorded.volumes[i].apart) <= 1e-3)).length;
  if (recorded.digest !== cases.digest || differ > 0) {
    console.error(`${differ} of ${volumes.length} volumes differ from the recorded ones`);
    process.exit(1);
  }
  console.log(`${volumes.length} volumes agree with the recorded ones (manifold-3d ${version})`);
} else {
  writeFileSync(volumesFile, JSON.stringify({ modeller: `manifold-3d ${version}`, node: process.version, digest: cases.digest, volumes }, null, 1) + '\n');
}
