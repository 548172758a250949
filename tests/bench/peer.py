#!/usr/bin/env python3
"""The peer: what somebody handy with OpenCV and SciPy would write for the job in an afternoon.

Band profiles, a median as the baseline, peaks, and the nearest side of a head. Prints one JSON line per scan:
the side named, the place on the drum, and nothing more. For an upright scan of a known chart on a known machine.
Usage: peer.py LAYOUT CHART SCAN...
"""
import json
import sys
import tomllib

import cv2
import numpy as np
from scipy.ndimage import median_filter
from scipy.signal import find_peaks

BASELINE_MM = 15
LEAST_SIGMA = 6
EDGE_MM = 1.0


def bounds(mask, axis):
    share = mask.mean(axis=axis)
    inside = np.flatnonzero(share > 0.2)
    return inside[0], inside[-1] + 1


def placed(image, chart):
    """Pixels per millimetre and origin, from the box around all that is printed."""
    small = image[::8, ::8]
    printed = (small.min(axis=2) < 140).astype(np.uint8)
    printed = cv2.morphologyEx(printed, cv2.MORPH_OPEN, np.ones((5, 5), np.uint8)).astype(bool)
    wide = [p for p in chart["patch"] if p["x_mm"][1] - p["x_mm"][0] > 100]
    x_mm = min(p["x_mm"][0] for p in wide), max(p["x_mm"][1] for p in wide)
    y_mm = min(p["y_mm"][0] for p in wide), max(p["y_mm"][1] for p in wide)
    u, v = bounds(printed, 0), bounds(printed, 1)
    per_mm_x = 8 * (u[1] - u[0]) / (x_mm[1] - x_mm[0])
    per_mm_y = 8 * (v[1] - v[0]) / (y_mm[1] - y_mm[0])
    return (per_mm_x, 8 * u[0] - x_mm[0] * per_mm_x), (per_mm_y, 8 * v[0] - y_mm[0] * per_mm_y)


def band_loss(image, patch, x, y, light):
    """Relative loss of density across one band."""
    rows = [int(y[0] * mm + y[1]) for mm in (patch["y_mm"][0] + EDGE_MM, patch["y_mm"][1] - EDGE_MM)]
    cols = [int(x[0] * mm + x[1]) for mm in (patch["x_mm"][0] + EDGE_MM, patch["x_mm"][1] - EDGE_MM)]
    band = light[image[rows[0]:rows[1], cols[0]:cols[1]]]
    means = band.mean(axis=0)
    channel = means.mean(axis=0).argmin()
    density = -np.log10(np.maximum(means[:, channel], 1e-4))
    window = int(BASELINE_MM * x[0]) | 1
    base = median_filter(density, window)
    return cols[0], 1 - density / np.maximum(base, 0.05)


def sides(layout):
    """Middles of all target zones on the drum."""
    px = 25.4 / layout["raster"]["cross_process_dpi"]
    pitch = layout["interleave"]["jet_pitch_px"]
    out = []
    for head in layout["head"]:
        first = (head["first_jet_px"] + 0.5) * px
        last = (head["first_jet_px"] + (head["jets"] - 1) * pitch + 0.5) * px
        for zone in layout["zone"]:
            middle = 0.5 * (zone["from_mm"] + zone["to_mm"])
            left = (zone["side"] == "left") != head.get("rotated", False)
            out.append((first - middle if left else last + middle, head["name"], zone["side"]))
    return out


def judge(layout, chart, path):
    image = cv2.imread(path, cv2.IMREAD_COLOR)
    code = np.arange(256) / 255
    light = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4).astype(np.float32)
    x, y = placed(image, chart)
    total = np.zeros(image.shape[1])
    count = np.zeros(image.shape[1])
    for patch in chart["patch"]:
        if patch["x_mm"][1] - patch["x_mm"][0] < 100:
            continue
        start, loss = band_loss(image, patch, x, y, light)
        total[start:start + loss.size] += loss
        count[start:start + loss.size] += 1
    loss = np.where(count > 0, total / np.maximum(count, 1), 0)
    smooth = cv2.blur(loss.reshape(1, -1), (max(1, int(0.3 * x[0])), 1)).ravel()
    sigma = 1.4826 * np.median(np.abs(smooth[count > 0]))
    peaks, _ = find_peaks(smooth, height=LEAST_SIGMA * sigma, distance=int(2 * x[0]))
    if peaks.size == 0:
        return {"file": path, "head": None}
    peak = peaks[smooth[peaks].argmax()]
    half = np.flatnonzero(smooth < smooth[peak] / 2)
    left = half[half < peak].max(initial=peak - 1)
    right = half[half > peak].min(initial=image.shape[1])
    x_sheet = (0.5 * (left + right) + 0.5 - x[1]) / x[0]
    transfer = layout["transfer"]
    sign = -1 if transfer["mirrored"] else 1
    x_drum = transfer["sheet_left_on_drum_mm"] + sign * x_sheet / transfer["scale_cross"]
    # A scrape is as wide as the residue and its carriage's travel, which goes to the right.
    travel = max(layout["interleave"]["shift_px"]) * 25.4 / layout["raster"]["cross_process_dpi"]
    residue = x_drum - travel / 2
    _, head, side = min(sides(layout), key=lambda s: abs(s[0] - residue))
    return {"file": path, "head": head, "side": side, "x_drum_mm": round(x_drum, 3)}


def main():
    layout = tomllib.load(open(sys.argv[1], "rb"))
    chart = tomllib.load(open(sys.argv[2], "rb"))
    for path in sys.argv[3:]:
        print(json.dumps(judge(layout, chart, path)))


if __name__ == "__main__":
    main()
