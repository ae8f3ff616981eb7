"""Makes drawings as CAD programs save them, and says what is in all of this folder.

    python3 make.py           writes ezdxf-*.dxf
    python3 make.py answers   reads every drawing here and writes answers.json

ezdxf 0.18.1 (Debian python3-ezdxf; Manfred Moitzi, MIT licence) is the outside
writer and, for the answers, the outside reader: it follows the blocks, flattens
the curves to 0.001 mm, and this file adds box and length of each row of places.
The parts are invented.
"""
import glob
import io
import json
import math
import sys

import ezdxf
from ezdxf import path

MM = 4  # $INSUNITS


def outline(msp, layer):
    """A plate of 240 by 160 with rounded corners, by bulges."""
    q = math.tan(math.pi / 8)
    corners = [(10, 0, 0), (230, 0, q), (240, 10, 0), (240, 150, q), (230, 160, 0), (10, 160, q), (0, 150, 0), (0, 10, q)]
    if msp.doc.dxfversion == "AC1009":
        msp.add_polyline2d(corners, format="xyb", close=True, dxfattribs={"layer": layer})
    else:
        msp.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": layer})


def blocks(doc):
    hole = doc.blocks.new("HOLE", base_point=(1, 1))
    hole.add_circle((1, 1), 2, dxfattribs={"layer": "0"})
    hole.add_text("M4", dxfattribs={"layer": "0", "height": 2}).set_pos((3, 3))
    slot = doc.blocks.new("SLOT", base_point=(0, 0))
    slot.add_line((-5, -2), (5, -2), dxfattribs={"layer": "0"})
    slot.add_line((-5, 2), (5, 2), dxfattribs={"layer": "0"})
    slot.add_arc((5, 0), 2, -90, 90, dxfattribs={"layer": "0"})
    slot.add_arc((-5, 0), 2, 90, 270, dxfattribs={"layer": "0"})
    pair = doc.blocks.new("PAIR", base_point=(0, 0))
    pair.add_blockref("HOLE", (0, 0), dxfattribs={"layer": "0"})
    pair.add_blockref("HOLE", (20, 0), dxfattribs={"layer": "0", "xscale": 1.5, "yscale": 1.5})
    pair.add_blockref("SLOT", (10, 15), dxfattribs={"layer": "OPENINGS", "rotation": 30})


def dashes(msp, start, end, layer):
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    at = 0.0
    while at < length:
        to = min(at + 9, length)
        msp.add_line((start[0] + ux * at, start[1] + uy * at), (start[0] + ux * to, start[1] + uy * to), dxfattribs={"layer": layer})
        at += 12


def plate(version):
    doc = ezdxf.new(version)
    if version != "R12":
        doc.header["$INSUNITS"] = MM
    for name in ("EDGE", "OPENINGS", "BENDS", "NOTES", "EMPTY"):
        doc.layers.add(name)
    blocks(doc)
    msp = doc.modelspace()
    outline(msp, "EDGE")
    ref = {"layer": "OPENINGS"}
    msp.add_blockref("PAIR", (60, 60), dxfattribs=dict(ref, rotation=90))
    msp.add_blockref("PAIR", (170, 60), dxfattribs=dict(ref, xscale=-1))  # mirrored
    msp.add_blockref("HOLE", (100, 20), dxfattribs=dict(ref, rotation=45, column_count=3, row_count=2, column_spacing=12, row_spacing=8))
    msp.add_circle((-120, 140), 3, dxfattribs=dict(ref, extrusion=(0, 0, -1)))  # seen from below: at x 120
    dashes(msp, (0, 110), (240, 110), "BENDS")
    msp.add_line((30, 0), (30, 160), dxfattribs={"layer": "NOTES"})
    msp.add_text("MAKE 4 OFF", dxfattribs={"layer": "NOTES", "height": 4}).set_pos((10, 170))
    msp.add_point((0, 0), dxfattribs={"layer": "NOTES"})
    if version != "R12":
        msp.add_ellipse((205, 30), (12, 5), 0.4, dxfattribs=ref)
        msp.add_ellipse((205, 55), (8, 0), 0.5, 0, math.pi, dxfattribs=ref)
        msp.add_line((197, 55), (213, 55), dxfattribs=ref)
        msp.add_open_spline([(30, 30), (45, 22), (52, 36), (38, 44), (30, 30)], dxfattribs=ref)
        msp.add_rational_spline([(185, 130), (195, 150), (215, 150), (225, 130)], [1, 2, 0.7, 1], dxfattribs=ref)
        msp.add_line((225, 130), (185, 130), dxfattribs=ref)
        hatch = msp.add_hatch(dxfattribs={"layer": "NOTES"})
        hatch.paths.add_polyline_path([(0, 170), (20, 170), (20, 180)], is_closed=True)
        msp.add_mtext("Deburr all edges", dxfattribs={"layer": "NOTES"})
    return doc


def answers():
    out = {}
    for name in sorted(glob.glob("*.dxf")):
        doc = ezdxf.read(io.StringIO(ended(open(name).read())))
        scale = {1: 25.4, 5: 10, 6: 1000}.get(doc.header.get("$INSUNITS", 0), 1)
        rows = []
        walk(doc.modelspace(), None, scale, rows)
        out[name] = sorted(rows, key=lambda r: (r["layer"], r["box"]))
    with open("answers.json", "w") as f:
        f.write("{\n" + ",\n".join(json.dumps(k) + ": [\n" + ",\n".join(json.dumps(r) for r in v) + "\n]" for k, v in out.items()) + "\n}\n")


def ended(text):
    """Ends insertions that one writer leaves open, and ezdxf refuses."""
    lines, out, left_open, kind = text.splitlines(), [], False, ""
    for code, value in zip(lines[::2], lines[1::2]):
        if code.strip() == "0":
            if left_open and value not in ("ATTRIB", "SEQEND"):
                out += ["0", "SEQEND"]
            left_open, kind = False, value
        left_open = left_open or kind == "INSERT" and code.strip() == "66" and value.strip() == "1"
        out += [code, value]
    return "\n".join(out) + "\n"


def walk(entities, layer, scale, rows):
    for e in entities:
        own = layer if layer and e.dxf.layer == "0" else e.dxf.layer
        kind = e.dxftype()
        if kind == "INSERT":
            for one in e.multi_insert() if e.mcount > 1 else [e]:
                walk(one.virtual_entities(), own, scale, rows)
        elif kind in ("LINE", "CIRCLE", "ARC", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE"):
            p = [v * scale for v in path.make_path(e).flattening(0.001 / scale)]
            x, y = [v.x for v in p], [v.y for v in p]
            rows.append({"layer": own, "box": [round(v, 3) for v in (min(x), min(y), max(x), max(y))],
                         "length": round(sum(a.distance(b) for a, b in zip(p, p[1:])), 2)})


if __name__ == "__main__":
    if sys.argv[1:] == ["answers"]:
        answers()
    else:
        for version in ("R12", "R2000", "R2018"):
            plate(version).saveas("ezdxf-" + version.lower() + ".dxf")
