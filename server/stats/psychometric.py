"""Psychometric functions of forced-choice methods: d′ to the probability of a correct answer.

Two samples are perceived as normal with standard deviation 1 and means d′ apart. Each method
has its probability of a correct answer and the derivative of it, both of an array of d′ of any
shape, 0 or more.

Most are sums of Owen's function T(h, a): because dT/dh = -phi(h) (Phi(a h) - 1/2) and
T(0, a) = arctan(a) / (2 pi), the integrals of the literature close, without quadrature and
without lost digits. The others have a derivative that is easy to compute and are integrated
once, as a Chebyshev series.

References
----------
.. [1] Ennis, D. M. (1993). The power of sensory discrimination methods. Journal of Sensory
   Studies, 8, 353-370 (integrals; from memory, each checked by quadrature and simulation).
.. [2] Ennis, J. M. & Jesionka, V. (2011). The power of sensory discrimination methods
   revisited. Journal of Sensory Studies, 26, 371-382 (tetrad; from memory, checked likewise).
.. [3] Owen, D. B. (1956). Tables for computing bivariate normal probabilities. Annals of
   Mathematical Statistics, 27, 1075-1090.
"""

import math
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.polynomial import Chebyshev
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Curve = Callable[[Array], Array]

# The series end where the derivative no longer changes the last digit of 1.
REACH = 13.0
REACH_OF_GAPS = 24.0
DEGREE = 60
DEGREE_OF_GAPS = 80


def triangle(d: "Array") -> "Array":
    """Return pc of the triangle test: the odd cup is farther from both others.

    Examples
    --------
    >>> import numpy as np
    >>> triangle(np.array([0.0, 1.0])).round(10).tolist()
    [0.3333333333, 0.4180466747]
    """
    return 1 / 3 + 4 * (1 / 6 - _owen(d / math.sqrt(6), math.sqrt(3)))


def triangle_slope(d: "Array") -> "Array":
    """Return the derivative of `triangle`: sqrt(2/3) phi(d / sqrt 6) (2 Phi(d / sqrt 2) - 1).

    Examples
    --------
    >>> import numpy as np
    >>> float(triangle_slope(np.array(0.0)))
    0.0
    """
    from scipy import special  # takes half a second to load

    return math.sqrt(2 / 3) * _density(d / math.sqrt(6)) * special.erf(d / 2)


def duo_trio(d: "Array") -> "Array":
    """Return pc of the duo-trio test: the matching cup is nearer to the reference.

    Notes
    -----
    With u = Phi(d / sqrt 2) and v = Phi(d / sqrt 6) the published form is
    1 - u - v + 2 u v = 1/2 + 2 (u - 1/2) (v - 1/2).

    Examples
    --------
    >>> import numpy as np
    >>> duo_trio(np.array([0.0, 1.0])).round(10).tolist()
    [0.5, 0.5824754442]
    """
    from scipy import special  # takes half a second to load

    return 1 / 2 + special.erf(d / 2) * special.erf(d / math.sqrt(12)) / 2


def duo_trio_slope(d: "Array") -> "Array":
    """Return the derivative of `duo_trio`.

    Examples
    --------
    >>> import numpy as np
    >>> float(duo_trio_slope(np.array(0.0)))
    0.0
    """
    from scipy import special  # takes half a second to load

    wide = _density(d / math.sqrt(2)) / math.sqrt(2) * special.erf(d / math.sqrt(12))
    narrow = _density(d / math.sqrt(6)) / math.sqrt(6) * special.erf(d / 2)
    return wide + narrow


def two_afc(d: "Array") -> "Array":
    """Return pc of the 2-AFC test, Phi(d / sqrt 2): the stronger cup seems stronger.

    Examples
    --------
    >>> import numpy as np
    >>> two_afc(np.array([0.0, 1.0])).round(10).tolist()
    [0.5, 0.7602499389]
    """
    from scipy import special  # takes half a second to load

    return special.ndtr(d / math.sqrt(2))


def two_afc_slope(d: "Array") -> "Array":
    """Return the derivative of `two_afc`, phi(d / sqrt 2) / sqrt 2.

    Examples
    --------
    >>> import numpy as np
    >>> round(float(two_afc_slope(np.array(0.0))), 10)
    0.2820947918
    """
    return _density(d / math.sqrt(2)) / math.sqrt(2)


def three_afc(d: "Array") -> "Array":
    """Return pc of the 3-AFC test: the stronger cup seems the strongest of three.

    Notes
    -----
    The published integral of Phi(z)² phi(z - d) has the derivative
    sqrt 2 phi(d / sqrt 2) Phi(d / sqrt 6), whose integral is
    Phi(d / sqrt 2) - 2 T(d / sqrt 2, 1 / sqrt 3).

    Examples
    --------
    >>> import numpy as np
    >>> three_afc(np.array([0.0, 1.0])).round(10).tolist()
    [0.3333333333, 0.6337020458]
    """
    from scipy import special  # takes half a second to load

    h = d / math.sqrt(2)
    return special.ndtr(h) - 2 * _owen(h, 1 / math.sqrt(3))


