// Writes drawings with two more writers of DXF, both from npm under the MIT
// licence: @tarikjabiri/dxf 2.9.0, in centimetres, and dxf-writer 1.18.4, in inches.
//   npm install @tarikjabiri/dxf@2.9.0 dxf-writer@1.18.4
//   NODE_PATH=... node make.mjs
// The parts are invented.
import { createRequire } from "node:module";
import { writeFileSync } from "node:fs";
const require = createRequire(process.env.NODE_PATH + "/");
const { DxfWriter, point2d, point3d, Units } = require("@tarikjabiri/dxf");
const Drawing = require("dxf-writer");

const cm = new DxfWriter();
cm.setUnits(Units.Centimeters);
for (const name of ["EDGE", "OPENINGS", "BENDS"]) cm.addLayer(name, 7, "CONTINUOUS");
const on = (layerName) => ({ layerName });
const hole = cm.addBlock("HOLE");
hole.addCircle(point3d(0, 0), 0.3, on("0"));
const group = cm.addBlock("GROUP");
group.addInsert("HOLE", point3d(0, 0), on("0"));
group.addInsert("HOLE", point3d(2, 0), on("0"));
group.addArc(point3d(1, 2), 0.5, 0, 180, on("0"));
group.addLine(point3d(0.5, 2), point3d(1.5, 2), on("0"));
const bulge = Math.tan(Math.PI / 8);
cm.addLWPolyline([
  { point: point2d(0, 0) }, { point: point2d(19, 0), bulge }, { point: point2d(20, 1) },
  { point: point2d(20, 12) }, { point: point2d(0, 12) },
], { ...on("EDGE"), flags: 1 });
cm.addInsert("GROUP", point3d(4, 3), { ...on("OPENINGS"), rotationAngle: 90 });
cm.addInsert("GROUP", point3d(12, 3), { ...on("OPENINGS"), scaleFactor: { x: -1, y: 1, z: 1 } });
cm.addInsert("HOLE", point3d(15, 2), { ...on("OPENINGS"), columnCount: 2, rowCount: 2, columnSpacing: 1.5, rowSpacing: 1 });
cm.addEllipse(point3d(16, 6), point3d(1, 0.5), 0.6, 0, 2 * Math.PI, on("OPENINGS"));
cm.addLine(point3d(0, 9), point3d(20, 9), on("BENDS"));
writeFileSync("npm-centimetres.dxf", cm.stringify());

const inch = new Drawing();
inch.setUnits("Inches");
for (const name of ["EDGE", "OPENINGS", "BENDS"]) inch.addLayer(name, Drawing.ACI.WHITE, "CONTINUOUS");
inch.setActiveLayer("EDGE");
inch.drawPolyline([[0, 0], [7.5, 0, bulge], [8, 0.5], [8, 4], [0, 4]], true);
inch.setActiveLayer("OPENINGS");
inch.drawCircle(1, 1, 0.125);
inch.drawEllipse(4, 1.25, 0.5, 0.25, 0.5, 0, 2 * Math.PI);
inch.drawSpline([[6, 1], [6.5, 2.5], [7.25, 2.5], [7.25, 1]], 3);
inch.drawLine(7.25, 1, 6, 1);
inch.drawArc(2.5, 1, 0.25, 0, 180);
inch.drawLine(2.25, 1, 2.75, 1);
inch.setActiveLayer("BENDS");
inch.drawLine(0, 3, 8, 3);
inch.setActiveLayer("0");
inch.drawText(1, 5, 0.2, 0, "FOLD UP");
writeFileSync("npm-inches.dxf", inch.toDxfString());
