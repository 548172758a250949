"""Pages drawn at random, each with and without departures: what is on them, and what is true of them."""
import json
import math
import os

import numpy as np

import departures
import machines
from machine import Layout, holders, printed, read_chart, twins

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
SEEN = 0.2      # of L*: can already be objectionable (Rasmussen, J. Electron. Imaging 19(1) 011017, 2010)
EYE_MM = 0.25   # standard deviation of what the eye averages at 350 mm (judgement)

# Which departures a world has, how much of its strength, and which pages it draws.
WORLDS = {"steady": ([], 1.0, "all"), "faint": ([], 1.0, "faint"), "other": (["defects"], 1.0, "none"),
          **{name: ([name], 1.0, "all") for name in departures.WORLDS},
          "mild": (list(departures.WORLDS), 0.5, "all"), "full": (list(departures.WORLDS), 1.0, "all")}
CONTACTS = {"contact", "chatter", "smear", "inkwise"}


def log_uniform(rng, low, high):
    return float(math.exp(rng.uniform(math.log(low), math.log(high))))


def draw_residue(rng, layout, shown, taken):
    """Residue at a place drawn from the zones' priors, most of whose streak the chart shows, away from others."""
    weights = np.array([zone["prior"] for zone in layout.zones])
    for _ in range(400):
        head = layout.heads[rng.integers(len(layout.heads))]
        zone = layout.zones[rng.choice(len(weights), p=weights / weights.sum())]
        outermost, outward = layout.outermost(head, zone["side"])
        middle = outermost + outward * rng.uniform(zone["from_mm"], zone["to_mm"])
        width = log_uniform(rng, 0.3, 4.0)
        residue = {"carriage": head["carriage"], "contact": ["upstream", "downstream"][rng.integers(2)],
                   "x_drum_mm": middle - width / 2, "width_mm": width, "loss": log_uniform(rng, 0.2, 0.95),
                   "head": head["name"], "side": zone["side"], "surface": zone["surface"]}
        touches = layout.touches(residue)
        if touches.sum() == 0 or touches[shown].sum() < 0.7 * touches.sum():
            continue
        if all(abs(middle - other) > 25 for other in taken):
            return residue
    return None


def draw_jet(rng, layout):
    head = layout.heads[rng.integers(len(layout.heads))]
    return {"head": head["name"], "ink": str(rng.choice(list(layout.inks))),
            "jet": int(rng.integers(2, head["jets"] - 2)), "loss": 1.0 if rng.random() < 0.6 else float(rng.uniform(0.4, 1))}


def draw_others(rng, case, layout, wide, likely):
    if rng.random() < likely:
        case["jet"] = [draw_jet(rng, layout) for _ in range(rng.integers(1, 3))]
    x = lambda: float(layout.drum_from_sheet(rng.uniform(0.06, 0.94) * wide))
    if rng.random() < likely / 2:
        case["scratch"] = [{"x_drum_mm": x(), "width_mm": log_uniform(rng, 0.15, 2), "loss": log_uniform(rng, 0.05, 0.9)}]
    if rng.random() < likely / 2:
        case["haze"] = [{"x_drum_mm": x(), "width_mm": float(rng.uniform(2, 12)), "density": log_uniform(rng, 0.02, 0.25)}]


def scan_keys(rng, dpi):
    return {
        "machine_seed": departures.seed(rng), "scan_seed": departures.seed(rng), "dpi": float(rng.choice(dpi)),
        "skew_deg": float(rng.uniform(-0.6, 0.6)), "margin_mm": [float(m) for m in rng.uniform(2, 8, 2)],
        "print_shift_mm": [float(s) for s in rng.normal(0, 0.7, 2)],
        "print_scale": [float(1 + s) for s in rng.normal(0, [0.0004, 0.001])],
        "jet_spread": float(rng.uniform(0.008, 0.03)), "jet_law": str(rng.choice(["normal", "lognormal"])),
        "jet_neighbours": float(rng.choice([0.0, 0.3])),
        "grain": float(rng.uniform(0.015, 0.05)), "mottle": float(rng.uniform(0.003, 0.012)),
        "mottle_mm": float(rng.uniform(1.5, 6)), "paper_texture": float(rng.uniform(0.001, 0.006)),
        "paper_spread_mm": float(rng.uniform(0.02, 0.06)), "ink_spread_px": float(rng.uniform(0.3, 0.8)),
        "blur_px": float(rng.uniform(0.4, 0.8)), "tail_share": float(rng.uniform(0.0, 0.15)),
        "tail_mm": float(rng.uniform(0.05, 0.12)), "light_tilt": [float(t) for t in rng.normal(0, [0.02, 0.015, 0.015])],
        "column_gain": float(rng.uniform(0, 0.002)), "shot": float(rng.uniform(0.003, 0.008)),
        "read": float(rng.uniform(0.0004, 0.0012)), "jpeg_quality": int(rng.integers(88, 97)), "jpeg_thinned": False,
        "format": str(rng.choice(["tif", "png", "jpg"])),
    }