def three_afc_slope(d: "Array") -> "Array":
    """Return the derivative of `three_afc`, sqrt 2 phi(d / sqrt 2) Phi(d / sqrt 6).

    Examples
    --------
    >>> import numpy as np
    >>> round(float(three_afc_slope(np.array(0.0))), 10)
    0.2820947918
    """
    from scipy import special  # takes half a second to load

    return math.sqrt(2) * _density(d / math.sqrt(2)) * special.ndtr(d / math.sqrt(6))


def tetrad(d: "Array") -> "Array":
    """Return pc of the tetrad: four cups sorted into two pairs, no direction named.

    Notes
    -----
    The published 1 - 2 ∫ phi(x) (2 Phi(x) Phi(x - d) - Phi(x - d)²) dx is made of bivariate
    normal probabilities with correlation 1/2; it closes to 1 - 8 T(d / sqrt 2, 1 / sqrt 3).

    Examples
    --------
    >>> import numpy as np
    >>> tetrad(np.array([0.0, 1.0])).round(10).tolist()
    [0.3333333333, 0.4938084275]
    """
    import numpy as np

    return np.maximum(1 / 3, 1 - 8 * _owen(d / math.sqrt(2), 1 / math.sqrt(3)))


def tetrad_slope(d: "Array") -> "Array":
    """Return the derivative of `tetrad`, 2 sqrt 2 phi(d / sqrt 2) (2 Phi(d / sqrt 6) - 1).

    Examples
    --------
    >>> import numpy as np
    >>> float(tetrad_slope(np.array(0.0)))
    0.0
    """
    from scipy import special  # takes half a second to load

    return 2 * math.sqrt(2) * _density(d / math.sqrt(2)) * special.erf(d / math.sqrt(12))


def tetrad_specified(d: "Array") -> "Array":
    """Return pc of the tetrad with a named direction: which two cups are the stronger ones.

    Notes
    -----
    The published ∫ 2 phi(w) Phi(w) (1 - Phi(w - d))² dw; the integral of the slope.

    Examples
    --------
    >>> import numpy as np
    >>> tetrad_specified(np.array([0.0, 1.0])).round(10).tolist()
    [0.1666666667, 0.4625454687]
    """
    return 1 / 6 + 5 / 6 * _rise(tetrad_specified_slope, REACH, DEGREE, d)


def tetrad_specified_slope(d: "Array") -> "Array":
    """Return the derivative of `tetrad_specified`.

    Notes
    -----
    Under the integral, phi(w) phi(w - d) is phi(d / sqrt 2) times a normal density in w. What
    is left is a bivariate normal probability with correlation -1/3, and in all
    2 sqrt 2 phi(d / sqrt 2) (Phi(d / sqrt 6) - 2 T(d / sqrt 6, sqrt 2)).

    Examples
    --------
    >>> import numpy as np
    >>> round(float(tetrad_specified_slope(np.array(0.0))), 10)
    0.2210644592
    """
    from scipy import special  # takes half a second to load

    h = d / math.sqrt(6)
    within = special.ndtr(h) - 2 * _owen(h, math.sqrt(2))
    return 2 * math.sqrt(2) * _density(d / math.sqrt(2)) * within


def two_of_five_specified(d: "Array") -> "Array":
    """Return pc of the two-out-of-five test with a named direction: which two are stronger.

    Notes
    -----
    The published ∫ 3 phi(w) Phi(w)² (1 - Phi(w - d))² dw; the integral of the slope.

    Examples
    --------
    >>> import numpy as np
    >>> two_of_five_specified(np.array([0.0, 1.0])).round(10).tolist()
    [0.1, 0.3624277075]
    """
    return 1 / 10 + 9 / 10 * _rise(two_of_five_specified_slope, REACH, DEGREE, d)


def two_of_five_specified_slope(d: "Array") -> "Array":
    """Return the derivative of `two_of_five_specified`.

    Notes
    -----
    3 sqrt 2 phi(d / sqrt 2) E(Phi(W)² Phi(d - W)) with W normal about d / 2 with variance 1/2;
    the expectation by 40 nodes of Gauss and Hermite, which 60 more do not change, at the nodes
    of a Chebyshev series.

    Examples
    --------
    >>> import numpy as np
    >>> round(float(two_of_five_specified_slope(np.array(0.0))), 10)
    0.1657983444
    """
    return 3 * math.sqrt(2) * _density(d / math.sqrt(2)) * _fit(_outdone, REACH, DEGREE, d)


