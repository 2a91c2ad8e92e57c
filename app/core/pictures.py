"""Pictures of a link as SVG text: the same on the phone's screen, its print page and the commissioning record."""

from . import draw, picture_bars, picture_budget, picture_loss, picture_plan, picture_strip, picture_sweep


def plan(book: dict, link: dict) -> str:
    """The route drawn to scale with its buildings, 180 x 120 mm; unrolled by chainage when fewer than two places are known."""
    return picture_plan.plan(book, link)


def site_plan(book: dict, links: list) -> str:
    """All routes of a site drawn to scale with its buildings."""
    return picture_plan.site_plan(book, links)


def strip(link: dict, first: int = 0, count: int = picture_strip.MOST_STATIONS) -> str:
    """The route as a strip, chainage from left to right and depth downwards, for stations `first` to `first + count`."""
    return picture_strip.strip(link, first, count)


def bars(checks: list) -> str:
    """Measured values against their limits, one row a check that has both."""
    return picture_bars.bars(checks)


def loss_along(link: dict, strand: str, wavelength: str, narrow: bool = False) -> str:
    """What is lost along a strand over distance, by its events typed from an OTDR; narrow for the width of a phone."""
    return picture_loss.along(link, strand, wavelength, picture_loss.NARROW if narrow else picture_loss.WIDE)


def budget(link: dict) -> str:
    """What the loss limit is made of, beside what was measured, a part for each wavelength."""
    return picture_budget.budget(link)


def sweep(link: dict, check: dict) -> str:
    """A swept result: value and limit over frequency, its worst margin marked."""
    return picture_sweep.sweep(link, check)


def signature(signed: dict) -> str:
    """A drawn signature from its strokes (pixels of the pad it was drawn on). A stroke that holds no numbers is left out."""
    pad_width, pad_height = _side(signed.get("width"), 300.0), _side(signed.get("height"), 120.0)
    width = 60.0
    height = max(10.0, min(40.0, width * pad_height / pad_width))
    factor = min(width / pad_width, height / pad_height)
    pieces = []
    for stroke in signed.get("strokes") or []:
        points = _points(stroke, factor, width, height)
        if len(points) == 1:
            pieces.append(draw.circle(points[0][0], points[0][1], 0.4, draw.INK, None))
        elif points:
            pieces.append(draw.path(points, draw.INK, 0.5))
    return draw.picture(width, height, "Signature of " + str(signed.get("name") or "someone unnamed"), pieces)


def _side(value: object, otherwise: float) -> float:
    number = _number(value)
    return number if number is not None and 1.0 <= number <= 20000.0 else otherwise


def _number(value: object) -> float | None:
    try:
        number = float(value)
    except (TypeError, ValueError):
        return None
    return number if -100000.0 < number < 100000.0 else None


def _points(stroke: object, factor: float, width: float, height: float) -> list:
    points = []
    for pair in stroke if isinstance(stroke, (list, tuple)) else []:
        if isinstance(pair, (list, tuple)) and len(pair) >= 2:
            x, y = _number(pair[0]), _number(pair[1])
            if x is not None and y is not None:
                points.append([max(0.0, min(width, x * factor)), max(0.0, min(height, y * factor))])
    return points
