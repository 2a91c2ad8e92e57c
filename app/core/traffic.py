"""What a line can carry at most: frames per second, and payload of a long transfer."""

from .numbers import short_text, text
from .ranges import above_zero, between, one_of

GAP_BYTES = 20  # preamble and start 8, gap 12: on the line with every frame
ETHERNET_BYTES = 38  # header 14, check sequence 4, and the gap
TAG_BYTES = 4


def frames_per_second(line_rate_mbit_s: float, frame_bytes: int) -> int:
    """Most frames a second, whole: rate / (8 * (frame + 20)), cut off."""
    return int(line_rate_mbit_s * 1e6 / (8 * (frame_bytes + GAP_BYTES)) + 1e-9)


def frame_rate(line_rate_mbit_s: float, frame_bytes: int) -> dict:
    """The most frames of one size that a line can carry in a second.

    frames per second = rate / (8 * (frame + 20)), cut off to whole frames

    Inputs:
        line_rate (Mbit/s, above 0 to 400000): rate of the line
        frame_bytes (count, 64 to 16000): frame with its check sequence, in bytes
    Result:
        frames_per_second (count): most frames a second
    Errors: Refused outside the ranges.
    Holds: within the 100 ppm that line clocks differ.
    Source:
        RFC 2544 | 1999 | appendix B | memory
        RFC 5180 | 2008 | appendix A.1 | 1
    Example: frame_rate(100.0, 64) gives frames_per_second 148809
    """
    above_zero(line_rate_mbit_s, 400000, "line_rate", "Mbit/s")
    between(frame_bytes, 64, 16000, "frame_bytes")
    frames = frames_per_second(line_rate_mbit_s, int(frame_bytes))
    size = short_text(frame_bytes, 6)
    working = [
        short_text(line_rate_mbit_s, 6)
        + " Mbit/s / (8 * ("
        + size
        + " + 20) bits) = "
        + str(frames)
        + " frames per second, cut off"
    ]
    return {"results": {"frames_per_second": frames}, "working": working, "notes": []}


def tcp_goodput(line_rate_mbit_s: float, mtu: int = 1500, timestamps: bool = True, vlan: bool = False, ip: str = "4") -> dict:
    """Payload that a long TCP transfer can reach on a line.

    goodput = rate * (mtu - IP header - 20 - 12 with timestamps) / (mtu + 38, or 42 with a VLAN tag)

    Inputs:
        line_rate (Mbit/s, above 0 to 400000): rate of the line
        mtu (count, 576 to 9216, 1500): largest IP packet in bytes
        timestamps (word: true false, true): TCP timestamps in use
        vlan (word: true false, false): frames carry a VLAN tag
        ip (word: 4 6, 4): version of IP
    Result:
        goodput (Mbit/s): payload
    Errors: Refused outside the ranges.
    Holds: no loss, full frames, nothing else on the line.
    Source: Arithmetic of frame and header sizes, IEEE 802.3 and RFC 9293 | 2022 | frame and header formats | 2+
    Example: tcp_goodput(1000.0) gives goodput 941.5 Mbit/s
    """
    above_zero(line_rate_mbit_s, 400000, "line_rate", "Mbit/s")
    between(mtu, 576, 9216, "mtu")
    header = {"4": 40, "6": 60}[one_of(ip, ["4", "6"], "ip")] + (12 if timestamps else 0)
    wire = mtu + ETHERNET_BYTES + (TAG_BYTES if vlan else 0)
    payload = mtu - header
    goodput = line_rate_mbit_s * payload / wire
    sizes = short_text(payload, 6) + " / " + short_text(wire, 6)
    working = [
        "payload " + short_text(payload, 6) + " bytes of " + short_text(wire, 6) + " on the line",
        short_text(line_rate_mbit_s, 6) + " * " + sizes + " = " + text(goodput, 3) + " Mbit/s",
    ]
    return {"results": {"goodput": goodput}, "working": working, "notes": []}
