"""Forgeries by somebody with a key of their own: reports issued anew, and the second signature."""

from __future__ import annotations

import datetime as dt
import io
import re
from functools import partial
from typing import Any
from unittest import mock

import pikepdf
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.generic import pdf_name, pdf_string
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigSeedSubFilter

from bradawl.report.checking.revisions import Document, revisions_of
from tests.report.tampering.attacker import (
    added,
    hole,
    raw_addition,
    reissued,
    rewritten,
    signed,
)
from tests.report.tampering.keys import DAY, NOW, signer
from tests.report.tampering.tampering import Tampering, tampering
from tests.report.tampering.without_a_key import annotated, overlaid, rerecorded, retitled

#: The shop's name in the genuine report.
SHOP = "Another Workshop"
#: A reason that the form offers to whoever signs later.
RECEIVED = "I have received this report."

REISSUED: list[Tampering] = []
LATER: list[Tampering] = []

_reissued = partial(tampering, REISSUED)
_later = partial(tampering, LATER)


# ---- reports issued anew ----


@_reissued("unknown", "report-verify-visit-ours")
def issued_anew_under_another_name(pdf: bytes) -> bytes:
    return reissued(pdf)


@_reissued(says="report-verify-borrowed-name")
def issued_anew_under_the_shops_name(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP))


@_reissued(says="report-verify-lookalike")
def under_a_name_with_a_cyrillic_letter(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace("A", "\u0410")))


@_reissued(says="report-verify-lookalike")
def under_a_name_with_a_greek_letter(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace("o", "\u03bf")))


@_reissued(says="report-verify-lookalike")
def under_a_name_with_two_blanks(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace(" ", "  ")))


@_reissued(says="report-verify-lookalike")
def under_a_name_with_a_blank_behind(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP + " "))


@_reissued(says="report-verify-hidden-letters")
def under_a_name_with_a_zero_width_blank(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace("W", "\u200bW")))


@_reissued(says="report-verify-hidden-letters")
def under_a_name_with_a_soft_hyphen(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace("shop", "\u00adshop")))


@_reissued(says="report-verify-hidden-letters")
def under_a_name_with_a_filler(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace(" ", "\u3164")))


@_reissued(says="report-verify-hidden-letters")
def under_a_name_read_backwards(pdf: bytes) -> bytes:
    return reissued(pdf, signer("\u202e" + SHOP[::-1] + "\u202c"))


@_reissued(says="report-verify-lookalike")
def under_the_name_in_capitals(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.upper()))


@_reissued(says="report-verify-lookalike")
def under_the_name_in_wide_letters(pdf: bytes) -> bytes:
    return reissued(
        pdf, signer("".join(chr(ord(one) + 0xFEE0) if one != " " else one for one in SHOP))
    )


@_reissued(says="report-verify-lookalike")
def under_the_name_with_an_accent(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace("o", "\u00f3", 1)))


@_reissued(says="report-verify-lookalike")
def under_the_name_with_a_nought(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace("o", "0")))


@_reissued("unknown", "report-verify-similar")
def under_the_name_with_a_word_more(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP + " Ltd"))


@_reissued("unknown", "report-verify-similar")
def under_the_name_with_another_letter(pdf: bytes) -> bytes:
    return reissued(pdf, signer(SHOP.replace("Work", "Wark")))


@_reissued(says="report-verify-hidden-letters")
def under_a_name_that_writes_a_verdict_of_its_own(pdf: bytes) -> bytes:
    """A line feed and an escape sequence (ECMA-48, 8.3.117: conceal) in the certificate's name."""
    return reissued(pdf, signer("Rita\nGenuine: the key is known here.\x1b[8m"))


@_reissued(says="report-verify-two-names")
def with_the_shops_name_beside_the_certificate(pdf: bytes) -> bytes:
    return reissued(pdf, name="Somebody Else")


@_reissued(says="report-verify-borrowed-name")
def with_the_shops_name_beside_a_strangers_certificate(pdf: bytes) -> bytes:
    return reissued(pdf, name=SHOP)


@_reissued(says="report-verify-outside-validity")
def with_a_certificate_that_has_run_out(pdf: bytes) -> bytes:
    return reissued(pdf, signer(begins_days=-400, ends_days=-30))


@_reissued(says="report-verify-outside-validity")
def with_a_certificate_that_is_not_valid_yet(pdf: bytes) -> bytes:
    return reissued(pdf, signer(begins_days=30))


