// Reads the blanks of the example parts with a DXF reader that shares no code with
// us, the npm package dxf-parser, and compares what it finds with the plan: the
// area inside the cut edges, arcs taken as arcs, and the number of bend lines.
//
//   npm install --prefix SCRATCH dxf-parser@1.1.2
//   NODE_PATH=SCRATCH/node_modules node testdata/drawings/read.mjs BRAKESIDE FOLDER
//
// SCRATCH is any empty folder, BRAKESIDE is the program, FOLDER takes the drawings.
import { createRequire } from 'node:module';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { spawnSync } from 'node:child_process';

const require = createRequire(process.env.NODE_PATH + '/');
const module = require('dxf-parser');
const Parser = module.default ?? module;

const [program, folder] = process.argv.slice(2);
const parts = 'testdata/parts';

// run gives what the program prints; 3 is a part that this brake cannot bend.
function run(...words) {
  const { status, stdout, stderr } = spawnSync(program, words, { encoding: 'utf8' });
  if (status !== 0 && status !== 3) throw new Error(`brakeside ${words.join(' ')}: ${stderr}`);
  return stdout;
}

const at = (c, r, angle) => ({ x: c.x + r * Math.cos(angle), y: c.y + r * Math.sin(angle) });
const cross = (p, q) => (p.x * q.y - q.x * p.y) / 2;

// edge is a piece of the cut: its ends, and the area between it and the origin
// when it is walked from the first end to the last.
function edge(e) {
  if (e.type === 'ARC') {
    const { center: c, radius: r, startAngle: a, endAngle: b } = e;
    const sweep = b > a ? b - a : b - a + 2 * Math.PI;
    const from = at(c, r, a), to = at(c, r, b);
    return { from, to, area: cross(from, to) + r * r * (sweep - Math.sin(sweep)) / 2 };
  }
  const points = e.shape ? [...e.vertices, e.vertices[0]] : e.vertices;
  let area = 0;
  for (let i = 1; i < points.length; i++) area += cross(points[i - 1], points[i]);
  return { from: points[0], to: points.at(-1), area };
}

const near = (p, q) => Math.hypot(p.x - q.x, p.y - q.y) < 0.002;

// loops joins the edges end to end and gives the areas of the closed loops.
function loops(edges) {
  const areas = [];
  while (edges.length > 0) {
    let { from, to, area } = edges.pop();
    while (!near(from, to)) {
      const i = edges.findIndex((e) => near(e.from, to) || near(e.to, to));
      if (i < 0) throw new Error(`the cut is open at ${to.x}, ${to.y}`);
      const [next] = edges.splice(i, 1);
      area += near(next.from, to) ? next.area : -next.area;
      to = near(next.from, to) ? next.to : next.from;
    }
    areas.push(Math.abs(area));
  }
  return areas;
}

let failed = 0, count = 0;
for (const file of readdirSync(parts).filter((name) => name.endsWith('.json')).sort()) {
  const part = join(parts, file), drawing = join(folder, file.replace('.json', '.dxf'));
  run('flat', part, '-o', drawing);
  const { blank } = JSON.parse(run('plan', part, '-json'));
  const { entities } = new Parser().parseSync(readFileSync(drawing, 'utf8'));
  const cut = entities.filter((e) => e.layer === 'CUT');
  const areas = loops(cut.filter((e) => e.type !== 'CIRCLE').map(edge));
  for (const e of cut.filter((e) => e.type === 'CIRCLE')) areas.push(Math.PI * e.radius ** 2);
  const outer = Math.max(...areas);
  const area = 2 * outer - areas.reduce((a, b) => a + b, 0);
  const bends = entities.filter((e) => e.layer.startsWith('BEND')).length;
  count++;
  if (Math.abs(area - blank.area) > 0.02 + 1e-5 * blank.area || bends !== blank.bend_lines.length) {
    failed++;
    console.error(`${file}: read ${area.toFixed(3)} mm2 and ${bends} bend lines, planned ${blank.area} and ${blank.bend_lines.length}`);
  }
}
if (failed > 0) process.exit(1);
console.log(`${count} drawings read by dxf-parser agree with their plans in area and bend lines`);
