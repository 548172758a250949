"""What a good technician would write in an afternoon: band means, a median baseline, peaks, the nearest side of a head.

It is told where the sheet lies (corner, skew), as somebody with a ruler would see; all else it reads from the scan. It
knows no interleave, no noise model and no other cause than a scrape. The tool should be right as often, with fewer
false alarms.
"""
import math

import numpy as np
from scipy.ndimage import median_filter

STEP_MM = 0.1   # bins across
BASE_MM = 12.0  # of the running median
FLOOR = 0.03    # least part of the ink missing
TIMES = 5.0     # least height over the noise


def band_loss(image, case, frame, patch):
    """Part of a band's ink that is missing, by sheet x: how far its mean light rises over a running median."""
    p = 25.4 / case["dpi"]
    left, right = patch["x_mm"][0] + 1, patch["x_mm"][1] - 1
    x = np.arange(left, right, STEP_MM)
    y = np.arange(patch["y_mm"][0] + 1.5, patch["y_mm"][1] - 1.5, max(p, 0.15))
    if len(y) < 20 or len(x) < 400:
        return None
    u, v = frame.at(x[None, :], y[:, None])
    inside = (u >= 0) & (u < image.shape[1]) & (v >= 0) & (v < image.shape[0])
    if not inside.all():
        return None
    light = image[v.astype(int), u.astype(int)].astype(float).mean(0)
    channel = np.argmin(light.mean(0))
    band = light[:, channel]
    base = median_filter(band, int(BASE_MM / STEP_MM), mode="nearest")
    return x, (band - base) / np.maximum(235 - base, 20)


def peaks(loss, x):
    noise = 1.4826 * np.median(np.abs(loss - np.median(loss)))
    over = loss > max(FLOOR, TIMES * noise)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], over.astype(int), [0]])))
    found = []
    for a, b in zip(edges[::2], edges[1::2]):
        if found and x[a] - found[-1][1] < 1.0:
            a = found.pop()[2]
        part = np.maximum(loss[a:b], 0)
        found.append((float((x[a:b] * part).sum() / part.sum()), float(x[b - 1]), a, float(part.sum() * STEP_MM)))
    return sorted(((middle, size) for middle, _, _, size in found), key=lambda f: -f[1])


def sides_by_distance(layout, x_sheet):
    """(head, side) by how far its outermost jet is from a streak."""
    x = layout.drum_from_sheet(x_sheet)
    return sorted(((h["name"], side) for h in layout.heads for side in ("left", "right")),
                  key=lambda hs: abs(layout.outermost(next(h for h in layout.heads if h["name"] == hs[0]), hs[1])[0] - x))


def answer(image, case, frame, layout, chart):
    """(head, side), likeliest first: the nearest side of every streak, then the second nearest."""
    bands = [b for b in (band_loss(image, case, frame, p) for p in chart["patch"]) if b is not None]
    if not bands:
        return []
    x = np.arange(max(b[0][0] for b in bands), min(b[0][-1] for b in bands), STEP_MM)
    loss = np.median([np.interp(x, *b) for b in bands], axis=0)
    ranked = [sides_by_distance(layout, middle) for middle, _ in peaks(loss, x)]
    out = [r[0] for r in ranked] + [r[1] for r in ranked]
    return list(dict.fromkeys(out))


def frame_of(case, scan):
    """The sheet's place, given to the script."""
    from sheet import Frame
    skew = math.radians(case["skew_deg"])
    return Frame(25.4 / case["dpi"], math.sin(skew), math.cos(skew), scan.frame.left, scan.frame.top, scan.rows,
                 scan.columns)
