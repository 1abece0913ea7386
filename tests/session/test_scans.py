"""A scan at the chair: what it answers in the row at hand, what is said of it, and what is kept.

The stock's codes are of prefixes that are kept for use inside a company (from memory), or invented.
"""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest

from stepper.facts.entries import Answer, Held
from stepper.facts.values import Absent, Choice, Digits, Expiry, Instrument, Scan, Size
from stepper.lines.scans.mod43 import check_character
from stepper.session.modes.asking import Asking
from stepper.session.modes.holding import Holding
from stepper.session.modes.remarking import Asked
from stepper.session.modes.scanned import StockNumber
from tests.drive import Chair
from tests.protocol.scraps import change, whole
from tests.session.plausible import asking, mode
from tests.session.stations import keyed, seated

GS = "\x1d"
SEALER, BOX, CONE = "02000000000015", "02000000000022", "02000000000039"
FILE, SALINE, LARGER = "02000000000046", "02000000000053", "02000000000077"
UNKNOWN = "02000000000060"
CODES = {"resin_sealer": SEALER, "cones_04": BOX, "rotary_35_04": FILE, "saline": SALINE}
HIBC = "+A999123457"
CONES = f"""
[[item]]
category = "cone"
number = 49
id = "cone_35_04"
label = "Cones 35/.04"
size = 35
taper = 0.04
codes = ["{CONE}"]

[[item]]
category = "cone"
number = 50
id = "cone_40_04"
label = "Cones 40/.04"
size = 40
taper = 0.04
codes = ["{LARGER}"]
"""


def scan(code: str, lot: str = "L5", yymmdd: str = "280531") -> str:
    return f"]d201{code}10{lot}{GS}17{yymmdd}"


