"""Skew of a page's printed bands from scikit-image: the main axis of each band, by its second moments.

usage: oracle.py IMAGE.png...  Prints one angle per image, degrees, clockwise positive (rows run down).
"""

import sys

import numpy
from skimage import filters, io, measure

for name in sys.argv[1:]:
    darkest = io.imread(name).min(axis=2)  # every ink is dark in one channel
    regions = measure.regionprops(measure.label(darkest < filters.threshold_otsu(darkest)))
    bands = [r for r in regions if r.major_axis_length > darkest.shape[1] / 2]
    # `orientation` is that of the major axis from the row axis: (cos, sin) in (rows, columns).
    angles = [numpy.degrees(numpy.arctan(1 / numpy.tan(r.orientation))) for r in bands]
    print(repr(float(numpy.average(angles, weights=[r.area for r in bands]))))
