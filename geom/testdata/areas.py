"""Reads walls with openings and clips as JSON, prints areas worked out by GEOS (Debian python3-shapely)."""
import json
import sys

from shapely.geometry import LineString, Polygon, box

for line in sys.stdin:
    case = json.loads(line)
    wall = Polygon(case["outer"])
    for hole in case["holes"]:
        wall = wall.difference(Polygon(hole))
    low, left, high, right = -1e6, -1e6, 1e6, 1e6
    print(json.dumps({
        "wall": wall.area,
        "perimeter": wall.length,
        "bands": [wall.intersection(box(x0, low, x1, high)).area for x0, x1 in case["bands"]],
        "bandPieces": [len([g for g in getattr(p, "geoms", [p]) if g.geom_type == "Polygon" and g.area > 1e-6])
                       for p in (wall.intersection(box(x0, low, x1, high)) for x0, x1 in case["bands"])],
        "cuts": [wall.intersection(box(left, y0, right, y1)).area for y0, y1 in case["cuts"]],
        "leaning": [wall.intersection(Polygon(q)).area for q in case["leaning"]],
        "left": wall.difference(Polygon(case["other"])).area,
        "common": wall.intersection(Polygon(case["other"])).area,
        "all": wall.union(Polygon(case["other"])).area,
        "seam": wall.intersection(LineString(case["seam"])).length,
        "overlap": Polygon(case["outer"]).intersection(Polygon(case["other"])).area > 1e-2,
        "inside": Polygon(case["outer"]).contains(Polygon(case["other"])),
    }))
