"""Shortest line between two places on the WGS84 ellipsoid, by Vincenty's inverse series."""

import math

from .errors import Refused

_A_M = 6378137.0
_F = 1.0 / 298.257223563
_B_M = _A_M * (1.0 - _F)


def inverse(first: tuple, second: tuple) -> tuple:
    """(lat, lon), (lat, lon) in degrees -> (distance m, bearing at the first deg, 0 to below 360).

    Errors: Refused("range") for places nearly opposite on the globe, where the series does not settle.
    Source: Vincenty 1975 (from memory), held against an independent geodesic library by the tests.
    """
    u1, u2 = _reduced(first[0]), _reduced(second[0])
    wanted = math.radians(_turn(second[1] - first[1]))
    lon = wanted
    for _ in range(200):
        arc = _arc(u1, u2, lon)
        if arc is None:
            return 0.0, 0.0
        following = wanted + _correction(arc)
        if abs(following - lon) < 1e-13:
            return _length(arc), _bearing(u1, u2, following)
        lon = following
    raise Refused("range", "to", second, "places not nearly opposite on the globe", "Go by a place between.")


def _turn(degrees: float) -> float:
    while degrees > 180.0:
        degrees -= 360.0
    while degrees <= -180.0:
        degrees += 360.0
    return degrees


def _reduced(lat_deg: float) -> tuple:
    """(sine, cosine) of the reduced latitude."""
    angle = math.atan2((1.0 - _F) * math.sin(math.radians(lat_deg)), math.cos(math.radians(lat_deg)))
    return math.sin(angle), math.cos(angle)


def _arc(u1: tuple, u2: tuple, lon: float) -> tuple | None:
    """(sigma, sin sigma, cos sigma, sin alpha, cos^2 alpha, cos 2 sigma m), or None for one and the same place."""
    across = u2[1] * math.sin(lon)
    ahead = u1[1] * u2[0] - u1[0] * u2[1] * math.cos(lon)
    sin_sigma = math.sqrt(across * across + ahead * ahead)
    if sin_sigma == 0.0:
        return None
    cos_sigma = u1[0] * u2[0] + u1[1] * u2[1] * math.cos(lon)
    sin_alpha = u1[1] * u2[1] * math.sin(lon) / sin_sigma
    cos2_alpha = 1.0 - sin_alpha * sin_alpha
    middle = cos_sigma - 2.0 * u1[0] * u2[0] / cos2_alpha if cos2_alpha > 1e-15 else 0.0
    return math.atan2(sin_sigma, cos_sigma), sin_sigma, cos_sigma, sin_alpha, cos2_alpha, middle


def _correction(arc: tuple) -> float:
    sigma, sin_sigma, cos_sigma, sin_alpha, cos2_alpha, middle = arc
    c = _F / 16.0 * cos2_alpha * (4.0 + _F * (4.0 - 3.0 * cos2_alpha))
    inner = middle + c * cos_sigma * (2.0 * middle * middle - 1.0)
    return (1.0 - c) * _F * sin_alpha * (sigma + c * sin_sigma * inner)


def _length(arc: tuple) -> float:
    sigma, sin_sigma, cos_sigma, _, cos2_alpha, middle = arc
    u2 = cos2_alpha * (_A_M * _A_M - _B_M * _B_M) / (_B_M * _B_M)
    a = 1.0 + u2 / 16384.0 * (4096.0 + u2 * (-768.0 + u2 * (320.0 - 175.0 * u2)))
    b = u2 / 1024.0 * (256.0 + u2 * (-128.0 + u2 * (74.0 - 47.0 * u2)))
    last = b / 6.0 * middle * (4.0 * sin_sigma * sin_sigma - 3.0) * (4.0 * middle * middle - 3.0)
    delta = b * sin_sigma * (middle + b / 4.0 * (cos_sigma * (2.0 * middle * middle - 1.0) - last))
    return _B_M * a * (sigma - delta)


def _bearing(u1: tuple, u2: tuple, lon: float) -> float:
    bearing = math.degrees(math.atan2(u2[1] * math.sin(lon), u1[1] * u2[0] - u1[0] * u2[1] * math.cos(lon)))
    return bearing + 360.0 if bearing < 0 else bearing
