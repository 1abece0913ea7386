"""Things with their lots: expiry as a day that there is, a barcode only where one was kept."""

from __future__ import annotations

import base64

import pytest

from stepper.facts import entries as kinds
from stepper.facts.values import Choice, Digits, Expiry, Scan
from tests.cases import Log, examined, fill, opened, ready
from tests.note.fhir.documents import entries_of, of, resources, strings

GTIN = "51022222233336"
"""A valid GTIN-14 (FDA UDI sheet, worked example 4 of domain.md, seen)."""
RAW = f"]d201{GTIN}17280500" + "10A213B1\x1d211234"


def devices(log: Log) -> list[dict[str, object]]:
    """The devices of a log's document."""
    return resources(of(log), "Device")


def set_up(**values: object) -> dict[str, object]:
    """The one device of a log in which one thing was set up."""
    log = Log()
    log.log(kinds.Answer, step="set_up", canal=0, row=1, values={"item": Choice(options=("resin_sealer",)), **values})
    found = devices(log)
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(
    ("expiry", "day"),
    [
        (Expiry(year=2028, month=5), "2028-05-31"),
        (Expiry(year=2013, month=2), "2013-02-28"),
        (Expiry(year=2016, month=2), "2016-02-29"),
        (Expiry(year=2028, month=5, day=14), "2028-05-14"),
    ],
)
def test_a_month_is_good_until_its_last_day(expiry: Expiry, day: str) -> None:
    """TRAP: a GS1 day 00 is the last of its month, leap years counted (seen; worked example 6 of domain.md)."""
    assert set_up(expiry=expiry)["expirationDate"] == day


def test_a_keyed_lot_has_no_barcode() -> None:
    found = set_up(lot=Digits(value="007003"))
    assert found["lotNumber"] == "007003"
    assert "udiCarrier" not in found
    assert found["deviceName"] == [{"name": "Epoxy resin sealer", "type": "user-friendly-name"}]


def test_a_scanned_lot_keeps_the_barcode_as_the_scanner_sent_it() -> None:
    found = set_up(lot=Scan(raw=RAW, lot="A213B1", code=GTIN))
    assert found["lotNumber"] == "A213B1"
    carrier = found["udiCarrier"][0]  # type: ignore[index]
    assert base64.b64decode(carrier["carrierAIDC"]) == RAW.encode()
    assert {key: value for key, value in carrier.items() if key != "carrierAIDC"} == {
        "deviceIdentifier": GTIN,
        "issuer": "http://hl7.org/fhir/NamingSystem/gs1-di",
        "entryType": "barcode",
    }


def test_a_day_nought_is_nowhere_written_out() -> None:
    """TRAP: from 2025 on it is not to be printed (seen on a secondary page); only the barcode itself has it."""
    log = Log()
    scan = Scan(raw=RAW, lot="A213B1", code=GTIN)
    log.log(kinds.Answer, step="set_up", canal=0, row=1, values={"lot": scan, "expiry": Expiry(year=2028, month=5)})
    assert not [one for one in strings(of(log)) if "280500" in one]


def test_a_scan_that_no_value_keeps_is_kept_beside_its_line() -> None:
    log = Log()
    values = {"item": Choice(options=("resin_sealer",))}
    log.log(kinds.Answer, step="set_up", canal=0, row=1, values=values, scan=f"]E0{6291041500213}")
    carrier = devices(log)[0]["udiCarrier"][0]  # type: ignore[index]
    assert carrier["deviceIdentifier"] == "06291041500213"
    assert base64.b64decode(carrier["carrierAIDC"]) == b"]E06291041500213"


@pytest.mark.parametrize("raw", ["", "A213B1", "]d2rubbish", "]E06291041500214", "]d2\ud800"])
def test_what_is_no_barcode_is_no_device_identifier(raw: str) -> None:
    found = set_up(lot=Scan(raw=raw, lot="A213B1"))
    assert "udiCarrier" not in found
    assert found["lotNumber"] == "A213B1"


def test_an_hibc_code_has_no_issuer() -> None:
    """The name of its issuer was seen spelt three ways; the code says by its `+` whose it is (seen)."""
    raw = "]C0+A123BJC5D6E71G"
    found = set_up(lot=Scan(raw=raw, lot="1", code="+A123BJC5D6E71G"))
    assert set(found["udiCarrier"][0]) == {"deviceIdentifier", "carrierAIDC", "entryType"}  # type: ignore[index]


def test_the_sealer_of_a_canal_is_the_one_that_was_set_up_by_its_lot() -> None:
    log = ready()
    fill(log)
    document = of(log)
    sealer = next(one for one in resources(document, "Device") if one.get("lotNumber") == "7003")
    assert len(resources(document, "Device")) == 4
    used = resources(document, "Procedure")[0]
    assert used["usedReference"] == [{"reference": f"urn:uuid:{sealer['id']}"}]
    lot = next(one.seq for one in log.entries if "sealer_lot" in getattr(one, "values", {}))
    assert lot in entries_of(used)


def test_a_lot_that_was_not_set_up_is_a_thing_of_its_own() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("dressing", 1, material="calcium_hydroxide", pellet="cotton", lot="8101")
    document = of(log)
    own = resources(document, "Device")[-1]
    assert own["lotNumber"] == "8101"
    assert own["deviceName"][0]["name"] == "Calcium hydroxide paste"
    assert resources(document, "Procedure")[0]["usedReference"] == [{"reference": f"urn:uuid:{own['id']}"}]


def test_of_two_boxes_of_one_lot_nobody_knows_which_was_used() -> None:
    log = opened(examined(Log()), "mb")
    log.answer("set_up", row=5, item="cones_06", expiry="11.2027", lot="7003")
    log.answer("sealing", 1, sealer_lot="7003")
    document = of(log)
    used = resources(document, "Procedure")[0]["usedReference"]
    own = resources(document, "Device")[-1]
    assert used == [{"reference": f"urn:uuid:{own['id']}"}]
    assert own["deviceName"][0]["name"] not in ("Epoxy resin sealer", "Gutta-percha cones, taper .06")


def test_what_was_set_up_outside_the_chain_says_so() -> None:
    log = Log()
    log.answer("set_up", row=1, item="resin_sealer", expiry="1.2020", outside=True)
    assert devices(log)[0]["note"] == [{"text": "OUTSIDE THE CHAIN"}]
