"""Upper quantiles from SciPy: prints, for every p and degrees of freedom below, p, df (0: Gaussian), quantile."""

from scipy.stats import norm, t

DEGREES = [1, 2, 3, 4, 5, 7.2, 10, 15, 31, 63, 127, 500, 5000]
UPPER = [0.9, 0.5, 0.3, 0.1, 0.02, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8]

for p in UPPER:
    print(repr(p), 0, repr(float(norm.isf(p))))
    for df in DEGREES:
        print(repr(p), df, repr(float(t.isf(p, df))))
