"""Who works in the story and with what. All of it is invented: no such people, firm or instruments exist."""

from __future__ import annotations

INSTALLER = ("Ines Quarrel", "phone-ines")
SECOND = ("Tobin Ashmole", "phone-tobin")
CLIENT = "Odile Farrow"

LIGHT_SET = {"name": "Light source and meter LS-4", "serial": "LS4-00317", "calibrated": "2025-09-18", "due": "2026-09-18"}
MICROSCOPE = {"name": "End-face camera EC-2", "serial": "EC2-0088", "calibrated": "2025-11-04", "due": "2026-11-04"}
PULSE_METER = {"name": "Pulse length meter PL-1", "serial": "PL1-0452", "calibrated": "2025-09-18", "due": "2026-09-18"}
EARTH_TESTER = {"name": "Earth tester ET-3", "serial": "ET3-1206", "calibrated": "2025-06-30", "due": "2026-06-30"}
OHMMETER = {"name": "Low-ohm meter LO-200", "serial": "LO2-0731", "calibrated": "2025-06-30", "due": "2026-06-30"}
MULTIMETER = {"name": "Multimeter MM-7", "serial": "MM7-2290", "calibrated": "2025-06-30", "due": "2026-06-30"}
CERTIFIER = {"name": "Copper certifier CC-500", "serial": "CC5-0164", "calibrated": "2025-10-21", "due": "2026-10-21"}
TRAFFIC = {"name": "Traffic generator TG-1", "serial": "TG1-0029", "calibrated": "2025-12-02", "due": "2026-12-02"}