def two_of_five_widest_gap(d: "Array") -> "Array":
    """Return pc of the two-out-of-five test by one rule: split at the wider inner gap.

    Notes
    -----
    The five percepts in order have four gaps; the second and the third leave a pair and a
    trio. The taster splits at the wider of these two. The pair at 0 is found below the trio at
    d if its upper percept is below u + d, where u is twice the least minus the middle of three
    standard normal values; found above it, in the same way, with -d. So
    pc(d) = E(Phi(u + d)²) + E(Phi(u - d)²), here the integral of the slope.

    Examples
    --------
    >>> import numpy as np
    >>> two_of_five_widest_gap(np.array([0.0, 1.0])).round(10).tolist()
    [0.1, 0.2089447069]
    """
    return 1 / 10 + 9 / 10 * _rise(two_of_five_widest_gap_slope, REACH_OF_GAPS, DEGREE_OF_GAPS, d)


def two_of_five_widest_gap_slope(d: "Array") -> "Array":
    """Return the derivative of `two_of_five_widest_gap`.

    Examples
    --------
    >>> import numpy as np
    >>> float(two_of_five_widest_gap_slope(np.array(0.0)))
    0.0
    """
    return d * _density(d / math.sqrt(6)) * _fit(_gain_by_gaps, REACH_OF_GAPS, DEGREE_OF_GAPS, d)


def _outdone(d: "Array") -> "Array":
    """Return E(Phi(W)² Phi(d - W)) for W normal about d / 2 with variance 1/2; shape (n,)."""
    import numpy as np
    from scipy import special  # takes half a second to load

    nodes, weights = np.polynomial.hermite_e.hermegauss(40)
    w = d[:, np.newaxis] / 2 + nodes / math.sqrt(2)
    expected = special.ndtr(w) ** 2 * special.ndtr(d[:, np.newaxis] - w) @ weights
    return np.asarray(expected / math.sqrt(2 * math.pi), dtype=np.float64)


def _gain_by_gaps(d: "Array") -> "Array":
    """Return the slope by gaps without its factor d phi(d / sqrt 6), d above 0; shape (n,)."""
    import numpy as np
    from scipy import special  # takes half a second to load

    u, weights = _spread_of_gaps()
    above, below = u + d[:, np.newaxis], u - d[:, np.newaxis]
    gain = special.ndtr(above) * _density(above) - special.ndtr(below) * _density(below)
    return 2 * (gain @ weights) / (d * _density(d / math.sqrt(6)))


def _spread_of_gaps() -> "tuple[Array, Array]":
    """Return points u and weights: twice the least minus the middle of three normal values.

    The density of u is the integral of 6 phi(v) phi(2 v - u) Phi(u - 2 v) over the least value
    v > u. In u the trapezoidal rule, which for such densities is exact to the last digits.
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    step, width = 0.25, 12.0
    u = np.arange(-24.0, 9.0, step)
    nodes, weights = np.polynomial.legendre.leggauss(100)
    start = np.maximum(u, 2 * u / 5 - width / 2)  # the integrand is widest at 2 u / 5
    v = start[:, np.newaxis] + (nodes + 1) * width / 2
    w = 2 * v - u[:, np.newaxis]
    density = 6 * (_density(v) * _density(w) * special.ndtr(-w)) @ weights * width / 2
    return u, density * step


def _rise(slope: "Curve", reach: float, degree: int, d: "Array") -> "Array":
    """Return the integral of `slope` from 0 to `d` as a part of that to `reach`: 0 to 1."""
    import numpy as np

    integral, at_0 = _integrate(slope, reach, degree)
    risen = integral(np.minimum(d, reach)) - at_0
    return np.where(d < reach, np.clip(risen, 0.0, 1.0), 1.0)


def _fit(curve: "Curve", reach: float, degree: int, d: "Array") -> "Array":
    """Return the series of a smooth `curve` at `d`; beyond `reach` its last value."""
    import numpy as np

    return np.asarray(_interpolate(curve, reach, degree)(np.minimum(d, reach)), dtype=np.float64)


@cache
def _integrate(slope: "Curve", reach: float, degree: int) -> "tuple[Chebyshev, float]":
    """Return the integral, and what the last digits of its series leave at 0."""
    integral = _interpolate(slope, reach, degree).integ(lbnd=0.0)
    integral = integral / float(integral(reach))
    return integral, float(integral(0.0))


@cache
def _interpolate(curve: "Curve", reach: float, degree: int) -> "Chebyshev":
    from numpy.polynomial import Chebyshev

    return Chebyshev.interpolate(curve, degree, [0.0, reach])


def _owen(h: "Array", a: float) -> "Array":
    """Return Owen's T(h, a): the chance that X > h and 0 < Y < a X, both standard normal."""
    import numpy as np
    from scipy import special  # takes half a second to load

    return np.asarray(special.owens_t(h, a), dtype=np.float64)


def _density(x: "Array") -> "Array":
    import numpy as np

    return np.exp(-x * x / 2) / math.sqrt(2 * math.pi)
