"""The main job, end to end: from a phone with no signal to a commissioning record."""

from __future__ import annotations

import re
from pathlib import Path

from tests.browser import acts
from tests.browser.phone import PhoneMaker
from tests.browser.server import Server


def test_walk(phones: PhoneMaker, server: Server, tmp_path: Path) -> None:
    phone = phones.lasting(server)
    phone.sign_in()
    phone.wait_until_kept_offline()
    phone.may_lose_network = True
    server.stop()
    phone.context.set_offline(True)
    book = acts.make_site(phone, {"Site": "Heron Basin Boatyard", "Client": "Basin Trust", "Place": "Low Quay", "Job number": "HB-7", "Near building": "Office", "Far building": "Slip shed"})
    phones.restart(phone, offline=True)
    phone.open("/")
    phone.follow(re.compile("Heron Basin"))
    phone.heading("Heron Basin Boatyard")
    link = acts.make_link(phone, {"Link": "Office to slip shed", "Kind": "Optical fibre", "Fibre": "OS2 single-mode, outdoor", "Strands to be tested": "2", "Mated connections": "2", "Splices": "0",
      "Cable outside diameter": ("8,2", "mm"), "Sheath marks count": "Metres", "Laid": "In duct"})
    print(phone.page.inner_text("main"))
    acts.add_station(phone, {"What is here": "Building entry", "Name": "Office wall", "Sheath mark": "100"})
    acts.add_station(phone, {"What is here": "Handhole", "Name": "Handhole 1", "Sheath mark": "130", "Depth of cover": ("600", "mm"), "Duct": "PE 50"})
    print(phone.page.inner_text("main"))