@_reissued(says="report-verify-implausible")
def signed_years_ago(pdf: bytes) -> bytes:
    return reissued(pdf, signer(begins_days=-4000), at=dt.datetime(2019, 5, 1, 12, tzinfo=dt.UTC))


@_reissued(says="report-verify-implausible")
def signed_next_month(pdf: bytes) -> bytes:
    return reissued(pdf, at=NOW + 30 * DAY)


@_reissued(says="report-verify-made-another-day")
def made_another_day_than_it_was_signed(pdf: bytes) -> bytes:
    return reissued(pdf, manifest=lambda said: said.update(made=(NOW - 9 * DAY).isoformat()))


@_reissued("unknown", "report-verify-visit-ours")
def issued_anew_with_a_key_of_another_kind(pdf: bytes) -> bytes:
    return reissued(pdf, signer("Rita Round", kind="RSA-3072"), md_algorithm="sha384")


@_reissued(says="report-verify-method")
def issued_anew_in_the_older_way(pdf: bytes) -> bytes:
    """Only later signatures may be of that kind."""
    return reissued(pdf, subfilter=SigSeedSubFilter.ADOBE_PKCS7_DETACHED)


@_reissued(says="report-verify-weak")
def with_a_key_that_is_too_short(pdf: bytes) -> bytes:
    return reissued(pdf, signer("Rita Short", kind="RSA-1024"))


@_reissued()
def with_a_digest_that_is_broken(pdf: bytes) -> bytes:
    return reissued(pdf, md_algorithm="sha1")


@_reissued(says="report-verify-no-record")
def one_page_of_ones_own_and_no_record(pdf: bytes) -> bytes:
    out = io.BytesIO()
    with pikepdf.new() as fresh:
        fresh.add_blank_page()
        fresh.save(out, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    return signed(out.getvalue(), signer(), "Workshop")


def _without(name: str) -> Any:
    def edit(pdf: pikepdf.Pdf) -> None:
        kept = [entry for entry in pdf.Root.AF if str(entry.UF) != name]
        pdf.Root.AF = pikepdf.Array(kept)
        pdf.Root.Names.EmbeddedFiles = pikepdf.Dictionary(
            Names=pikepdf.Array([part for one in kept for part in (one.UF, one)])
        )

    return edit


@_reissued(says="report-verify-no-record")
def without_its_record(pdf: bytes) -> bytes:
    return reissued(pdf, edit=_without("record.json"))


@_reissued(says="report-verify-no-record")
def without_its_list_of_digests(pdf: bytes) -> bytes:
    return reissued(pdf, edit=_without("manifest.json"))


@_reissued(says="report-verify-seal-record")
def with_a_grade_falsified_in_the_record(pdf: bytes) -> bytes:
    def falsify(record: dict[str, Any]) -> None:
        for shown in record["shown"]:
            if shown[0].endswith("/grade"):
                shown[3] = '{"grade":"none"}'

    return reissued(pdf, record=falsify)


@_reissued(says="report-verify-seal-record")
def with_an_entry_taken_out_of_the_record(pdf: bytes) -> bytes:
    def fewer(record: dict[str, Any]) -> None:
        record["withheld"].pop()

    return reissued(pdf, record=fewer)


@_reissued(says="report-verify-other-record")
def as_if_it_were_another_look_over(pdf: bytes) -> bytes:
    return reissued(pdf, manifest=lambda said: said.update(visit="ab" * 16))


@_reissued(says="report-verify-seal-key")
def another_look_over_in_record_and_list(pdf: bytes) -> bytes:
    def renamed(said: dict[str, Any]) -> None:
        said["visit"] = "ab" * 16

    return reissued(pdf, record=renamed, manifest=renamed)


@_reissued(says="report-verify-no-number")
def without_a_number(pdf: bytes) -> bytes:
    return reissued(pdf, manifest=lambda said: said.update(report=""))


@_reissued(says="report-verify-other-pages")
def pages_that_the_list_does_not_have(pdf: bytes) -> bytes:
    return reissued(pdf, manifest=lambda said: said.update(pages=said["pages"][:-1]))


@_reissued()
def a_key_twice_in_the_list(pdf: bytes) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        for entry in opened.Root.AF:
            if str(entry.UF) == "record.json":
                data = entry.EF.F.read_bytes()
                entry.EF.F.write(b'{"visit": "one",' + data.lstrip()[1:])

    return reissued(pdf, edit=edit)


def _attach(name: str) -> Any:
    def edit(pdf: pikepdf.Pdf) -> None:
        stream = pdf.make_stream(b"all repaired")
        entry = pdf.make_indirect(
            pikepdf.Dictionary(
                Type=pikepdf.Name.Filespec,
                F=pikepdf.String(name),
                UF=pikepdf.String(name),
                EF=pikepdf.Dictionary(F=stream, UF=stream),
            )
        )
        pdf.Root.AF.append(entry)
        pdf.Root.Names.EmbeddedFiles.Names.extend([pikepdf.String(name), entry])

    return edit


@_reissued(says="report-verify-attached-more")
def with_one_more_attachment(pdf: bytes) -> bytes:
    return reissued(pdf, edit=_attach("reinspection.txt"))


@_reissued(says="report-verify-attached-twice")
def with_its_record_attached_twice(pdf: bytes) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        opened.Root.AF.append(opened.Root.AF[1])
        opened.Root.Names.EmbeddedFiles.Names.extend([pikepdf.String("again"), opened.Root.AF[1]])

    return reissued(pdf, edit=edit)


@_reissued(says="report-verify-attached-more")
def with_an_attachment_in_the_list_of_names_alone(pdf: bytes) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        _attach("hidden.txt")(opened)
        del opened.Root.AF[-1]

    return reissued(pdf, edit=edit)


@_reissued()
def with_another_record_for_other_readers(pdf: bytes) -> bytes:
    """`/F` and `/UF` of one attachment name two files: some readers open one, some the other."""

    def edit(opened: pikepdf.Pdf) -> None:
        for entry in opened.Root.AF:
            entry.EF.UF = opened.make_stream(b"{}")

    return reissued(pdf, edit=edit)


@_reissued(says="report-verify-layers")
def with_a_layer_in_its_pages(pdf: bytes) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        layer = opened.make_indirect(
            pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=pikepdf.String("faults"))
        )
        opened.Root.OCProperties = pikepdf.Dictionary(
            OCGs=pikepdf.Array([layer]), D=pikepdf.Dictionary(OFF=pikepdf.Array([layer]))
        )

    return reissued(pdf, edit=edit)


