"""Small machines that no file in the project describes, drawn at random; and layouts bent a little."""
import copy
import json
import math
import pathlib
import tomllib

ROOT = pathlib.Path(__file__).resolve().parents[2]
SHIPPED = ["hobdrel", "quennip", "tavvick"]
INKS = [("cyan", [1.1, 0.32, 0.12]), ("magenta", [0.16, 1.15, 0.42]), ("yellow", [0.03, 0.09, 0.95]),
        ("black", [1.35, 1.38, 1.4])]


def text_of(value):
    """A value as TOML."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return json.dumps(value)
    if isinstance(value, list):
        return "[" + ", ".join(text_of(v) for v in value) + "]"
    return repr(value)


def toml_of(tree):
    """A layout, chart or scenario as TOML: keys, tables, lists of tables."""
    out = [f"{key} = {text_of(v)}" for key, v in tree.items()
           if not isinstance(v, dict) and not (isinstance(v, list) and v and isinstance(v[0], dict))]
    for key, value in tree.items():
        tables = [value] if isinstance(value, dict) else value if isinstance(value, list) and value and \
            isinstance(value[0], dict) else []
        for table in tables:
            out.append(f"[{key}]" if isinstance(value, dict) else f"[[{key}]]")
            out += [f"{name} = {text_of(v)}" for name, v in table.items()]
    return "\n".join(out) + "\n"


def drawn_layout(rng, number):
    """Two to four heads on one to three carriages, 90 to 150 mm of print."""
    dpi = rng.choice([300.0, 360.0, 400.0, 600.0])
    px = 25.4 / dpi
    pitch = rng.choice([5, 6, 7, 8, 10])
    if rng.random() < 0.6:
        step = rng.choice([n for n in range(1, pitch) if math.gcd(n, pitch) == 1])
        shift = [k * step for k in range(pitch)]
    else:
        shift = [0] + rng.sample(range(1, pitch), pitch - 1)
    reach = max(shift)
    heads = rng.randint(2, 4)
    carriages = min(heads, rng.randint(1, 3))
    travel = [1] * carriages if rng.random() < 0.5 else [rng.choice([1, -1]) for _ in range(carriages)]
    printed_mm = rng.uniform(90, 150)
    each = int(printed_mm / px / heads)
    first = int(6 / px) + reach
    out = {"schema": "scrapetrace.layout/1", "name": f"Drawn {number}",
           "drum": {"width_mm": round(printed_mm + 30, 1), "circumference_mm": 320.0},
           "raster": {"cross_process_dpi": dpi, "process_dpi": dpi},
           "interleave": {"jet_pitch_px": pitch, "shift_px": shift}}
    mirrored = rng.random() < 0.5
    out["transfer"] = {"mirrored": mirrored, "scale_cross": 1.0,
                       "sheet_left_on_drum_mm": round(printed_mm + 26, 1) if mirrored else 4.0}
    out["ink"] = [{"name": name, "solid_density_rgb": density} for name, density in INKS]
    angles = sorted(rng.sample(range(0, 300, 11), carriages))
    out["carriage"] = [{"name": f"c{n}", "angle_deg": float(angles[n]), "offset_mm": rng.choice([0.0, 0.0, 0.06, -0.05]),
                        "travel": travel[n]} for n in range(carriages)]
    out["head"] = []
    for n in range(heads):
        overlap = rng.randint(2, pitch)
        way = travel[n % carriages]
        begin = first + n * each + rng.randint(0, 3)
        jet0 = begin - (reach if way > 0 else 0)
        jets = -(-(each + overlap + reach) // pitch) + 1
        out["head"].append({"name": str(n + 1), "carriage": f"c{n % carriages}", "first_jet_px": jet0, "jets": jets,
                            "rotated": rng.random() < 0.3})
    face, far = round(rng.uniform(2, 5), 1), round(rng.uniform(7, 11), 1)
    out["zone"] = [{"surface": surface, "side": side, "from_mm": a, "to_mm": b, "prior": round(rng.uniform(0.1, 0.4), 2),
                    "effort_min": 4.0}
                   for surface, a, b in (("faceplate", -2.0, face), ("insulation", face, far))
                   for side in ("left", "right")]
    right = printed_mm + 16
    chart = {"schema": "scrapetrace.chart/1", "name": f"bands {number}", "sheet_mm": [round(right + 6, 1), 170.0]}
    bands = [["cyan"], ["magenta"], ["yellow"], ["black"], ["cyan", "magenta"]]
    chart["patch"] = [{"inks": inks, "x_mm": [10.0, round(right - 8, 1)], "y_mm": [10.0 + 29 * k, 34.0 + 29 * k],
                       "coverage": 1.0} for k, inks in enumerate(bands)]
    chart["patch"].append({"inks": ["black"], "x_mm": [10.0, 21.0], "y_mm": [156.0, 164.0], "coverage": 1.0})
    return out, chart


def shipped(name):
    """A layout of the project with its chart, on a part of its length."""
    layout = tomllib.loads((ROOT / "geometry" / f"{name}.toml").read_text())
    chart = tomllib.loads((ROOT / "geometry" / "charts" / f"{name}_bands.toml").read_text())
    chart["sheet_mm"][1] = round(0.5 * chart["sheet_mm"][1], 2)
    for patch in chart["patch"]:
        patch["y_mm"] = [round(0.5 * y, 2) for y in patch["y_mm"]]
    chart.pop("mark", None)
    return layout, chart


WAYS = ["carriage", "carriages", "heads", "scale"]


def by_heads(layout):
    """The same machine with a carriage for every head, so that each may stand off by itself."""
    out = copy.deepcopy(layout)
    out["carriage"] = []
    for n, head in enumerate(out["head"]):
        own = copy.deepcopy(next(c for c in layout["carriage"] if c["name"] == head["carriage"]))
        own["name"] += f"-{n}"
        own["angle_deg"] = own["angle_deg"] + 0.001 * n
        head["carriage"] = own["name"]
        out["carriage"].append(own)
    return out


def moved(carriage, rng, most_mm):
    carriage["offset_mm"] = round(carriage.get("offset_mm", 0.0) + rng.choice([-1, 1]) * rng.uniform(0, most_mm), 4)


def bent(layout, way, rng, most_mm):
    """(what the file says, what stands): the print is made by the second."""
    file, real = copy.deepcopy(layout), copy.deepcopy(layout)
    if way == "carriage":
        moved(rng.choice(file["carriage"]), rng, most_mm)
    elif way == "carriages":
        for carriage in file["carriage"]:
            moved(carriage, rng, most_mm)
    elif way == "heads":
        real = by_heads(layout)
        for carriage in real["carriage"]:
            moved(carriage, rng, most_mm)
    else:
        file["transfer"]["scale_cross"] *= 1 + rng.choice([-1, 1]) * rng.uniform(0, 0.001)
    return file, real
