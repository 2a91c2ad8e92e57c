"""The demo's scenario from first line to last. The order is that of its days, so that ids and times ascend."""

from __future__ import annotations

from seed_data import clad_copper, extended_copper, fibre_begun, fibre_signed, places
from seed_data.photos import Album
from seed_data.writer import Writer


def tell(pictures: dict[str, bytes]) -> tuple[Writer, Album]:
    """Write the whole book. pictures: JPEG bytes by the names that `drawings.NAMES` lists."""
    writer, album = Writer(), Album(pictures)
    site = places.write(writer)
    extended_copper.write(writer, site, album)
    clad_copper.write(writer, site, album)
    fibre_signed.write(writer, site, album)
    fibre_begun.write(writer, site, album)
    return writer, album
