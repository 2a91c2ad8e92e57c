"""Pairs of a cable: resistance unbalance, pair sets that carry power, and what a wire map means."""

from .errors import Refused

PAIRS = ["1-2", "3-6", "4-5", "7-8"]
_PINS = [["1", "2"], ["3", "6"], ["4", "5"], ["7", "8"]]


def unbalance_limit_mohm(percent: float, floor_mohm: float, sum_ohm: float) -> float:
    """The larger of a share of the sum and the floor, so that short links do not fail on contact scatter."""
    return max(percent / 100.0 * sum_ohm * 1000.0, floor_mohm)


def parallel_ohm(loop_ohm: float) -> float:
    """The two conductors of a pair in parallel, from the pair's loop reading: loop / 4 when they are alike."""
    return loop_ohm / 4.0


def pair_set_ohm(loop_a_ohm: float, loop_b_ohm: float) -> float:
    """A pair set, out on both conductors of one pair and back on both of another: (loop A + loop B) / 4."""
    return (loop_a_ohm + loop_b_ohm) / 4.0


def supply_ohm(loops_ohm: list, sets: int) -> float:
    """What the supply sees, from the loop readings of the pairs that carry power: the mean pair set, over the number of sets."""
    total = 0.0
    for loop in loops_ohm:
        total += loop
    return total / len(loops_ohm) / 2.0 / sets


def read_map(text: str) -> list:
    """Wire map text -> 8 far pins, '' for open: '1234-678' has pin 5 open. Errors: Refused for any other text."""
    pins = []
    for character in text.replace(" ", ""):
        if character in "-\u2013\u2212":
            pins.append("")
        elif character in "12345678":
            pins.append(character)
        else:
            pins = []
            break
    if len(pins) != 8:
        raise Refused(
            "shape",
            "map",
            text,
            "8 signs, each a far pin 1 to 8 or - for open",
            "Give the far pin for near pins 1 to 8 in order.",
        )
    return pins


def map_faults(text: str) -> list:
    """What is wrong with a wire map, in trade terms; an empty list when every pin is right.

    Same pin both ends: right. Swapped within its pair: reversed. On the pins of another pair: crossed. Two near pins on one far pin: short.
    No far pin: open. Anything else: miswire. A split pair shows none of these: only a test at frequency sees it.
    """
    far = read_map(text)
    faults = ["open pin " + str(pin + 1) for pin in range(8) if far[pin] == ""]
    faults += ["short: pins " + " and ".join(near) + " meet at pin " + pin for pin, near in _doubled(far)]
    if faults:
        return faults + _miswired(far)
    return _pair_faults(far)


def _doubled(far: list) -> list:
    found = []
    for pin in "12345678":
        near = [str(index + 1) for index in range(8) if far[index] == pin]
        if len(near) > 1:
            found.append((pin, near))
    return found


def _miswired(far: list) -> list:
    doubled = [pin for pin, near in _doubled(far)]
    wrong = [str(i + 1) + " to " + far[i] for i in range(8) if far[i] not in ("", str(i + 1)) and far[i] not in doubled]
    return ["miswire " + ", ".join(wrong)] if wrong else []


def _pair_faults(far: list) -> list:
    faults, crossed, wrong = [], [], []
    for index in range(4):
        near = _PINS[index]
        ends = [far[int(pin) - 1] for pin in near]
        if ends == near:
            continue
        if sorted(ends) == near:
            faults.append("reversed pair " + PAIRS[index])
        elif sorted(ends) in _PINS:
            crossed.append(PAIRS[index])
            if ends != sorted(ends):
                faults.append("reversed pair " + PAIRS[index] + " on its way to another pair's pins")
        else:
            wrong += [pin + " to " + end for pin, end in zip(near, ends) if pin != end]
    if crossed:
        faults = ["crossed pairs " + " and ".join(crossed)] + faults
    return faults + (["miswire " + ", ".join(wrong)] if wrong else [])
