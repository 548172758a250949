"""Expected pixels from SciPy: three bars printed, blurred and turned, without any of the project's code.

usage: oracle.py OUT DPI SKEW_DEG SIGMA_PX WHITE DENSITY  (a 40 x 12 mm sheet on a white bed, bars as in BARS)
Writes linear light of one channel as float64, row by row.
"""

import sys

import numpy
import scipy.ndimage

BARS = [(5.0, 6.1), (14.3, 20.0), (30.0, 30.4)]  # sheet x in mm; y from 3 to 9
FINE = 8  # fine cells per scan pixel

out, dpi, skew_deg, sigma_px, white, density = sys.argv[1], *map(float, sys.argv[2:])
px_mm = 25.4 / dpi
width, height = round(40 / px_mm), round(12 / px_mm)

# The sheet on a grid of its own, FINE cells per scan pixel; every cell holds the ink of its centre, softened by
# averaging FINE x FINE samples across the bars' edges.
cell_mm = px_mm / FINE
x = (numpy.arange(round(40 / cell_mm) * 4) + 0.5) * cell_mm / 4
across = sum(((x >= a) & (x < b)).astype(float) for a, b in BARS).reshape(-1, 4).mean(axis=1)
y = (numpy.arange(round(12 / cell_mm) * 4) + 0.5) * cell_mm / 4
along = ((y >= 3.0) & (y < 9.0)).astype(float).reshape(-1, 4).mean(axis=1)
sheet = white - (white - white * 10**-density) * numpy.outer(along, across)

# affine_transform asks where each output cell comes from: turn back by the skew about the middle. With rows down and
# columns right, a clockwise turn takes (x, y) to (c x - s y, s x + c y).
c, s = numpy.cos(numpy.radians(skew_deg)), numpy.sin(numpy.radians(skew_deg))
sheet_from_scan = numpy.array([[c, -s], [s, c]])  # in (row, column)
shape = (height * FINE, width * FINE)
middle = (numpy.array(shape) - 1) / 2
start = (numpy.array(sheet.shape) - 1) / 2 - sheet_from_scan @ middle
scan = scipy.ndimage.affine_transform(sheet, sheet_from_scan, start, shape, order=1, mode="constant", cval=white)
if sigma_px > 0:
    scan = scipy.ndimage.gaussian_filter(scan, sigma_px * FINE, mode="nearest")
scan.reshape(height, FINE, width, FINE).mean(axis=(1, 3)).tofile(out)
