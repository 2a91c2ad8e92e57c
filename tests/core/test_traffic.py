"""Frame rates and payload."""

from __future__ import annotations

import pytest

from app import engine
from app.core.errors import Refused


def calc(name: str, **inputs: str) -> dict[str, object]:
    return {key: held["value"] for key, held in engine.call("calc", name=name, inputs=inputs)["results"].items()}


# RFC 2544 appendix B, 10 Mbit/s column (from memory), and RFC 5180 appendix A.1, 100 and 1000 Mbit/s columns (one public place).
@pytest.mark.parametrize(
    ("frame", "at_10", "at_100", "at_1000"),
    [
        ("64", 14880, 148809, 1488095), ("128", 8445, 84459, 844594), ("256", 4528, 45289, 452898), ("512", 2349, 23496, 234962),
        ("768", 1586, 15862, 158629), ("1024", 1197, 11973, 119731), ("1280", 961, 9615, 96153), ("1518", 812, 8127, 81274),
    ],
)  # fmt: skip
def test_frame_rates_are_cut_off_as_printed(frame: str, at_10: int, at_100: int, at_1000: int) -> None:
    for rate, wanted in (("10", at_10), ("100", at_100), ("1Gbit/s", at_1000)):
        assert calc("frame_rate", line_rate=rate, frame_bytes=frame) == {"frames_per_second": wanted}


@pytest.mark.parametrize("frame", ["63", "16001", "64.5"])
def test_a_frame_of_no_possible_size_is_refused(frame: str) -> None:
    with pytest.raises(Refused) as caught:
        calc("frame_rate", line_rate="100", frame_bytes=frame)
    assert caught.value.sentence().startswith("frame_bytes: '" + frame)


def test_goodput_is_payload_over_wire_bytes() -> None:
    assert calc("tcp_goodput", line_rate="100")["goodput"] == pytest.approx(100 * 1448 / 1538)
    assert calc("tcp_goodput", line_rate="100", timestamps="false")["goodput"] == pytest.approx(100 * 1460 / 1538)
    assert calc("tcp_goodput", line_rate="100", mtu="9000", timestamps="false")["goodput"] == pytest.approx(100 * 8960 / 9038)


def test_an_unknown_version_of_ip_is_refused() -> None:
    with pytest.raises(Refused) as caught:
        calc("tcp_goodput", line_rate="100", ip="5")
    assert "one of 4, 6" in caught.value.sentence()
