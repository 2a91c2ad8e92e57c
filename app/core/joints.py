"""Where light leaves one glass: unlike fibres joined, a flat end in air, and what a fibre sends back along its length."""

import math

from .constants import LIGHT_M_PER_NS
from .numbers import short_text, text
from .ranges import above_zero, between


def reflectance_db(index: float) -> float:
    """Flat open end of glass in air: 20 lg((n - 1) / (n + 1)), dB, negative. Source: Fresnel (exact)."""
    return 20.0 * math.log10((index - 1.0) / (index + 1.0))


def backscatter_return_db(backscatter_db: float, attenuation_db_km: float, length_m: float, group_index: float) -> float:
    """All that a fibre sends back along its length, as a level under what goes in, dB, negative.

    S = 10^(B / 10) * 2 n / (c * 1 ns) per metre, B the backscatter of a 1 ns pulse; return = S / (2 a) * (1 - 10^(-0.2 A L)),
    a = A in nepers of power per metre. Source: integral of Rayleigh backscatter, from memory.
    """
    scattered_per_m = 10.0 ** (backscatter_db / 10.0) * 2.0 * group_index / LIGHT_M_PER_NS
    per_m = attenuation_db_km / 1000.0 * math.log(10.0) / 10.0
    return 10.0 * math.log10(scattered_per_m / (2.0 * per_m) * (1.0 - 10.0 ** (-0.2 * attenuation_db_km * length_m / 1000.0)))


def fibre_return(
    length_m: float,
    attenuation_db_km: float,
    backscatter_db: float,
    group_index: float = 1.468,
    open_end: bool = False,
) -> dict:
    """Return loss of the fibre itself: its backscatter, and a flat open end behind it where there is one.

    backscatter = S / (2 a) * (1 - 10^(-0.2 A L)); open end = 20 log10((n - 1) / (n + 1)) - 2 A L

    Inputs:
        length (m, above 0 to 200000): length of the fibre
        attenuation_db_km (ratio, above 0 to 10): attenuation in dB per km
        backscatter (dB, -100 to -50): backscatter of a 1 ns pulse, from the data sheet; single-mode about -79 at 1310, -82 at 1550 nm
        group_index (ratio, 1.4 to 1.6, 1.468): group index of the fibre
        open_end (word: true false, false): the far end is a flat cut in air
    Result:
        return_loss (dB): of fibre and end together
        backscatter_only (dB): return loss of the fibre alone
        end_reflectance (dB): of a flat open end, as it lies there
    Errors: Refused outside the ranges.
    Holds: for a fibre of one kind without reflecting events; add those as powers.
    Source:
        Rayleigh backscatter, integral over the length | | fibre return | memory
        Fresnel reflection | | flat end in air | 1
    Example: fibre_return(20000.0, 0.35, -79.0) gives backscatter_only 31.34 dB, end_reflectance -14.44 dB
    """
    above_zero(length_m, 200000, "length", "m")
    above_zero(attenuation_db_km, 10, "attenuation_db_km")
    between(backscatter_db, -100, -50, "backscatter", "dB")
    between(group_index, 1.4, 1.6, "group_index")
    scattered_db = backscatter_return_db(backscatter_db, attenuation_db_km, length_m, group_index)
    end_db = reflectance_db(group_index)
    arriving_db = end_db - 2.0 * attenuation_db_km * length_m / 1000.0
    power = 10.0 ** (scattered_db / 10.0) + (10.0 ** (arriving_db / 10.0) if open_end else 0.0)
    results = {"return_loss": -10.0 * math.log10(power), "backscatter_only": -scattered_db, "end_reflectance": end_db}
    working = ["backscatter comes back as " + text(scattered_db, 2) + " dB"]
    if open_end:
        working.append("open end " + text(end_db, 2) + " dB comes back as " + text(arriving_db, 2) + " dB")
    working.append("return loss = " + text(results["return_loss"], 2) + " dB")
    return {"results": results, "working": working, "notes": []}


def mode_field_step_db(first_um: float, second_um: float) -> float:
    """Step that a change of mode field fakes in a trace from first to second fibre: 10 lg(second / first), dB. From memory."""
    return 10.0 * math.log10(second_um / first_um)


