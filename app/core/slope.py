"""The slope method for an earth electrode, in closed form: from the slope coefficient to where the true reading lies.

The potential between two point sources in uniform soil, the electrode's electrical centre lying X (a share of the current stake's distance) behind
the place where it is measured from, gives every entry of the printed table of the method (three decimals, 0.40 to 1.59).
"""

import math


def slope_holds(mu: float) -> bool:
    """The method's range of slope coefficients, 0.40 to 1.59; the last bit of a division does not put a reading outside."""
    return 0.40 - 1e-9 <= mu <= 1.59 + 1e-9


def mu_of(offset: float) -> float:
    """Slope coefficient of an offset X: (5/6 + 0.2/((0.4+X)(0.6+X))) / (5/12 + 0.2/((0.2+X)(0.4+X)))."""
    upper = 5.0 / 6.0 + 0.2 / ((0.4 + offset) * (0.6 + offset))
    lower = 5.0 / 12.0 + 0.2 / ((0.2 + offset) * (0.4 + offset))
    return upper / lower


def offset_of(mu: float) -> float:
    """The offset X that has this slope coefficient, by halving -0.2 to 1, where mu rises throughout."""
    low, high = -0.2 + 1e-9, 1.0
    for _ in range(60):
        middle = (low + high) / 2.0
        if mu_of(middle) < mu:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def potential_ratio(offset: float) -> float:
    """Where the true reading lies, as a share of the current stake's distance: (sqrt 5 (1 + X) - 1 - 3 X) / 2."""
    return (math.sqrt(5.0) * (1.0 + offset) - 1.0 - 3.0 * offset) / 2.0


def true_resistance(r20_ohm: float, r40_ohm: float, offset: float) -> float:
    """Electrode resistance from two readings and the offset, straight from the model, without reading a curve."""
    scale = (r40_ohm - r20_ohm) / (_shape(0.4, offset) - _shape(0.2, offset))
    return r40_ohm + scale * (1.0 / (1.0 + offset) + 1.0 / (0.4 + offset) - 1.0 / 0.6)


def _shape(ratio: float, offset: float) -> float:
    return 1.0 / (1.0 - ratio) - 1.0 / (ratio + offset)
