"""How real prints depart from the forward model: draws what `render.py` renders, from one random number generator.

Every function takes a case and changes it, with a strength from 0 (as the model says) to 1. Contacts vary by events in
time and noise of narrow bands, sections are random knots, stretch and paper are random fields. All strengths are
judgement, not measurement: no published figures are known.

contact   removal over the contact's width is no box: a dome, a slope, two bumps with a gap, or ragged
chatter   pressure flutters in time, grows along the sheet, stops, or begins in a later pass partway down
smear     ink taken piles up beside the contact, is dragged down the sheet, and falls back in specks
inkwise   the loss differs by ink; in overprints most of it comes off the ink laid last
offfile   the machine stands beside its layout file: heads, zone edges, scale, one pass by a column
paper     uneven stretch, the print turned on the sheet, laid or recycled paper, tint, the other side showing through
scanner   lamp, tone, sharpening, colour fringes, sensor joints, wobble, low resolution, coarse JPEG, tints
defects   damage of one sheet: hickeys, bands, rollers, scores, a fold, fingers, writing, a stamp, a ring, dust, set-off
"""
import math

import numpy as np

from machine import Layout


def seed(rng):
    return int(rng.integers(1 << 31))


def between(rng, low, high):
    return float(rng.uniform(low, high))


def some(rng, names, share=0.45):
    """A random subset that is not empty."""
    chosen = [n for n in names if rng.random() < share]
    return chosen or [names[rng.integers(len(names))]]


def contact(case, rng, s):
    for residue in case["residue"]:
        knots = np.linspace(0, 1, 41)
        kind = rng.integers(4)
        if kind == 0:  # a dome whose crown and flanks are drawn
            crown, power = rng.uniform(0.3, 0.7), rng.uniform(0.4, 1.1)
            section = np.interp(knots, [0, crown, 1], [0, 1, 0]) ** power
        elif kind == 1:  # thick on one side, with steps: a torn edge
            steps = np.concatenate([[0], np.cumsum(rng.gamma(0.7, 1, 40))])
            section = 0.1 + 0.9 * steps / steps[-1]
            section = section[::-1] if rng.random() < 0.5 else section
        elif kind == 2:  # two crumbs
            a, gap = rng.uniform(0.25, 0.55), rng.uniform(0.1, 0.3)
            section = np.where(knots < a, 1, np.where(knots < a + gap, 0, rng.uniform(0.3, 1)))
            section = section[::-1] if rng.random() < 0.5 else section
        else:  # ragged
            fine = np.linspace(0, 1, 21)
            section = np.interp(knots, fine, rng.random(21))
        section = section / section.max()
        residue["section"] = [float(v) for v in 1 - s * (1 - section)]


