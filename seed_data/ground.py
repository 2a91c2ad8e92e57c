"""Where things stand: metres east and north of the office's middle, on a piece of open ocean that has no vineyard.

The spot lies in mid-Atlantic on purpose, so that nobody's land is meant.
"""

from __future__ import annotations

import hashlib
import math

ORIGIN_LAT, ORIGIN_LON = 44.0, -29.0
_WGS84_A_M, _WGS84_E2 = 6378137.0, 0.00669437999014


def position(east_m: float, north_m: float, accuracy_m: str, fixes: str | None = None) -> dict[str, str]:
    """A surveyed or, with a number of fixes, a satellite position as entries hold it. Satellite positions stray as phones' do."""
    if fixes:
        east_m, north_m = east_m + _stray(f"{east_m} east"), north_m + _stray(f"{north_m} north")
    sine = math.sin(math.radians(ORIGIN_LAT))
    curve = 1.0 - _WGS84_E2 * sine * sine
    east_radius = _WGS84_A_M / math.sqrt(curve) * math.cos(math.radians(ORIGIN_LAT))
    north_radius = _WGS84_A_M * (1.0 - _WGS84_E2) / curve**1.5
    held = {
        "lat": f"{ORIGIN_LAT + math.degrees(north_m / north_radius):.7f}",
        "lon": f"{ORIGIN_LON + math.degrees(east_m / east_radius):.7f}",
        "accuracy": accuracy_m,
        "source": "gnss" if fixes else "typed",
    }
    return {**held, "fixes": fixes} if fixes else held


def taped(corner: tuple[float, float], place: tuple[float, float]) -> str:
    """The distance that a tape would show from a corner to a place, to the centimetre."""
    return f"{math.dist(corner, place):.2f}"


def _stray(name: str) -> float:
    """Up to 1.2 m either way, decided by the name."""
    return (hashlib.sha256(name.encode()).digest()[0] / 255.0 - 0.5) * 2.4