def _catalog_entry(pdf: bytes, key: str, value: Any) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        opened.Root[key] = value

    return reissued(pdf, edit=edit)


@_reissued(says="report-verify-more")
def with_another_begin_for_its_addresses(pdf: bytes) -> bytes:
    """What a link leaves out of its address is taken from there (ISO 32000-1, 12.6.4.7)."""
    return _catalog_entry(pdf, "/URI", pikepdf.Dictionary(Base=pikepdf.String("https://a.test/")))


@_reissued(says="report-verify-more")
def with_names_of_places_in_the_catalog(pdf: bytes) -> bytes:
    return _catalog_entry(pdf, "/Dests", pikepdf.Dictionary(a=pikepdf.Array([0])))


@_reissued(says="report-verify-more")
def with_a_thread_through_its_pages(pdf: bytes) -> bytes:
    return _catalog_entry(pdf, "/Threads", pikepdf.Array([]))


@_reissued(says="report-verify-more")
def with_a_programs_own_data(pdf: bytes) -> bytes:
    return _catalog_entry(pdf, "/PieceInfo", pikepdf.Dictionary(A=pikepdf.Dictionary()))


@_reissued(says="report-verify-more")
def with_pages_that_stand_in_no_order(pdf: bytes) -> bytes:
    """Named pages that a form may take in (ISO 32000-1, 12.7.6)."""

    def edit(opened: pikepdf.Pdf) -> None:
        opened.Root.Names.Templates = pikepdf.Dictionary(Names=pikepdf.Array([]))

    return reissued(pdf, edit=edit)


@_reissued(says="report-verify-actions")
def with_a_script_inside(pdf: bytes) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        opened.Root.OpenAction = pikepdf.Dictionary(
            S=pikepdf.Name.JavaScript, JS=pikepdf.String("app.alert(1)")
        )

    return reissued(pdf, edit=edit)


@_reissued(says="report-verify-actions")
def with_a_script_on_a_page(pdf: bytes) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        script = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS=pikepdf.String("app.alert(1)"))
        opened.pages[0].obj.AA = pikepdf.Dictionary(O=script)

    return reissued(pdf, edit=edit)


@_reissued(says="report-verify-notes")
def with_a_note_over_a_page(pdf: bytes) -> bytes:
    def edit(opened: pikepdf.Pdf) -> None:
        note = pikepdf.Dictionary(
            Type=pikepdf.Name.Annot,
            Subtype=pikepdf.Name.FreeText,
            Rect=[40, 40, 500, 800],
            Contents=pikepdf.String("No dangerous fault was found."),
        )
        opened.pages[0].obj.Annots = pikepdf.Array([opened.make_indirect(note)])

    return reissued(pdf, edit=edit)