def mode_field_loss_db(first_um: float, second_um: float) -> float:
    """True loss of a centred joint of two mode fields: -20 lg(2 w1 w2 / (w1^2 + w2^2)), dB, the same both ways. From memory."""
    return -20.0 * math.log10(2.0 * first_um * second_um / (first_um * first_um + second_um * second_um))


def unlike_fibres(first_field_um: float, second_field_um: float) -> dict:
    """What a joint of two single-mode fibres with unlike mode fields shows and what it truly loses.

    step = 10 * log10(second / first); loss = -20 * log10(2 * first * second / (first^2 + second^2))

    Inputs:
        first_field (um, 2 to 20): mode field diameter of the fibre before the joint
        second_field (um, 2 to 20): mode field diameter of the fibre behind it
    Result:
        loss (dB): true loss of the joint, both ways
        step (dB): what backscatter adds seen from the first fibre; a gain where it is negative
        shown_forward (dB): what a trace from the first fibre shows
        shown_backward (dB): what a trace from the second fibre shows
    Errors: Refused outside the ranges.
    Holds: a centred joint with nothing else wrong, fibres alike in scatter.
    Source:
        Backscatter capture of two mode fields | | step of a joint | memory
        Overlap of two gaussian fields | | loss of a joint | memory
    Example: unlike_fibres(9.2, 8.6) gives step -0.293 dB, loss 0.020 dB
    """
    between(first_field_um, 2, 20, "first_field", "um")
    between(second_field_um, 2, 20, "second_field", "um")
    step_db = mode_field_step_db(first_field_um, second_field_um)
    loss_db = mode_field_loss_db(first_field_um, second_field_um)
    results = {"loss": loss_db, "step": step_db, "shown_forward": loss_db + step_db, "shown_backward": loss_db - step_db}
    fields = short_text(first_field_um) + " to " + short_text(second_field_um) + " um: "
    working = [fields + "loss " + text(loss_db, 3) + " dB, step " + text(step_db, 3) + " dB"]
    notes = ["A gain from one side is no fault: judge the average of both directions."] if loss_db + abs(step_db) > 0.01 else []
    return {"results": results, "working": working, "notes": notes}


def mixed_cores(first_core_um: float, first_aperture: float, second_core_um: float, second_aperture: float) -> dict:
    """Loss of a joint from a wider multimode fibre, filled with light, into a narrower one.

    loss = 20 * log10(first core / second core) + 20 * log10(first aperture / second aperture), each only where it narrows

    Inputs:
        first_core (um, 10 to 200): core that the light comes from, such as 62.5
        first_aperture (ratio, 0.05 to 0.6): its numerical aperture, such as 0.275
        second_core (um, 10 to 200): core that the light goes into, such as 50
        second_aperture (ratio, 0.05 to 0.6): its numerical aperture, such as 0.20
    Result:
        loss (dB): loss in that direction
    Errors: Refused outside the ranges.
    Holds: for a core that is filled, as by a light-emitting diode; a laser loses less.
    Source:
        ANSI/TIA-568 | | application table, note 1: 4.7 dB for 62.5 into 50 um | 1
        Ratio of two cores and apertures, filled with light | | formula | memory
    Example: mixed_cores(62.5, 0.275, 50.0, 0.20) gives loss 4.70 dB
    """
    between(first_core_um, 10, 200, "first_core", "um")
    between(second_core_um, 10, 200, "second_core", "um")
    between(first_aperture, 0.05, 0.6, "first_aperture")
    between(second_aperture, 0.05, 0.6, "second_aperture")
    by_core = max(0.0, 20.0 * math.log10(first_core_um / second_core_um))
    by_aperture = max(0.0, 20.0 * math.log10(first_aperture / second_aperture))
    line = "by core " + text(by_core, 2) + " dB, by aperture " + text(by_aperture, 2) + " dB: " + text(by_core + by_aperture, 2)
    return {"results": {"loss": by_core + by_aperture}, "working": [line + " dB"], "notes": []}
