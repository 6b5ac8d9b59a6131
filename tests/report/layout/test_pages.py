"""What a reader finds on the pages, and that nothing recorded can do more than be read."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Any

import hypothesis
import hypothesis.strategies as st
import pikepdf
import pytest
from hypothesis import given

from bradawl.language import message
from bradawl.report.issue import write_report
from bradawl.report.layout.style import PAGE_SIZES, TEXT_WIDTH
from bradawl.report.printing import Printing, PrintingError
from bradawl.report.signing.keys import Signer
from tests.judge.saying import unsaid
from tests.report.tools import build, flowing, run, words
from tests.report.visits import (
    AREAS,
    GRADES,
    ITEMS,
    TODAY,
    assessment,
    item,
    jpeg,
    judged,
    puts,
    snapshot,
)


def page_words(file: Path, page: int) -> str:
    text = run("pdftotext", "-layout", "-f", str(page), "-l", str(page), file, "-")
    return " ".join(text.split())


def test_page_one_answers(condition: Path) -> None:
    text = " ".join(run("pdftotext", "-raw", "-l", "1", condition, "-").split())
    for answer in (
        "1989 Corvane Tilda 16",
        "VIN not recorded",
        "101,843 mi (read as 163,900 km)",
        "Ada Fernack",
        "November 25, 2026, 9:20 AM (UTC+1)",
        "Lindrach",
        "Everyday driving and Long trips",
        "Trailer it. Unsafe: Front pad thickness.",
        "1 Front pad thickness Pad thickness front left is 0.6 mm, below 1/32 in.",
        "Unsafe: 1",
        "Needs fixing: 2",
        "7 of 9 checks were made",
        "Brake hoses (could not get underneath)",
    ):
        assert answer in text, answer


def test_the_six_areas_come_first_and_in_their_order(condition: Path) -> None:
    text = flowing(condition)
    card = text.index("The worst of it")  # the table of the first page
    order = [str(area["title"]) for area in AREAS[:6]]
    rows = [text.index(title, card) for title in [*order, "All other areas"]]
    assert rows == sorted(rows)
    # a heading with the counts below it
    counts = r" \d+ (unsafe|needs? fixing|minor|OK|not checked)"
    found = [re.search(re.escape(title) + counts, text) for title in order]
    places = [match.start() for match in found if match]
    assert len(places) == 6
    assert places == sorted(places)
    assert rows[-1] < places[0]
    later = [text.rindex(title) for title in ("Cautions and scope", "Method and sources")]
    assert later == sorted(later)
    assert places[-1] < later[0]


def test_each_area_says_its_worst_its_counts_and_one_line(condition: Path) -> None:
    text = flowing(condition).partition("The worst of it")[2].partition("Unsafe: 1")[0]
    # unsafe, needs fixing, minor, OK, not checked: as GRADES and ITEMS have them
    for row in (
        "Rust – 1 1 – – Left sill: The sill is soft under the probe beside the jacking point.",
        "Crash signs – – – 1 – What was checked is OK.",
        "Brakes 1 – – – 1 Front pad thickness: Pad thickness front left is 0.6 mm, below 1/32 in.",
        "All other areas – – – – 1 Nobody checked it.",
    ):
        assert row.replace("Crash signs", str(AREAS[1]["title"])) in text, row


def test_findings_stand_in_the_order_of_gravity(condition: Path) -> None:
    text = flowing(condition)
    assert text.rindex("Left sill") < text.rindex("Boot floor")
    # numbered through, the gravest first, whatever the order of the areas
    for number, title in enumerate(
        ("Front pad thickness", "Left sill", "Rear bush of the lower arm", "Boot floor",
         "Chewed loom"), 1,
    ):  # fmt: skip
        assert len(re.findall(rf"\b{number}\s{title}", text)) >= 2


def test_readings_stand_with_limit_and_source(condition: Path) -> None:
    text = flowing(condition)
    # 1 in = 25.4 mm (international yard, 1959)
    assert "front left: 0.8/32 in (read as 0.6 mm); front right: 3.5/32 in (read as 2.8 mm)" in text
    assert "Unsafe below 1/32 in [1]; Minor below 3.8/32 in (3 mm)" in text
    assert "[1] 49 CFR 570.5, (g) (from memory, not checked against the text)" in text
    assert "ommon practice)" not in text


def test_what_was_not_inspected_is_listed_with_its_reason(condition: Path) -> None:
    text = page_words(condition, 1).partition("Not checked:")[2]
    assert "Brake hoses (could not get underneath)" in text
    assert "Engine mounts (not reached in the time there was)" in text
    # the first page names them all: there is no chapter that says it again
    assert "Not checked, and why" not in flowing(condition)


def test_of_many_that_nobody_checked_the_first_page_counts_and_a_chapter_names(
    tmp_path: Path,
) -> None:
    many = [item(f"engine.more-{at}", f"Thing {at}") for at in range(9)]
    file = tmp_path / "many.pdf"
    write_report(snapshot(items=[*ITEMS, *many]), file, "condition", None, today=TODAY)
    first = page_words(file, 1)
    assert "Engine (9)" in first
    assert "The other 9 are listed by name." in first
    chapter = flowing(file).rpartition("Not checked, and why")[2]
    assert "No reason given" in chapter
    names = ", ".join(f"Thing {at}" for at in range(9))
    assert f"Engine, nothing checked: {names}" in chapter


def test_what_the_way_home_depends_on_and_nobody_saw_is_said_in_one_sentence(
    tmp_path: Path, shop: Signer
) -> None:
    unseen = ["Springs", "Dampers: oil and mountings", "Wheel nuts"]
    items = [*ITEMS, *(item(f"engine.way-{at}", title) for at, title in enumerate(unseen))]
    reasons = [{"item": f"brakes.way-{at}", "said": unsaid(f"Fault {at}.")} for at in range(4)] + [
        {
            "item": f"engine.way-{at}",
            "seen": False,
            "said": {"id": "judge-drive-unseen", "args": {"item": title}},
        }
        for at, title in enumerate(unseen)
    ]
    answer = {"answer": "trailer", "said": unsaid("It goes home on a trailer."), "reasons": reasons}
    file = tmp_path / "way.pdf"
    visit = snapshot(items=items, judgement=assessment(drive_home=answer))
    write_report(visit, file, "condition", shop, today=TODAY)
    text = flowing(file).partition("The drive home: every reason")[2]
    assert "It depends on 3 checks that nobody made: in bold where those are named" in text
    # where all that nobody checked is listed, once and in bold
    for title in unseen:
        assert flowing(file).count(title) == 1, title
    bold = subprocess.run(
        ["pdftohtml", "-xml", "-stdout", "-i", "-l", "1", file], capture_output=True, check=True
    ).stdout.decode()
    assert "<b>Dampers: oil and mountings</b>" in " ".join(bold.split())
    assert all(f"• Fault {at}." in text for at in range(4))


def test_cautions_of_the_items_are_shown_and_local_law_decides(condition: Path) -> None:
    text = flowing(condition)
    assert "Never go under a car that stands on a jack alone." in text
    assert "Your state's law decides whether a car may be on the road" in text


def test_evidence_for_maintenance_says_due_without_a_document(tmp_path: Path, shop: Signer) -> None:
    rows = [
        {"id": "oil", "title": "Engine oil", "item": "fluids.oil-level", "evidence": "claimed",
         "due": True, "said": {"id": "judge-due-claimed"}, "source": "assumption"},
        {"id": "belt", "title": "Timing belt", "item": "engine.mounts", "evidence": "documented",
         "due": False, "said": unsaid("Receipt: 1.2 years since, due every 5 years."),
         "source": "assumption"},
    ]  # fmt: skip
    file = tmp_path / "evidence.pdf"
    visit = snapshot(judgement=assessment(baseline=rows))
    write_report(visit, file, "condition", shop, today=TODAY)
    text = flowing(file)
    assert "1 of 2 count as due." in text
    assert "Engine oil due, claimed only: Somebody says so" in text
    assert "Timing belt not due, Receipt: 1.2 years since" in text


@pytest.mark.parametrize("page", ["a4", "letter"])
def test_the_page_has_its_size_and_every_page_says_which_it_is(
    tmp_path: Path, shop: Signer, page: str
) -> None:
    file = tmp_path / "sized.pdf"
    issued = write_report(
        snapshot(photos=[jpeg(n) for n in range(4)]),
        file,
        "condition",
        shop,
        today=TODAY,
        printing=Printing.of(paper=page),
    )
    with pikepdf.open(file) as pdf:
        for one in pdf.pages:
            size = tuple(float(edge) for edge in one.mediabox[2:])
            assert size == pytest.approx(PAGE_SIZES[page], abs=0.01)
    # ISO 216 A4 and ANSI Letter in points
    assert PAGE_SIZES["a4"] == pytest.approx((595.28, 841.89), abs=0.01)
    assert PAGE_SIZES["letter"] == (612, 792)
    for number in range(1, issued.pages + 1):
        text = page_words(file, number)
        foot = text.rpartition("1989 Corvane Tilda 16 · Condition report")[2]
        assert foot.endswith(f"November 25, 2026 page {number} of {issued.pages}")


def test_title_language_and_outline(condition: Path) -> None:
    with pikepdf.open(condition) as pdf:
        assert str(pdf.docinfo["/Title"]) == "Condition report: 1989 Corvane Tilda 16"
        assert str(pdf.Root.Lang) == "en-US"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        with pdf.open_outline() as outline:
            titles = [one.title for one in outline.root]
            findings = [inner.title for one in outline.root for inner in one.children]
    assert titles[:5] == [
        "Summary", "The drive home", "Where it is, and what matters most", "Signatures", "Rust"
    ]  # fmt: skip
    assert findings == ["Left sill", "Rear bush of the lower arm", "Front pad thickness"]


def test_the_summary_links_to_each_finding_on_the_page_it_names(condition: Path) -> None:
    with pikepdf.open(condition) as pdf:
        pages = {page.obj.objgen: number for number, page in enumerate(pdf.pages, 1)}
        dests = dict(pdf.Root.get("/Dests", pikepdf.Dictionary()).items())
        reached = []
        for note in pdf.pages[0].obj.Annots:
            if note.Subtype == "/Link":
                target = note.get("/Dest")
                target = dests[str(target)] if not isinstance(target, pikepdf.Array) else target
                reached.append(pages[target[0].objgen])
    text = page_words(condition, 1)
    named = [int(number) for number in re.findall(r"page (\d+)(?! of)", text)]
    assert named
    assert set(named) <= set(reached)


def _headings_and_last_lines(file: Path, pages: int) -> list[str]:
    """The last line of text above the foot of each page."""
    last = []
    for number in range(1, pages + 1):
        lines = [
            line.strip()
            for line in run("pdftotext", "-layout", "-f", str(number), "-l", str(number), file,
                            "-").splitlines()
            if line.strip()
        ]  # fmt: skip
        last.append(lines[-2])
    return last


def test_no_heading_is_left_alone_at_the_foot_of_a_page(tmp_path: Path, shop: Signer) -> None:
    """Many lengths of text before each heading, so that every position on a page occurs."""
    titles = {str(area["title"]) for area in AREAS} | {
        "OK", "Not checked, and why", "Cautions and scope", "Method and sources",
        "Signatures", "Signatures added later", "Maintenance",
    }  # fmt: skip
    items = [
        item(f"{area['id']}.thing-{number}", f"Thing {number} of {area['id']}")
        for area in AREAS
        for number in range(7)
    ]
    grades = {
        one["id"]: judged(("minor", "none", "major")[at % 3], "A reason. " * (1 + at * 5 % 17))
        if one["area"] not in ("fluids", "engine")  # areas that have nothing but what is sound
        else judged("none")
        for at, one in enumerate(items)
    }
    for more in range(12):
        recorded = [*puts(), ("items/rust.thing-0/note", "A line of the note.\n" * more)]
        file = tmp_path / f"long-{more}.pdf"
        visit = snapshot(recorded, items=items, judgement=assessment(grades, items))
        issued = write_report(visit, file, "condition", None, today=TODAY)
        for line in _headings_and_last_lines(file, issued.pages):
            assert line not in titles
            assert not re.fullmatch(r"(Minor|Needs fixing|Unsafe|OK)( · .*)?", line)
            assert not re.fullmatch(
                r"\d+ (minor|needs? fixing|need fixing|OK|not checked)\b.*", line
            )


def test_long_words_and_long_names_stay_on_the_page(tmp_path: Path, shop: Signer) -> None:
    long_name = "Maximiliana-Konstantina von Hohenwuldenborg-Tiefenwahl am See"
    assert len(long_name) >= 60
    recorded = [
        *puts(),
        ("about/inspector", long_name),
        ("car/make", "W" * 60),
        ("car/model", "Donaudampfschifffahrtselektrizitätenhauptbetriebswerk" * 2),
        ("items/rust.sill-left/note", "x" * 900),
        ("items/rodents.loom/grade", {"grade": "uninspected", "why": "y" * 300}),
    ]
    grades = {**GRADES, "rodents.loom": judged("uninspected")}
    file = tmp_path / "long.pdf"
    seal = {"name": long_name, "place": "p" * 200}
    visit = snapshot(recorded, judgement=assessment(grades), seal=seal)
    write_report(visit, file, "condition", shop, today=TODAY)
    boxes = run("pdftotext", "-bbox", file, "-")
    edges = [float(edge) for edge in re.findall(r'xMax="([\d.]+)"', boxes)]
    width = PAGE_SIZES["letter"][0]
    assert max(edges) <= width - (width - TEXT_WIDTH) / 2 + 0.1
    assert long_name in flowing(file)


HOSTILE = (
    '<a href="javascript:alert(1)">here</a>',
    '<img src="file:///etc/passwd"/>',
    "</para><b>bold</b><para>",
    "<link href='https://example.org'>x</link>",
    "&lt;script&gt; &amp; &#x41;",
    ") Tj ET Q /Fm0 Do BT (",
    "]] >> endobj trailer << /Root 1 0 R >> %%EOF",
    "{{7*7}} %s %(x)s \\n \\x00",
    "<onDraw name=x/><seq id='y'/><unichar code='65'/>",
    "%page-of item-1",  # how the pages keep a place for a page's number
)


def test_nothing_in_a_record_becomes_markup_a_link_or_code(tmp_path: Path, shop: Signer) -> None:
    recorded = puts([jpeg(1)])
    recorded += [
        ("about/inspector", HOSTILE[0]),
        ("about/place", HOSTILE[1]),
        ("car/make", HOSTILE[2]),
        ("car/model", HOSTILE[3]),
        ("car/vin", HOSTILE[4]),
        ("items/rust.sill-left/note", "\n".join(HOSTILE)),
        ("items/<script>/note", HOSTILE[0]),
        ("items/rodents.loom/readings/</b>/one", {"typed": HOSTILE[5], "unit": HOSTILE[6]}),
        ("items/fluids.oil-level/choice", HOSTILE[8]),
    ]
    items = [{**one, "title": f"{one['title']} {HOSTILE[2]}", "where": HOSTILE[0]} for one in ITEMS]
    grades = {name: {**one} for name, one in GRADES.items()}
    grades["rust.sill-left"] = judged("major", HOSTILE[3], source=HOSTILE[0])
    visit = snapshot(
        recorded,
        [jpeg(1)],
        items=items,
        judgement=assessment(grades),
        seal={"name": HOSTILE[0], "place": HOSTILE[3]},
        amendments=[("items/rodents.loom/note", HOSTILE[0])],
    )
    file = tmp_path / "hostile.pdf"
    write_report(visit, file, "partner", shop, today=TODAY)
    text = words(file)
    for attack in (HOSTILE[0], HOSTILE[3], HOSTILE[5], HOSTILE[9]):
        assert attack.replace(" ", "") in text.replace(" ", "")
    with pikepdf.open(file) as pdf:
        for one in pdf.objects:
            # the attributes of an element of the structure are called /A, too
            if (
                isinstance(one, (pikepdf.Dictionary, pikepdf.Stream))
                and one.get("/Type") != pikepdf.Name.StructElem
            ):
                for key in ("/URI", "/JS", "/A", "/AA", "/Launch", "/OpenAction"):
                    assert key not in one, key


ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-9999, 9999) | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["typed", "unit", "grade", "why", "caption", "date"]), inner
        )
    ),
    max_leaves=6,
)
PATHS = st.sampled_from(
    ["about/inspector", "about/started", "about/distance_home", "about/place", "car/make",
     "car/year", "car/odometer", "brief/uses", "items/rust.sill-left/note", "car/vin",
     "items/rust.sill-left/grade", "items/rust.sill-left/readings/x/y", "items/nowhere/choice",
     "items/rust.sill-left/photos/" + "0" * 64, "items/brakes.front-pads/readings/pad/front-left",
     "items/rust.sill-left", "items", "about"]
)  # fmt: skip


@hypothesis.settings(max_examples=25)
@given(st.lists(st.tuples(PATHS, ANY_JSON), max_size=8))
def test_whatever_shape_a_record_has_a_report_comes_out(odd: list[tuple[str, Any]]) -> None:
    pdf = build(snapshot([*puts(), *odd], sealed=False), "partner", None, today=TODAY)
    assert pdf.startswith(b"%PDF-1.7")


def test_an_unsealed_visit_says_so_on_page_one(tmp_path: Path, shop: Signer) -> None:
    file = tmp_path / "unsealed.pdf"
    write_report(snapshot(sealed=False), file, "condition", shop, today=TODAY)
    assert "Nobody has signed this look-over yet" in page_words(file, 1)
    text = words(file)
    assert "what was recorded may still change" in text
    assert "The attached record leaves out" in text
    assert "digest above" not in text  # there is none


def test_a_seal_that_does_not_hold_is_said(tmp_path: Path, shop: Signer) -> None:
    from dataclasses import replace

    visit = snapshot()
    broken = replace(visit.seals[0], holds=False, problem=message("server-seal-findings"))
    file = tmp_path / "broken.pdf"
    write_report(replace(visit, seals=[broken]), file, "condition", shop, today=TODAY)
    assert "These aren't the findings that were signed." in words(file)


def test_both_people_stand_where_they_disagree(tmp_path: Path, shop: Signer) -> None:
    from dataclasses import replace

    visit = snapshot()
    cells = {path: dict(cell) for path, cell in visit.cells.items()}
    cells["items/rust.sill-left/grade"]["others"] = [{"value": {"grade": "minor"}, "at": "0"}]
    cells["items/rust.sill-left/note"]["others"] = [{"value": "It is only dirt.", "at": "0"}]
    cells["items/brakes.front-pads/readings/pad/front-left"]["others"] = [
        {"value": {"typed": "1,9", "unit": "mm"}, "at": "0"}
    ]
    file = tmp_path / "two.pdf"
    write_report(replace(visit, cells=cells), file, "condition", shop, today=TODAY)
    text = flowing(file)
    assert "Somebody else rated it Minor without seeing this." in text
    assert "Somebody else wrote, without seeing this: It is only dirt." in text
    assert "Somebody else measured 2.4/32 in (read as 1.9 mm) at front left" in text


def test_what_follows_from_the_other_persons_reading_says_so(tmp_path: Path, shop: Signer) -> None:
    gap = {"of": "gap", "above": "3", "unit": "mm", "grade": "minor", "source": "practice"}
    items = [item("brakes.hoses", "Brake hoses", limits=[gap])]

    def gap_of(mm: str) -> dict[str, Any]:
        name = {"fact": "axle_gap", "at": "front"}
        value = {"number": mm, "unit": "mm", "fixed": True}
        said = {"id": "judge-fact", "args": {"name": name, "value": value}}
        return {"said": said, "value": mm, "unit": "mm"}

    facts = {
        "gap.front": gap_of("2"),
        "gap.front.other": gap_of("0"),
    }
    grades = {"brakes.hoses": judged("minor", "Worn.", facts=facts)}
    file = tmp_path / "other.pdf"
    visit = snapshot(items=items, judgement=assessment(grades, items))
    write_report(visit, file, "condition", shop, today=TODAY)
    assert "front: 2 mm; front: 0 mm by the other reading" in flowing(file)


def test_unknown_edition_and_page_get_a_sentence(tmp_path: Path) -> None:
    out = tmp_path / "none.pdf"
    with pytest.raises(ValueError, match="glossy"):
        write_report(snapshot(), out, "glossy", None, today=TODAY)  # type: ignore[arg-type]
    for refused in ({"paper": "a3"}, {"units": "cubits"}, {"locale": "tlh"}):
        with pytest.raises(PrintingError, match="Choose a copy, a language, units and paper"):
            Printing.of(**refused)
    assert not out.exists()


def test_progress_is_told_from_nothing_to_done(tmp_path: Path, shop: Signer) -> None:
    told: list[tuple[str, float]] = []
    write_report(
        snapshot(), tmp_path / "x.pdf", "condition", shop, today=TODAY,
        progress=lambda step, share: told.append((step, share)),
    )  # fmt: skip
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert told[-1] == ("done", 1.0)
    assert len(told) >= 4