def draw(number, world, options, folder):
    """A case and what is true of it, or nothing. Worlds of one number share machine, chart, scrapes and scan."""
    names, share, pages = WORLDS[world]
    strength = share * options.strength
    rng = np.random.default_rng([options.seed, number])
    machine_seed = departures.seed(rng)
    place = lambda coverage: machines.machine_files(np.random.default_rng(machine_seed), ROOT, folder, options.shipped,
                                                    coverage)
    layout_path, chart_path = place(1.0)
    layout, chart = Layout(layout_path), read_chart(chart_path)
    case = {"layout": layout_path, "chart": chart_path, "sheet_mm": chart["sheet_mm"], "marks": [], "residue": [],
            **scan_keys(rng, options.dpi)}
    shown = np.any([printed(layout, patch) for patch in chart["patch"]], axis=0)
    healthy = rng.random() < options.healthy
    for _ in range(2 if rng.random() < 0.25 else 1):
        residue = draw_residue(rng, layout, shown, [r["x_drum_mm"] for r in case["residue"]])
        if residue and not healthy and pages != "none":
            case["residue"].append(residue)
    draw_others(rng, case, layout, chart["sheet_mm"][0], 0.5 if healthy or pages == "none" else 0.1)
    if pages == "faint":
        for residue in case["residue"]:
            residue["loss"] = 0.02 * 6 ** (math.log(residue["loss"] / 0.2) / math.log(0.95 / 0.2))
    if not case["residue"] and pages == "all" and set(names) and set(names) <= CONTACTS:
        return None, None  # without a contact nothing departs: the page is that of `steady`
    key = [options.seed, number, 7]
    departures.depart(case, names, strength, key)
    if "coverage" in case:
        place(case.pop("coverage"))
    case.pop("sheet_mm")
    truth = truths(case, layout_path, shown, names, strength, key)
    for residue in case["residue"]:
        for word in ("head", "side", "surface"):
            residue.pop(word)
    return case, truth


def truths(case, layout_path, shown, names, strength, key):
    real = Layout(layout_path, case.get("beside"))
    if "offfile" in names:
        real.zones = departures.zone_edges(real, key, strength)
    out = []
    for residue in case["residue"]:
        middle = residue["x_drum_mm"] + residue["width_mm"] / 2
        own = (residue["head"], residue["side"])
        # Zones that moved: the crumb keeps its head, and its surface is not asked for.
        alike = {own} | {t[:2] for t in twins(real, residue, (*own, residue["surface"]), shown)}
        out.append({"side": list(own), "alike": sorted(list(a) for a in alike), "carriage": residue["carriage"],
                    "x_drum_mm": middle, "width_mm": residue["width_mm"], "loss": residue["loss"],
                    "contrast": contrast(real, residue)})
        out[-1]["seen"] = out[-1]["contrast"] >= SEEN
    return out


def contrast(layout, residue):
    """Of the streak in a solid, in L*, in the ink that shows it best, as an eye averages it."""
    kept = (1 - residue["loss"]) ** layout.touches(residue)
    n = max(1, int(4 * EYE_MM / layout.px))
    eye = np.exp(-0.5 * (np.arange(-n, n + 1) * layout.px / EYE_MM) ** 2)
    best = 0.0
    for density in layout.inks.values():
        y = lambda k: (np.array([0.2126, 0.7152, 0.0722]) * 0.84) @ 10 ** -(density[:, None] * k)
        lightness = lambda k: 116 * np.cbrt(y(k)) - 16
        rise = np.convolve(lightness(kept) - lightness(np.ones_like(kept)), eye / eye.sum(), "same")
        best = max(best, float(np.abs(rise).max()))
    return best


def write(case, path):
    with open(path, "w") as file:
        json.dump(case, file, indent=1)