def chatter(case, rng, s):
    layout = Layout(case["layout"])
    long = case["sheet_mm"][1]
    for residue in case["residue"]:
        along = {"seed": seed(rng)}
        for what in some(rng, ["flutter", "growth", "stops", "begin"]):
            if what == "flutter":
                along.update(flutter_mm=between(rng, 3, 12), depth=s * between(rng, 0.4, 0.9))
            elif what == "growth":
                along["growth_from"] = 1 - s * between(rng, 0.3, 0.7)
            elif what == "stops":
                stops = []
                for _ in range(rng.integers(1, 4)):
                    length = s * between(rng, 8, 0.2 * long)
                    begin = between(rng, 0, long - length)
                    stops.append([begin, begin + length])
                along["stops"] = stops
            elif rng.random() < s:
                along.update(begin_pass=int(rng.integers(0, max(1, len(layout.shift) // 2))),
                             begin_mm=between(rng, 0, 0.8 * long))
        residue["along"] = along


def smear(case, rng, s):
    inks = list(Layout(case["layout"]).inks)
    for residue in case["residue"]:
        residue["smear"] = {
            "side": s * between(rng, 0.1, 0.4), "side_mm": between(rng, 0.08, 0.3), "side_left": between(rng, 0.2, 0.8),
            "drag": s * between(rng, 0.03, 0.15), "drag_mm": between(rng, 3, 25),
            "specks": int(s * rng.integers(20, 201)), "seed": seed(rng),
            "by_ink": {ink: 1 + s * (between(rng, 0.4, 1.6) - 1) for ink in inks}}


def inkwise(case, rng, s):
    inks = list(Layout(case["layout"]).inks)
    case["ink_order"] = [str(i) for i in rng.permutation(inks)]
    for residue in case["residue"]:
        factor = {ink: between(rng, 0.5, 1.2) for ink in inks}
        if "black" in factor:
            factor["black"] = between(rng, 0.3, 0.9)
        residue["by_ink"] = {ink: 1 + s * (f - 1) for ink, f in factor.items()}
        residue["last_share"] = s * between(rng, 0.4, 1.0)


def offfile(case, rng, s):
    layout = Layout(case["layout"])
    beside = {}
    for what in some(rng, ["heads", "scale", "pass"]):
        if what == "heads":
            beside["head_mm"] = {h["name"]: s * between(rng, 0.05, 0.3) * float(rng.choice([-1, 1])) for h in layout.heads}
        elif what == "scale":
            case["print_scale"] = [f + s * 0.002 * float(rng.uniform(-1, 1)) for f in case["print_scale"]]
        elif rng.random() < s:
            slips = [0] * len(layout.shift)
            slips[rng.integers(len(slips))] = int(rng.choice([-1, 1]))
            beside["pass_px"] = {str(rng.choice(list(layout.carriages))): slips}
    case["beside"] = beside
    # Residue rides on the machine as it is: it keeps its place on the head, not on the drum.
    moved = beside.get("head_mm", {})
    for residue in case["residue"]:
        residue["x_drum_mm"] += moved.get(residue["head"], 0.0)


def paper(case, rng, s):
    make = {"laid_depth": 0.0, "laid_mm": between(rng, 0.8, 1.3), "chain_depth": 0.0, "chain_mm": between(rng, 22, 30),
            "tint": [1.0, 1.0, 1.0], "seed": seed(rng)}
    for what in some(rng, ["stretch", "turn", "laid", "recycled", "tint", "behind"]):
        if what == "stretch":
            case["stretch"] = {"share": s * between(rng, 0.001, 0.003), "waves": between(rng, 0.5, 1.5), "seed": seed(rng)}
        elif what == "turn":
            case["print_turn_deg"] = s * between(rng, 0.1, 0.5) * float(rng.choice([-1, 1]))
        elif what == "laid":
            make.update(laid_depth=s * between(rng, 0.01, 0.04), chain_depth=s * between(rng, 0.01, 0.05))
        elif what == "recycled":
            case["marks"].append({"kind": "recycled", "seed": seed(rng), "strength": s,
                                  "count": int(rng.integers(200, 1500))})
        elif what == "tint":
            make["tint"] = [1 - s * between(rng, 0, t) for t in (0.06, 0.1, 0.25)]
        else:
            case["marks"].append({"kind": "behind", "seed": seed(rng), "strength": s,
                                  "density": s * between(rng, 0.01, 0.03)})
    case["paper"] = make


def scanner(case, rng, s):
    device = {"seed": seed(rng), "gamma": None}
    for what in some(rng, ["lamp", "tone", "sharpen", "fringe", "joints", "wobble", "coarse", "jpeg", "tints"], 0.4):
        if what == "lamp":
            case["light_tilt"] = [s * float(t) for t in rng.normal(0, [0.08, 0.05, 0.06])]
        elif what == "tone":
            device.update(gamma=2.2 + s * between(rng, -0.5, 0.4), black=s * between(rng, 0, 0.01),
                          white=1 - s * between(rng, 0, 0.1))
        elif what == "sharpen":
            device.update(sharpen=s * between(rng, 0.4, 1.5), sharpen_times=int(rng.integers(1, 3)))
        elif what == "fringe":
            device["fringe_px"] = s * between(rng, 0.5, 1.0) * float(rng.choice([-1, 1]))
        elif what == "joints":
            device.update(joints=int(rng.integers(2, 8)), joints_px=s * between(rng, 1, 2))
        elif what == "wobble":
            device.update(wobble_mm=s * between(rng, 0.1, 0.4), wobble_period_mm=between(rng, 20, 150))
        elif what == "coarse" and rng.random() < s:
            case["dpi"] = float(rng.choice([150, 200]))
        elif what == "jpeg":
            case.update(jpeg_quality=int(92 - s * rng.uniform(12, 32)), jpeg_thinned=True)
            case["format"] = "jpg"
        elif what == "tints" and rng.random() < s:
            case["screen"] = {"lines_per_inch": float(rng.choice([0, 133, 150, 175])), "angle_deg": between(rng, 0, 90)}
            case["coverage"] = between(rng, 0.5, 0.85)
    case["device"] = device


def defects(case, rng, s):
    kinds = ["hickeys", "banding", "rollers", "lines", "fold", "fingers", "writing", "stamp", "ring", "dust_line",
             "behind", "wrinkle"]
    for kind in some(rng, kinds, 0.4):
        if kind == "banding":
            case["banding"] = {"depth": s * between(rng, 0.015, 0.05), "mm": between(rng, 8, 60), "seed": seed(rng)}
            continue
        mark = {"kind": kind, "seed": seed(rng), "strength": s}
        if kind == "hickeys":
            mark["count"] = int(math.ceil(s * rng.integers(6, 31)))
        elif kind in ("lines", "fingers", "dust_line"):
            mark["count"] = int(rng.integers(1, 4))
        elif kind == "behind":
            mark["density"] = s * between(rng, 0.02, 0.06)
        case["marks"].append(mark)


WORLDS = {f.__name__: f for f in (contact, chatter, smear, inkwise, offfile, paper, scanner, defects)}


def depart(case, names, strength, key):
    """Adds departures to a case; the same key draws the same ones, whatever else is added."""
    for name in names:
        number = list(WORLDS).index(name)
        WORLDS[name](case, np.random.default_rng([*key, number]), strength)


def zone_edges(layout, key, strength):
    """Where zones really end, up to half a millimetre from where the file says: for the truth, not for the print."""
    rng = np.random.default_rng([*key, 99])
    return [{**z, "from_mm": z["from_mm"] + strength * rng.uniform(-0.5, 0.5),
             "to_mm": z["to_mm"] + strength * rng.uniform(-0.5, 0.5)} for z in layout.zones]