@_reissued()
def with_its_objects_in_streams(pdf: bytes) -> bytes:
    """Reports have classic tables: what else there is, two readers may read differently."""
    return reissued(pdf, save={"object_stream_mode": pikepdf.ObjectStreamMode.generate})


@_reissued()
def with_a_hole_wider_than_its_signature(pdf: bytes) -> bytes:
    """The byte range leaves out words behind the signature, which can be changed ever after."""
    own = reissued(pdf)
    begin, end = hole(own)
    wide = b"/ByteRange [0 %d %d %d]" % (begin, end + 40, len(own) - end - 40)
    at = own.rindex(b"/ByteRange")
    old_end = own.index(b"]", at) + 1
    return own[:at] + wide.ljust(old_end - at) + own[old_end:]


@_reissued()
def without_a_time(pdf: bytes) -> bytes:
    own = reissued(pdf)
    at = own.rindex(b"/M (")
    return own[:at] + b"/N" + own[at + 2 :]


# ---- the second signature ----


def _second(pdf: bytes, whose: str = "Rita Farnwell", **more: Any) -> bytes:
    return signed(pdf, signer(whose), "Second-signature", **{"reason": RECEIVED, **more})


@_later(says="report-verify-borrowed-name")
def signed_later_under_the_shops_name(pdf: bytes) -> bytes:
    return _second(pdf, SHOP)


@_later(says="report-verify-borrowed-name")
def signed_later_by_somebody_of_the_shop(pdf: bytes) -> bytes:
    """The shop's name stands in the certificate as that of an organization."""
    key = signer(organization=SHOP)
    return signed(pdf, key, "Second-signature", reason=RECEIVED)


@_later(says="report-verify-lookalike")
def signed_later_under_a_name_that_looks_like_the_shops(pdf: bytes) -> bytes:
    return _second(pdf, SHOP.replace("o", "\u043e"))


@_later(says="report-verify-hidden-letters")
def signed_later_under_a_name_with_hidden_letters(pdf: bytes) -> bytes:
    return _second(pdf, "Rita\u2060 Farnwell")


@_later(says="report-verify-two-names")
def signed_later_with_another_name_beside_the_certificate(pdf: bytes) -> bytes:
    return signed(pdf, signer(), "Second-signature", reason=RECEIVED, name="Somebody Else")


@_later(says="report-verify-own-words")
def signed_later_with_a_reason_of_ones_own(pdf: bytes) -> bytes:
    return _unchecked(pdf, reason="REINSPECTED: no dangerous fault remains")


@_later(says="report-verify-own-words")
def signed_later_with_words_in_place_of_a_place(pdf: bytes) -> bytes:
    return _second(pdf, location="REINSPECTED: no dangerous fault remains")


@_later(says="report-verify-own-words")
def signed_later_with_words_in_place_of_an_address(pdf: bytes) -> bytes:
    return _second(pdf, contact_info="REINSPECTED: no dangerous fault remains")


def _unchecked(pdf: bytes, **metadata: Any) -> bytes:
    """Signed without regard to what the field asks for: pyHanko itself would refuse."""
    spec = "pyhanko.sign.signers.pdf_signer.PdfSigner._retrieve_seed_value_spec"
    with mock.patch(spec, return_value=None):
        return _second(pdf, **metadata)