@pytest.fixture(scope="module")
def stock(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bundled protocol with codes in its stock."""
    text = whole()
    for item, code in CODES.items():
        text, _ = change(text, "", f'id = "{item}"\n', f'id = "{item}"\ncodes = ["{code}"]\n')
    text, _ = change(text, "", 'id = "zinc_oxide_sealer"\n', f'id = "zinc_oxide_sealer"\ncodes = ["{HIBC}"]\n')
    text, _ = change(text, "", '\n[[item]]\ncategory = "cone"\n', f'{CONES}\n[[item]]\ncategory = "cone"\n')
    path = tmp_path_factory.mktemp("stock") / "stock.toml"
    path.write_text(text, encoding="utf-8")
    return path


def at(folder: Path, stock: Path, station: str) -> Chair:
    tooth, lines = keyed(station)
    chair = Chair(folder / "sessions", protocol=stock)
    chair.open(tooth=tooth)
    chair.key(*lines)
    return chair


@pytest.fixture
def chair(tmp_path: Path, stock: Path) -> Chair:
    """A chair at the set-up."""
    return at(tmp_path, stock, "set-up")


def last(chair: Chair) -> Answer:
    return next(entry for entry in reversed(chair.case.entries) if isinstance(entry, Answer))


def refused(chair: Chair, raw: str) -> str:
    """Scan what is refused: nothing is written; give what is said."""
    before, at_hand = chair.path.read_bytes(), chair.session.view()
    view = chair.key(raw)
    assert chair.path.read_bytes() == before
    assert (view.prompt, view.readback) == (at_hand.prompt, at_hand.readback)
    return view.saying


def test_one_scan_fills_a_row_of_the_set_up(chair: Chair) -> None:
    raw = scan(SEALER)
    view = chair.key(raw)
    assert last(chair).values == {
        "item": Choice(options=("resin_sealer",)),
        "expiry": Expiry(year=2028, month=5, day=31),
        "lot": Scan(raw=raw, lot="L5", code=SEALER),
    }
    assert last(chair).scan is None, "the lot keeps it"
    assert view.readback == "Epoxy resin sealer, lot L5, good until 31 May 2028"
    assert view.saying == "Logged item Epoxy resin sealer, expiry 2028-05-31, lot L5"
    assert view.prompt.question == "Stock number of what is set up"
    assert chair.key("*").readback == "Epoxy resin sealer, lot L5, good until 31 May 2028"
    line = json.loads(chair.path.read_bytes().splitlines()[last(chair).seq])
    assert line["values"]["lot"] == {"kind": "scan", "raw": raw, "lot": "L5", "code": SEALER}
    assert "scan" not in line


def test_a_day_that_is_left_open_is_read_back_as_the_month_s_end(chair: Chair) -> None:
    assert chair.key(scan(SEALER, yymmdd="280200")).readback.endswith("good until the end of February 2028")
    assert last(chair).values["expiry"] == Expiry(year=2028, month=2)


def test_what_the_code_does_not_say_is_asked_next(chair: Chair) -> None:
    view = chair.key(f"]E0{SEALER[1:]}")
    assert last(chair).values == {"item": Choice(options=("resin_sealer",))}
    assert last(chair).scan == f"]E0{SEALER[1:]}"
    assert view.prompt.question == "Its expiry"
    view = chair.key("]C11728053110L5")
    assert last(chair).values["lot"] == Scan(raw="]C11728053110L5", lot="L5")
    assert view.readback == "Epoxy resin sealer, lot L5, good until 31 May 2028"
    assert len(chair.case.told.rows_of("set_up", 0)) == 1


def test_a_lot_alone_leaves_the_expiry_asked(chair: Chair) -> None:
    view = chair.key("11", "]d210L5")
    assert last(chair).values == {"lot": Scan(raw="]d210L5", lot="L5")}
    assert view.prompt.question == "Its expiry"


def test_a_code_of_nothing_in_stock_asks_for_the_number_once(chair: Chair) -> None:
    raw = scan(UNKNOWN)
    entries = len(chair.case.entries)
    view = chair.key(raw)
    assert type(mode(chair)) is StockNumber
    assert view.readback == ""
    assert view.saying == f"Code {UNKNOWN} is no stock item. Key its stock number; what was scanned is kept."
    assert len(chair.case.entries) == entries
    view = chair.key("12")
    assert [entry.kind for entry in chair.case.entries[entries:]] == ["answer"]
    assert last(chair).values == {
        "item": Choice(options=("calcium_silicate_sealer",)),
        "lot": Scan(raw=raw, lot="L5", code=UNKNOWN),
        "expiry": Expiry(year=2028, month=5, day=31),
    }
    assert view.readback == "Calcium-silicate sealer, lot L5, good until 31 May 2028"
    assert asking(chair)


def test_a_scan_without_a_code_asks_for_the_number_too(chair: Chair) -> None:
    assert chair.key("]d210L5").saying.startswith("The code names no item. Key its stock number")
    chair.key("//", "0")
    assert type(mode(chair)) is StockNumber, "an incident leads back to it"
    assert chair.key("").saying == "The scan is forgotten; nothing was logged."
    assert asking(chair)
    assert chair.case.told.rows_of("set_up", 0) == []


def test_a_plain_code_of_nothing_in_stock_is_kept_beside_the_number(chair: Chair) -> None:
    chair.key(f"]E0{UNKNOWN[1:]}", "12")
    assert last(chair).values == {"item": Choice(options=("calcium_silicate_sealer",))}
    assert last(chair).scan == f"]E0{UNKNOWN[1:]}"


def test_an_item_that_was_keyed_is_filled_by_its_own_code(chair: Chair) -> None:
    chair.key("11", scan(SEALER))
    assert set(last(chair).values) == {"expiry", "lot"}


def test_a_code_of_another_item_is_refused_by_both_names(chair: Chair) -> None:
    chair.key("11")
    assert refused(chair, scan(BOX)) == (
        "Scan not taken: the code is of Gutta-percha cones, taper .04, and this row is Epoxy resin sealer. "
        ". corrects the row."
    )


def test_a_code_that_the_stock_does_not_have_of_the_item_is_logged_and_said(chair: Chair) -> None:
    view = chair.key("11", scan(UNKNOWN))
    assert set(last(chair).values) == {"expiry", "lot"}
    assert view.saying.endswith(f"{UNKNOWN} is none of the codes of Epoxy resin sealer in the stock.")
    view = chair.key("12", scan(UNKNOWN))
    assert "none of the codes" not in view.saying, "nothing is known of that one's codes"


def test_what_is_odd_in_a_code_is_said_after_it_was_logged(chair: Chair) -> None:
    view = chair.key(f"]d201{SEALER}1728053110L521123456")
    assert view.saying.endswith("Compare the lot with the packet: another field may hang on to it.")
    assert set(last(chair).values) == {"item", "expiry", "lot"}


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        (f"]d201{SEALER}10L517280531", "the separator after the lot is lost."),
        (f"]d201{SEALER}10L5^]17280531", "the separator came as ^]."),
        ("]d20102000000000016", "the check digit of the item number is wrong."),
        (f"]d201{SEALER}17280230", "its expiry 280230 (year, month, day) is no date."),
        ("]d2", "the code is empty."),
        ("]d10102000000000015", "]d1 is neither a GS1 nor an HIBC code."),
        ("]d2010200", "no GS1 field begins with 0102."),
    ],
)
def test_what_cannot_be_trusted_changes_nothing(chair: Chair, raw: str, why: str) -> None:
    assert refused(chair, raw).startswith(f"Scan not taken: {why}")


def test_an_expired_lot_rings_twice_before_it_is_logged(chair: Chair) -> None:
    view = chair.key(scan(SEALER, yymmdd="260301"))
    assert type(mode(chair)) is Holding
    assert chair.bells == 2
    assert "Epoxy resin sealer expired 2026-03-01." in view.prompt.question
    assert "good until" not in view.readback
    chair.key("1")
    (held,) = (entry for entry in chair.case.entries if isinstance(entry, Held))
    assert held.values["lot"] == Scan(raw=scan(SEALER, yymmdd="260301"), lot="L5", code=SEALER)
    assert chair.case.told.rows_of("set_up", 0) == []
    assert chair.key(scan(SEALER, yymmdd="260302")).saying.startswith("Logged"), "it is good on its day"


def test_a_year_that_is_past_is_said_and_not_refused(chair: Chair) -> None:
    view = chair.key(scan(SEALER, yymmdd="770531"))
    assert type(mode(chair)) is Holding
    assert view.saying == "By its code it expired 31.5.1977: look at the packet."


def test_minutes_ago_goes_with_a_scan(chair: Chair) -> None:
    chair.clock.advance(600)
    chair.key("5--", scan(SEALER))
    assert last(chair).ago_min == 5
    chair.key(scan(BOX))
    assert last(chair).ago_min is None


def test_a_second_code_goes_with_the_first_of_the_same_packet(chair: Chair) -> None:
    chair.key(f"]d1{HIBC}")
    assert last(chair).values == {"item": Choice(options=("zinc_oxide_sealer",))}
    wrong, right = (f"+$$0528L5{link}" for link in ("8", "7"))
    assert refused(chair, f"]d1{wrong}{check_character(wrong)}") == (
        "Scan not taken: its link character is of another item than Zinc oxide-eugenol sealer. "
        "Scan the same packet's code, or key it."
    )
    chair.key(f"]d1{right}{check_character(right)}")
    assert last(chair).values["expiry"] == Expiry(year=2028, month=5)


def test_a_second_code_alone_asks_for_the_number_and_holds_it_against_its_link(chair: Chair) -> None:
    wrong = "+$$0528L58"
    chair.key(f"]d1{wrong}{check_character(wrong)}")
    assert chair.key("13").saying.startswith("Scan not taken: its link character is of another item")
    assert type(mode(chair)) is StockNumber
    assert chair.key("11").saying.startswith("Logged")


def test_a_scan_at_a_question_that_none_answers_is_said_and_changes_nothing(tmp_path: Path, stock: Path) -> None:
    chair = at(tmp_path, stock, "length")
    assert refused(chair, scan(SEALER)).startswith("No scan answers this; nothing was logged.")
    chair = at(tmp_path / "b", stock, "technique")
    assert refused(chair, scan(SEALER)).startswith("No scan answers this; nothing was logged.")


def test_an_item_that_is_no_answer_here_is_named(tmp_path: Path, stock: Path) -> None:
    chair = at(tmp_path, stock, "irrigation")
    assert refused(chair, scan(SEALER)) == "Scan not taken: Epoxy resin sealer is none of the choices here."
    chair.key(scan(SALINE))
    assert last(chair).values == {"solution": Choice(options=("saline",))}
    assert last(chair).scan == scan(SALINE)


def test_a_file_s_packet_tells_no_distance(tmp_path: Path, stock: Path) -> None:
    chair = at(tmp_path, stock, "shaping")
    number = next(item.number for item in chair.case.protocol.item if item.id == "rotary_35_04")
    said = refused(chair, scan(FILE))
    assert said == f"Scan not taken: distance missing; type 0/{number}-0 at length or 0/{number}-1.5 for 1.5 mm short."
    assert refused(chair, scan(UNKNOWN)).startswith("Scan not taken: its code is no stock item. Type 35/4-0 at length")
    chair.key(f"0/{number}-0")
    assert isinstance(last(chair).values["file"], Instrument)


def test_a_cone_is_read_from_its_packet_while_all_is_covered(tmp_path: Path, stock: Path) -> None:
    chair = at(tmp_path, stock, "cone")
    assert chair.session.view().covered
    for raw in (scan(SEALER), scan(BOX)):
        said = refused(chair, raw)
        assert said.startswith("Scan not taken: the stock says no size of it. Type size/taper")
        assert "sealer" not in said.lower()
    view = chair.key(scan(CONE))
    assert last(chair).values == {"cone": Size(size=35, taper=Decimal("0.04"), stock=49)}  # type: ignore[arg-type]
    assert last(chair).scan == scan(CONE)
    assert view.readback == "single canal, cone 35/.04."
    assert chair.bells == 0


def test_the_wrong_cone_s_packet_rings(tmp_path: Path, stock: Path) -> None:
    chair = at(tmp_path, stock, "cone")
    view = chair.key(scan(LARGER))
    assert chair.bells == 2
    assert view.prompt.title.startswith("STOP: Cone fit")


def test_a_lot_in_hand_that_is_scanned_is_the_lot_that_was_keyed(tmp_path: Path, stock: Path) -> None:
    chair = at(tmp_path, stock, "lot")
    view = chair.key(scan(SEALER, lot="503"))
    assert type(mode(chair)) is Asking
    assert view.readback == "lot 503"
    other = at(tmp_path / "b", stock, "lot")
    view = other.key(scan(SEALER, lot="L9"))
    assert type(mode(other)) is Asked
    assert "Sealer lot L9 is none of the lots" in view.prompt.question


def test_a_lot_is_corrected_by_a_scan_and_an_expiry_by_keys(chair: Chair) -> None:
    chair.key("11**6.2027**503")
    chair.key(".", "1", "1", "3", "]d210L5")
    fact = chair.case.told.fact("set_up.lot", 0)
    assert fact is not None
    assert fact.value == Scan(raw="]d210L5", lot="L5")
    chair.key("1", ".", "2", "1", "2")
    assert refused(chair, "]d217280531") == "Type the one new answer, without a canal."


def test_what_was_scanned_is_there_when_the_session_is_opened_again(chair: Chair) -> None:
    chair.key(scan(SEALER))
    before = {name: fact.value for name, fact in chair.case.told.rows_of("set_up", 0)[0].facts.items()}
    chair.key("/", "8", "2", "11")
    after = {name: fact.value for name, fact in chair.case.told.rows_of("set_up", 0)[0].facts.items()}
    assert after == before
    assert isinstance(after["lot"], Scan)


def test_a_row_that_is_answered_takes_no_scan(tmp_path: Path, stock: Path) -> None:
    chair = at(tmp_path, stock, "coronal seal")
    chair.key("14/")
    if chair.session.view().prompt.question == "Everything here is answered.":
        assert refused(chair, scan(SEALER)) == "Everything here is answered; Enter goes on, . corrects."
    else:
        assert refused(chair, scan(SEALER)).startswith("No scan answers this")


MORE = """
[[step.question]]
id = "insert"
kind = "lot"
prompt = "Lot on the insert"
needed = false

[[step.question]]
id = "printed"
kind = "size"
prompt = "Size on the packet"
needed = false

[[step.question]]
id = "opened"
kind = "choice"
prompt = "Opened before"
if_left_out = "no"
option = [{ id = "no", label = "no" }, { id = "yes", label = "yes" }]

[[step.question]]
id = "opened_until"
kind = "expiry"
prompt = "Good until, once opened"
when = { question = "opened", any = ["yes"] }
"""


def edited(folder: Path, stock: Path, *edits: tuple[str, str, str]) -> Path:
    """The protocol with codes, and edited: after which text, what is replaced, by what."""
    text = stock.read_text(encoding="utf-8")
    for after, old, new in edits:
        text, _ = change(text, after, old, new)
    path = folder / "edited.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_each_kind_is_answered_once_and_what_may_be_left_out_is(tmp_path: Path, stock: Path) -> None:
    """One expiry, one lot, no size beside them, nothing whose condition does not hold; the rest as for a typed line."""
    longer = edited(tmp_path, stock, ('prompt = "Its lot"\n', "\n", f"\n{MORE}"))
    chair = at(tmp_path, longer, "time-out")
    chair.key("4711", "11", "11")
    view = chair.key(scan(LARGER))
    assert set(last(chair).values) == {"item", "expiry", "lot", "opened"}
    assert last(chair).values["opened"] == Choice(options=("no",))
    assert view.prompt.question == "Stock number of what is set up"
    chair.key("11**6.2028")
    chair.key(scan(SEALER))
    assert set(last(chair).values) == {"lot", "opened"}
    chair.key(scan(UNKNOWN), "49")
    assert set(last(chair).values) == {"item", "expiry", "lot", "opened"}


def test_a_blind_question_names_nothing(tmp_path: Path, stock: Path) -> None:
    blind = 'blind = "from its packet"\n'
    covered = edited(
        tmp_path,
        stock,
        ("", 'prompt = "Its lot"\n', f'prompt = "Its lot"\n{blind}'),
        ('id = "irrigation"', 'among = "solution"\n', f'among = "solution"\n{blind}'),
    )
    chair = at(tmp_path, covered, "set-up")
    chair.key("13**6.2028")
    assert chair.session.view().covered
    assert refused(chair, scan(SEALER)) == "Scan not taken: the code is of another item."
    other = "+$$0528L58"
    said = refused(chair, f"]d1{other}{check_character(other)}")
    assert said.startswith("Scan not taken: its link character is of another item. ")
    chair = at(tmp_path / "b", covered, "irrigation")
    assert chair.session.view().covered
    assert refused(chair, scan(SEALER)) == "Scan not taken: what was scanned is none of the choices here."


def test_keyed_lots_and_absences_are_as_they_were(chair: Chair) -> None:
    chair.key("11**6.2027**503")
    assert last(chair).values["lot"] == Digits(value="503")
    chair.key("12**6.2027", "-/")
    assert isinstance(last(chair).values["lot"], Absent)


def test_a_scan_that_waits_for_its_stock_number_is_offered_again_after_the_plug_was_pulled(tmp_path: Path) -> None:
    chair = seated(tmp_path, "set-up")
    raw = "]d2010401234567890110L12345\x1d17280531"
    assert chair.key(raw).prompt.title.startswith("Scanned")
    chair.lobby.leave()
    again = Chair(tmp_path)
    again.key("11")
    assert again.lobby.pending == raw
    assert again.key(raw).prompt.title.startswith("Scanned")
    view = again.key("11")
    assert "lot L12345" in view.saying
