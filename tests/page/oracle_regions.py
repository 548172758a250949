"""Printed rectangles of an upright page from scikit-image: connected components of what is darker than paper.

usage: oracle_regions.py IMAGE.png  Prints left, top, right, bottom (pixels) of every component of at least
2 % of the page, top to bottom.
"""

import sys

from skimage import filters, io, measure, morphology

darkest = io.imread(sys.argv[1]).min(axis=2)
ink = morphology.binary_closing(darkest < filters.threshold_otsu(darkest), morphology.square(3))
for region in measure.regionprops(measure.label(ink)):  # in reading order
    top, left, bottom, right = region.bbox
    if (bottom - top) * (right - left) >= 0.02 * darkest.size:
        print(left, top, right, bottom)