@_later(says="report-verify-field")
def signed_later_with_a_box_drawn_into_the_page(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        for field in writer.root["/AcroForm"]["/Fields"]:
            field = field.get_object()
            if field["/T"] == "Second-signature":
                field["/Rect"] = generic.ArrayObject(map(generic.NumberObject, (40, 40, 540, 240)))
                look = generic.StreamObject(
                    {
                        pdf_name("/Type"): pdf_name("/XObject"),
                        pdf_name("/Subtype"): pdf_name("/Form"),
                        pdf_name("/BBox"): generic.ArrayObject(
                            map(generic.NumberObject, (0, 0, 500, 200))
                        ),
                    },
                    stream_data=b"BT /F1 20 Tf (REINSPECTED) Tj ET",
                )
                field["/AP"] = generic.DictionaryObject({pdf_name("/N"): writer.add_object(look)})
                writer.update_container(field)

    return _second(pdf, change=change)


@_later(says="report-verify-something-else")
def signed_later_with_another_title(pdf: bytes) -> bytes:
    return _second(pdf, change=retitled)


@_later(says="report-verify-something-else")
def signed_later_with_a_page_painted_over(pdf: bytes) -> bytes:
    return _second(pdf, change=overlaid)


@_later(says="report-verify-something-else")
def signed_later_with_a_note_over_a_page(pdf: bytes) -> bytes:
    return _second(pdf, change=annotated)


@_later(says="report-verify-something-else")
def signed_later_with_another_record(pdf: bytes) -> bytes:
    return _second(pdf, change=rerecorded)


@_later(says="report-verify-something-else")
def signed_later_with_the_shops_field_moved(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        for field in writer.root["/AcroForm"]["/Fields"]:
            field = field.get_object()
            if field["/T"] == "Workshop":
                field["/TU"] = pdf_string("No dangerous fault")
                writer.update_container(field)

    return _second(pdf, change=change)


@_later(says="report-verify-something-else")
def signed_later_with_a_stream_that_nothing_names(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        writer.add_object(generic.StreamObject(stream_data=b"all repaired"))

    return _second(pdf, change=change)


@_later()
def signed_later_in_a_field_of_ones_own(pdf: bytes) -> bytes:
    return signed(pdf, signer(), "Reinspection")


@_later()
def signed_later_behind_a_page_painted_over(pdf: bytes) -> bytes:
    return _second(added(pdf, overlaid))


@_later()
def a_page_painted_over_behind_a_later_signature(pdf: bytes) -> bytes:
    return added(_second(pdf), overlaid)


@_later()
def a_line_feed_behind_a_later_signature(pdf: bytes) -> bytes:
    return _second(pdf) + b"\n"


@_later()
def signed_later_with_an_object_between_the_objects(pdf: bytes) -> bytes:
    """Readers that repair a file by searching it would find an object that no table names."""
    twice = raw_addition(pdf, {Document(pdf, revisions_of(pdf)).trailer["Root"].number: b"<<>>"})
    return _second(pdf + twice[len(pdf) : twice.rindex(b"xref\n", 0, twice.rindex(b"trailer"))])


def _first_page(pdf: bytes) -> int:
    document = Document(pdf, revisions_of(pdf))
    return int(document.dictionary(document.root["Pages"])["Kids"][0].number)


@_later(says="report-verify-damaged")
def signed_later_with_a_page_of_another_generation(pdf: bytes) -> bytes:
    """The same page under a generation that nothing refers to (ISO 32000-1, 7.3.10): poppler and
    others show none.
    """
    number = _first_page(pdf)

    def change(writer: IncrementalPdfFileWriter) -> None:
        writer.objects[1, number] = writer.get_object(generic.Reference(number, 0, writer.prev))

    return _second(pdf, change=change)


def _page_again(writer: IncrementalPdfFileWriter) -> None:
    """The first page written anew as it was, which changes nothing."""
    writer.update_container(writer.root["/Pages"]["/Kids"][0])


@_later(says="report-verify-damaged")
def signed_later_with_a_page_that_has_another_generation_than_its_row(pdf: bytes) -> bytes:
    number = _first_page(pdf)
    twice = _second(pdf, change=_page_again)
    return rewritten(twice, b"\n%d 0 obj" % number, b"\n%d 1 obj" % number, signer("Rita Farnwell"))


@_later(says="report-verify-damaged")
def signed_later_with_a_row_of_another_generation(pdf: bytes) -> bytes:
    twice = _second(pdf, change=_page_again)
    row = re.search(rb"\n%d 1 *\n(\d{10} 00000 n)" % _first_page(pdf), twice[len(pdf) :])
    assert row is not None
    other = row[1].replace(b" 00000 ", b" 00001 ")
    return rewritten(twice, row[1], other, signer("Rita Farnwell"))


@_later(says="report-verify-damaged")
def signed_later_with_fewer_objects_than_there_are(pdf: bytes) -> bytes:
    """Readers may pass over objects beyond a trailer's `Size` (ISO 32000-1, 7.5.5)."""
    twice = _second(pdf)
    size = Document(twice, revisions_of(twice)).trailer["Size"]
    old = b"/Size %d" % size
    return rewritten(twice, old, b"/Size 9".ljust(len(old)), signer("Rita Farnwell"))


@_later()
def both_fields_signed_and_a_third_added(pdf: bytes) -> bytes:
    once = _second(pdf)
    twice = signed(once, signer("Rolf Farnwell"), "Third-signature", reason=RECEIVED)
    return signed(twice, signer("Ruth Farnwell"), "Fourth-signature")
