"""The bench in a browser without signal: every calculator opens and computes, gives the digits of ``spanbook calc``, remembers, and writes notes."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from click.testing import CliRunner
from playwright.sync_api import expect

from app import engine
from app.cli_calc import calc
from tests.browser import acts
from tests.browser.demo import BEGUN, FIBRE, link_path
from tests.browser.phone import Phone, pairs
from tests.browser.server import Server

CALCULATORS: dict[str, dict[str, Any]] = {about["name"]: about for about in engine.call("calculators")}
FIBRE_CALCULATORS = [name for name, about in CALCULATORS.items() if about["group"] == "fibre"]
# A decimal in twelve significant digits, as core gives it.
SIGNIFICANT_DIGITS = 12
SITE = {"Site": "Tern Point", "Near building": "Mess hall", "Far building": "Boat house"}
LINK = {"Link": "Mess hall to boat house", "Kind": "Optical fibre", "Fibre": "OS2 single-mode, outdoor"}


@pytest.fixture
def offline_phone(demo_phone: Phone) -> Any:
    """The demo's phone without signal, for one test."""
    demo_phone.wait_until_kept_offline()
    demo_phone.may_lose_network = True
    demo_phone.context.set_offline(True)
    yield demo_phone
    demo_phone.context.set_offline(False)
    demo_phone.may_lose_network = False


def on_the_command_line(name: str, **inputs: str) -> dict[str, Any]:
    done = CliRunner().invoke(calc, [name, *[f"{key}={typed}" for key, typed in inputs.items()]])
    assert done.exit_code == 0, done.stderr
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def open_bench(phone: Phone, name: str, base: str = "/bench") -> None:
    """One calculator's form with nothing in it."""
    phone.open(f"{base}/{name}")
    phone.heading(CALCULATORS[name]["title"])
    clear = phone.page.get_by_role("button", name="Clear all")
    if clear.count():
        clear.click()
    expect(phone.page.get_by_role("button", name="Fill in an example")).to_be_visible()


def figures(phone: Phone) -> dict[str, str]:
    """Label of each result -> its rounded figure with unit."""
    listing = phone.page.locator("dl.bench-figures")
    expect(listing).to_be_visible()
    rows: list[tuple[str, str]] = listing.evaluate(
        "list => [...list.children].map(row => [row.querySelector('dt').innerText, row.querySelector('.figure').innerText])"
    )
    return dict(rows)


def rounded(about: dict[str, Any], answer: dict[str, Any]) -> dict[str, str]:
    """What the phone has to show for the command line's answer: label -> text without its unit."""
    label_of = {entry["key"]: entry["label"] for entry in about["results"]}
    return {label_of.get(key, key): result["text"] for key, result in answer["results"].items()}


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_calculator_opens_and_computes_its_example_without_signal(offline_phone: Phone, name: str) -> None:
    open_bench(offline_phone, name)
    offline_phone.press("Fill in an example")
    wanted = rounded(CALCULATORS[name], on_the_command_line(name, **CALCULATORS[name]["example_inputs"]))
    shown = figures(offline_phone)
    assert shown.keys() == wanted.keys()
    for label, text in wanted.items():
        assert shown[label] == text or shown[label].startswith(f"{text} "), label
    expect(offline_phone.page.get_by_role("heading", name="Source")).to_be_visible()
    expect(offline_phone.page.locator(".field-error")).to_have_count(0)


@pytest.mark.parametrize(
    ("name", "typed", "command"),
    [
        (
            "power_at_far_end",
            {"Source voltage": "48", "Load power": "12,95", "Conductor size, AWG": "24", "Length": "984ft"},
            {"source_voltage": "48V", "load_power": "12.95W", "awg": "24", "length": "984ft"},
        ),
        (
            "rod_resistance",
            {"Resistivity": ("12345", "Ωcm"), "Length": ("8", "ft"), "Diameter": ("0.625", "in"), "Rods": "3"},
            {"resistivity": "12345ohm*cm", "length": "8ft", "diameter": "0.625in", "rods": "3"},
        ),
        ("optical_power", {"Power": ("37.1", "µW")}, {"power": "37.1uW"}),
        (
            "order_length",
            {"Route": ("393.7", "ft"), "Rises": ("13,9.8", "ft"), "Stock": "500 ft"},
            {"route": "393.7ft", "rises": "13ft,9.8ft", "stock": "500ft"},
        ),
    ],
)
def test_what_is_typed_gives_the_digits_of_the_command_line(
    offline_phone: Phone, name: str, typed: dict[str, Any], command: dict[str, str]
) -> None:
    open_bench(offline_phone, name)
    offline_phone.fill(typed)
    answer = on_the_command_line(name, **command)
    digits = offline_phone.page.locator(".bench-digits")
    digits.locator("summary").click()
    shown = pairs(digits.locator("dl"))
    labels = {entry["key"]: entry["label"] for entry in CALCULATORS[name]["results"]}
    numbers = {labels[key]: result["value"] for key, result in answer["results"].items() if type(result["value"]) in (int, float)}
    assert shown.keys() == numbers.keys()
    for label, value in numbers.items():
        assert float(shown[label].split(" ")[0]) == float(f"{value:.{SIGNIFICANT_DIGITS}g}") == value, label
    assert offline_phone.page.locator(".bench-working li").all_inner_texts() == answer["working"]
    open_bench(offline_phone, name)


