// The outside solid modeller, and bent metal as its solids.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const folder = join(process.env.NODE_PATH ?? 'node_modules', 'manifold-3d');
export const version = JSON.parse(readFileSync(join(folder, 'package.json'))).version;
const { default: load } = await import(pathToFileURL(join(folder, 'manifold.js')).href);
const modeller = await load();
modeller.setup();
export const { Manifold } = modeller;

// The bent metal: a sector of a ring in so many chords, extruded along its axis
// and put into place by the columns of its frame.
export function bent({ inner, outer, angle, chords, length, x, y, z, at }) {
  const arc = (radius) => Array.from({ length: chords + 1 }, (_, i) => [radius * Math.cos(angle * i / chords), radius * Math.sin(angle * i / chords)]);
  const ring = [...arc(outer), ...(inner > 0 ? arc(inner).reverse() : [[0, 0]])];
  return Manifold.extrude([ring], length).transform([...x, 0, ...y, 0, ...z, 0, ...at, 1]);
}

// What solids fill together, and what they fill each for itself.
export function filled(solids) {
  return { apart: solids.reduce((sum, s) => sum + s.volume(), 0), whole: Manifold.union(solids).volume() };
}