def test_the_list_is_divided_by_subject_and_found_by_a_word(offline_phone: Phone) -> None:
    offline_phone.open("/")
    offline_phone.follow("Bench")
    offline_phone.heading("Bench")
    main = offline_phone.page.get_by_role("main")
    expect(main.get_by_role("region", name="Fibre").get_by_role("link")).to_have_count(len(FIBRE_CALCULATORS))
    expect(main.get_by_role("listitem")).to_have_count(len(CALCULATORS))
    search = offline_phone.page.get_by_role("searchbox", name="Find a calculator")
    search.fill("duct full")
    expect(main.get_by_role("listitem")).to_have_count(1)
    offline_phone.follow(re.compile("^How full a duct is"))
    offline_phone.heading("How full a duct is")
    offline_phone.follow("Bench")
    search.fill("no such thing")
    expect(main).to_contain_text("No calculator by these words")
    search.fill("")


def test_a_bad_input_is_named_beside_its_field_and_nothing_typed_is_lost(offline_phone: Phone) -> None:
    open_bench(offline_phone, "fibre_allowance")
    page = offline_phone.page
    offline_phone.put("Connections", "2,5")
    field = page.get_by_label("Connections", exact=True)
    wrong = page.locator(".field-wrong").filter(has=field)
    expect(wrong).to_contain_text("'2,5' was given; allowed is a whole number from 0 to 100")
    expect(field).to_have_attribute("aria-invalid", "true")
    offline_phone.fill({"Connections": "2", "Fibre": "OS2", "Wavelength": "1310", "Length": "1200ohm"})
    wrong = page.locator(".field-wrong")
    expect(wrong).to_contain_text("Length")
    expect(wrong).to_contain_text("'1200ohm' was given; allowed is a number in m")
    expect(page.locator("dl.bench-figures")).to_have_count(0)
    expect(page.get_by_label("Wavelength", exact=True)).to_have_value("1310")
    offline_phone.put("Length", "1200")
    # By hand: 1.2 km x 0.4 dB/km + 2 x 0.70 dB at the ends (ISO/IEC 14763-3:2024, seen in one public place) = 1.88 dB.
    expect(page.locator("dl.bench-figures")).to_contain_text("1.88 dB")
    expect(page.locator(".field-wrong")).to_have_count(0)
    open_bench(offline_phone, "fibre_allowance")


def test_what_is_missing_is_named_and_the_formula_shown(offline_phone: Phone) -> None:
    open_bench(offline_phone, "electrical_length")
    result = offline_phone.page.get_by_role("region", name="Result")
    expect(result).to_contain_text("Needed for a result: Delay · Velocity factor")
    expect(result).to_contain_text("length = nvp * 0.299792458 m/ns * delay")
    offline_phone.put("Delay", "555")
    expect(result).to_contain_text("Needed for a result: Velocity factor")


def test_the_last_inputs_are_remembered_over_a_restart_without_signal(offline_phone: Phone) -> None:
    open_bench(offline_phone, "conductor_material")
    offline_phone.fill({"Pair loop": ("26800", "mΩ"), "Length": "100", "Conductor size, AWG": "24"})
    expect(offline_phone.page.locator("dl.bench-figures")).to_contain_text("Not copper")
    offline_phone.page.wait_for_timeout(600)
    offline_phone.page.reload()
    offline_phone.heading("Is it solid copper")
    expect(offline_phone.page.get_by_label("Pair loop", exact=True)).to_have_value("26800")
    expect(offline_phone.page.get_by_role("radiogroup", name="Unit of Pair loop").get_by_role("radio", name="mΩ")).to_be_checked()
    expect(offline_phone.page.locator("dl.bench-figures")).to_contain_text("Not copper")
    open_bench(offline_phone, "conductor_material")


def test_a_result_goes_into_a_note_of_the_link_that_the_bench_was_opened_from(phone: Phone, server: Server) -> None:
    phone.may_lose_network = True
    phone.context.set_offline(True)
    acts.make_site(phone, SITE)
    link = acts.make_link(phone, LINK)
    phone.follow("Bench")
    phone.heading("Bench")
    phone.follow(re.compile("^Splice loss from both ends"))
    phone.heading("Splice loss from both ends")
    assert f"/link/{link}/bench/" in phone.path()
    phone.fill({"From the near end": "0,2", "From the far end": "0,1"})
    phone.press(re.compile("^Put into a note"))
    phone.said("Note saved on this phone, in Mess hall to boat house")
    phone.follow("Noted: to Mess hall to boat house")
    note = phone.page.get_by_role("listitem").filter(has_text="Splice loss from both ends")
    for words in ("From the near end: 0,2 dB", "From the far end: 0,1 dB", "Loss = 0.15 dB", "Source: "):
        expect(note).to_contain_text(words)
    expect(note).to_contain_text("(seen in")


def test_on_its_own_the_bench_offers_the_link_that_was_open_last(phones: Any, stocked_server: Server) -> None:
    phone = phones.fresh(stocked_server)
    phone.sign_in()
    phone.all_sent()
    open_bench(phone, "electrical_length")
    phone.press("Fill in an example")
    expect(phone.page.locator("dl.bench-figures")).to_contain_text("114.81 m")
    expect(phone.page.get_by_role("button", name=re.compile("^Put into a note"))).to_have_count(0)
    phone.open(link_path(FIBRE))
    phone.open(link_path(BEGUN))
    phone.heading(re.compile("Office to cellar, fibre"))
    phone.open("/bench/electrical_length")
    phone.page.reload()
    expect(phone.page.get_by_role("button", name="Put into a note Office to cellar, fibre")).to_be_visible()


def test_a_calculator_that_is_not_there_is_said_so(offline_phone: Phone) -> None:
    offline_phone.open("/bench/horoscope")
    expect(offline_phone.page.get_by_role("main")).to_contain_text('There is no calculator "horoscope"')
