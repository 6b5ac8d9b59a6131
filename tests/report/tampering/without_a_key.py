"""Changes by somebody without a key: bytes, additions that nobody signs, other envelopes."""

from __future__ import annotations

import asyncio
import hashlib
import io
import re
from functools import partial
from typing import Any

import pikepdf
from asn1crypto import cms, core, x509
from cryptography.hazmat.primitives.asymmetric.utils import (
    decode_dss_signature,
    encode_dss_signature,
)
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.generic import pdf_name, pdf_string
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from bradawl.report.checking.revisions import Document, revisions_of
from tests.report.tampering.attacker import (
    added,
    envelope,
    hole,
    raw_addition,
    reissued,
    with_envelope,
)
from tests.report.tampering.keys import signer
from tests.report.tampering.tampering import Tampering, tampering

BYTES: list[Tampering] = []
ADDITIONS: list[Tampering] = []
ENVELOPES: list[Tampering] = []

_bytes = partial(tampering, BYTES)
_addition = partial(tampering, ADDITIONS)
_envelope = partial(tampering, ENVELOPES)


# ---- bytes ----


@_bytes(says="report-verify-added")
def a_line_feed_behind_the_end(pdf: bytes) -> bytes:
    return pdf + b"\n"


@_bytes()
def another_end_of_file_mark(pdf: bytes) -> bytes:
    return pdf + b"%%EOF\n"


@_bytes()
def words_behind_the_end(pdf: bytes) -> bytes:
    return pdf + b"1 0 obj << /Type /Catalog >> endobj\n"


@_bytes()
def two_reports_in_one_file(pdf: bytes) -> bytes:
    return pdf + pdf


@_bytes(says="report-verify-cut-off")
def cut_off_in_the_middle(pdf: bytes) -> bytes:
    return pdf[: len(pdf) // 2]


@_bytes()
def the_last_byte_cut_off(pdf: bytes) -> bytes:
    return pdf[:-2]


@_bytes(says="report-verify-unsigned")
def cut_back_to_before_it_was_signed(pdf: bytes) -> bytes:
    return pdf[: revisions_of(pdf)[0].end] + b"\n"


@_bytes()
def a_blank_before_the_beginning(pdf: bytes) -> bytes:
    return b" " + pdf


@_bytes()
def a_script_before_the_beginning(pdf: bytes) -> bytes:
    return b"#!/bin/sh\nexit 0\n" + pdf


@_bytes()
def another_version_in_the_head(pdf: bytes) -> bytes:
    return pdf.replace(b"%PDF-1.7", b"%PDF-1.4", 1)


@_bytes()
def a_byte_put_in(pdf: bytes) -> bytes:
    return pdf[: len(pdf) // 2] + b"\n" + pdf[len(pdf) // 2 :]


@_bytes()
def line_ends_converted(pdf: bytes) -> bytes:
    return pdf.replace(b"\n", b"\r\n")


@_bytes()
def a_bit_of_the_record_flipped(pdf: bytes) -> bytes:
    return _flipped(pdf, b"/EmbeddedFile", 400)


@_bytes(says="report-verify-not-intact")
def a_bit_of_a_photo_flipped(pdf: bytes) -> bytes:
    return _flipped(pdf, b"/DCTDecode", 900)


@_bytes(says="report-verify-not-intact")
def a_bit_of_a_page_flipped(pdf: bytes) -> bytes:
    document = Document(pdf, revisions_of(pdf))
    content = document.get(next(document.pages())["Contents"])
    return (
        pdf[: content.begin + 50] + bytes([pdf[content.begin + 50] ^ 1]) + pdf[content.begin + 51 :]
    )


@_bytes(says="report-verify-not-intact")
def another_title_of_the_same_length(pdf: bytes) -> bytes:
    return pdf.replace(b"Condition report", b"Faultless report")


@_bytes(says="report-verify-unsigned")
def the_signature_stripped_by_saving_anew(pdf: bytes) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        del opened.Root.AcroForm
        for page in opened.pages:
            if "/Annots" in page.obj:
                del page.obj["/Annots"]
        opened.save(out, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    return out.getvalue()


@_bytes()
def saved_anew_with_its_signature(pdf: bytes) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        opened.save(out, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    return out.getvalue()


@_bytes()
def printed_into_a_new_file(pdf: bytes) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as opened, pikepdf.new() as fresh:
        fresh.add_pages_from(opened)
        fresh.save(out)
    return out.getvalue()


@_bytes()
def encrypted_by_saving_anew(pdf: bytes) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        opened.save(out, encryption=pikepdf.Encryption(owner="o", user=""))
    return out.getvalue()


def _flipped(pdf: bytes, landmark: bytes, behind: int) -> bytes:
    at = pdf.index(landmark) + behind
    return pdf[:at] + bytes([pdf[at] ^ 4]) + pdf[at + 1 :]


# ---- additions that nobody signs ----


def _content(writer: IncrementalPdfFileWriter, code: bytes) -> Any:
    return writer.add_object(generic.StreamObject(stream_data=code))


def overlaid(writer: IncrementalPdfFileWriter) -> None:
    """Paint words over page 1."""
    cover = _content(
        writer, b"q 1 1 1 rg 0 0 600 850 re f Q BT 0 g /F1 20 Tf (Drive it home) Tj ET"
    )
    writer.add_stream_to_page(0, cover)


@_addition()
def a_page_painted_over(pdf: bytes) -> bytes:
    return added(pdf, overlaid)


@_addition()
def a_page_put_in(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        page = generic.DictionaryObject(
            {
                pdf_name("/Type"): pdf_name("/Page"),
                pdf_name("/MediaBox"): generic.ArrayObject(
                    map(generic.NumberObject, (0, 0, 595, 842))
                ),
                pdf_name("/Contents"): _content(writer, b"0 0 1 rg 0 0 100 100 re f"),
            }
        )
        pages = writer.root["/Pages"]
        pages["/Kids"].insert(0, writer.add_object(page))
        pages["/Count"] = generic.NumberObject(int(pages["/Count"]) + 1)
        writer.update_container(pages)

    return added(pdf, change)


@_addition()
def a_page_taken_out(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        pages = writer.root["/Pages"]
        del pages["/Kids"][1]
        pages["/Count"] = generic.NumberObject(int(pages["/Count"]) - 1)
        writer.update_container(pages)

    return added(pdf, change)


@_addition()
def pages_in_another_order(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        pages = writer.root["/Pages"]
        pages["/Kids"].reverse()
        writer.update_container(pages)

    return added(pdf, change)


@_addition()
def a_page_cut_smaller(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        page = writer.root["/Pages"]["/Kids"][0].get_object()
        page["/CropBox"] = generic.ArrayObject(map(generic.NumberObject, (0, 500, 595, 842)))
        writer.update_container(page)

    return added(pdf, change)


@_addition()
def another_text_in_place_of_a_pages(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        page = writer.root["/Pages"]["/Kids"][0].get_object()
        page["/Contents"] = _content(writer, b"0 g 0 0 10 10 re f")
        writer.update_container(page)

    return added(pdf, change)


def _annotation(subtype: str, **entries: Any) -> Any:
    def change(writer: IncrementalPdfFileWriter) -> None:
        note = generic.DictionaryObject(
            {
                pdf_name("/Type"): pdf_name("/Annot"),
                pdf_name("/Subtype"): pdf_name(subtype),
                pdf_name("/Rect"): generic.ArrayObject(
                    map(generic.NumberObject, (40, 40, 500, 800))
                ),
                pdf_name("/Contents"): pdf_string("No dangerous fault was found."),
                **{pdf_name("/" + key): value for key, value in entries.items()},
            }
        )
        page = writer.root["/Pages"]["/Kids"][0].get_object()
        there = page.get("/Annots", generic.ArrayObject())
        page["/Annots"] = generic.ArrayObject([*there, writer.add_object(note)])
        writer.update_container(page)

    return change


annotated = _annotation("/FreeText", DA=pdf_string("/Helv 20 Tf 0 g"))


@_addition()
def a_note_over_a_page(pdf: bytes) -> bytes:
    return added(pdf, annotated)


@_addition()
def a_stamp_over_a_page(pdf: bytes) -> bytes:
    return added(pdf, _annotation("/Stamp", Name=pdf_name("/Approved")))


@_addition()
def a_crossed_out_sentence(pdf: bytes) -> bytes:
    return added(pdf, _annotation("/StrikeOut"))


@_addition()
def a_link_over_a_page(pdf: bytes) -> bytes:
    action = generic.DictionaryObject(
        {pdf_name("/S"): pdf_name("/URI"), pdf_name("/URI"): pdf_string("https://example.org/")}
    )
    return added(pdf, _annotation("/Link", A=action))


@_addition()
def a_text_field(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        field = writer.add_object(
            generic.DictionaryObject(
                {
                    pdf_name("/FT"): pdf_name("/Tx"),
                    pdf_name("/T"): pdf_string("verdict"),
                    pdf_name("/V"): pdf_string("Drive it home"),
                }
            )
        )
        form = writer.root["/AcroForm"]
        form["/Fields"].append(field)
        writer.update_container(form)

    return added(pdf, change)


def retitled(writer: IncrementalPdfFileWriter) -> None:
    """Another title of the document."""
    info = writer.trailer_view["/Info"]
    info["/Title"] = pdf_string("NO DANGEROUS FAULTS, DRIVE HOME")
    writer.update_container(info)


@_addition()
def another_title(pdf: bytes) -> bytes:
    return added(pdf, retitled)


@_addition()
def another_title_in_the_metadata(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        xmp = writer.root["/Metadata"]
        new = generic.StreamObject(
            {pdf_name("/Type"): pdf_name("/Metadata"), pdf_name("/Subtype"): pdf_name("/XML")},
            stream_data=xmp.data.replace(b"Condition", b"Faultless"),
        )
        writer.root["/Metadata"] = writer.add_object(new)
        writer.update_root()

    return added(pdf, change)


def rerecorded(writer: IncrementalPdfFileWriter) -> None:
    """Another record in place of the attached one."""
    for entry in writer.root["/AF"]:
        entry = entry.get_object()
        if entry["/UF"] == "record.json":
            data = entry["/EF"]["/F"].data.replace(b"major", b"minor")
            fresh = writer.add_object(generic.StreamObject(stream_data=data))
            entry["/EF"] = generic.DictionaryObject({pdf_name("/F"): fresh, pdf_name("/UF"): fresh})
            writer.update_container(entry)


@_addition()
def another_record(pdf: bytes) -> bytes:
    return added(pdf, rerecorded)


def _attached(name: str, data: bytes) -> Any:
    def change(writer: IncrementalPdfFileWriter) -> None:
        stream = writer.add_object(generic.StreamObject(stream_data=data))
        entry = generic.DictionaryObject(
            {
                pdf_name("/Type"): pdf_name("/Filespec"),
                pdf_name("/F"): pdf_string(name),
                pdf_name("/UF"): pdf_string(name),
                pdf_name("/EF"): generic.DictionaryObject(
                    {pdf_name("/F"): stream, pdf_name("/UF"): stream}
                ),
            }
        )
        files = writer.root["/AF"]
        files.append(writer.add_object(entry))
        writer.update_container(files)

    return change


@_addition()
def one_more_attachment(pdf: bytes) -> bytes:
    return added(pdf, _attached("reinspection.pdf", b"%PDF-1.7 all repaired"))


@_addition()
def a_second_record_attached(pdf: bytes) -> bytes:
    return added(pdf, _attached("record.json", b"{}"))


@_addition()
def a_layer_that_hides(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        layer = writer.add_object(
            generic.DictionaryObject(
                {pdf_name("/Type"): pdf_name("/OCG"), pdf_name("/Name"): pdf_string("faults")}
            )
        )
        writer.root["/OCProperties"] = generic.DictionaryObject(
            {
                pdf_name("/OCGs"): generic.ArrayObject([layer]),
                pdf_name("/D"): generic.DictionaryObject(
                    {pdf_name("/OFF"): generic.ArrayObject([layer])}
                ),
            }
        )
        writer.update_root()

    return added(pdf, change)


@_addition()
def a_script_that_runs_on_opening(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        writer.root["/OpenAction"] = generic.DictionaryObject(
            {pdf_name("/S"): pdf_name("/JavaScript"), pdf_name("/JS"): pdf_string("app.alert(1)")}
        )
        writer.update_root()

    return added(pdf, change)


@_addition()
def validation_data_added(pdf: bytes) -> bytes:
    """What programs add for the long term (ETSI EN 319 142-1, 5.4.2.2): nobody signs it."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        certificate = writer.add_object(
            generic.StreamObject(stream_data=signer().signing_cert.dump())
        )
        writer.root["/DSS"] = writer.add_object(
            generic.DictionaryObject({pdf_name("/Certs"): generic.ArrayObject([certificate])})
        )
        writer.update_root()

    return added(pdf, change)


@_addition()
def the_certification_taken_off(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        del writer.root["/Perms"]
        writer.update_root()

    return added(pdf, change)


@_addition()
def the_signatures_field_moved(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        for field in writer.root["/AcroForm"]["/Fields"]:
            field = field.get_object()
            field["/Rect"] = generic.ArrayObject(map(generic.NumberObject, (0, 0, 500, 500)))
            writer.update_container(field)

    return added(pdf, change)


@_addition()
def the_signature_taken_out_of_the_form(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        form = writer.root["/AcroForm"]
        form["/Fields"] = generic.ArrayObject()
        writer.update_container(form)

    return added(pdf, change)


@_addition()
def a_photo_replaced(pdf: bytes) -> bytes:
    document = Document(pdf, revisions_of(pdf))
    number = next(
        number
        for number in document.offsets
        if getattr(document.object(number), "dictionary", {}).get("Filter") == "DCTDecode"
    )
    image = (
        b"<< /Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8"
        b" /ColorSpace /DeviceGray /Length 1 >>\nstream\n\xff\nendstream"
    )
    return raw_addition(pdf, {number: image})


@_addition()
def an_addition_of_nothing(pdf: bytes) -> bytes:
    return raw_addition(pdf, {})


@_addition()
def another_catalog_named_in_the_trailer(pdf: bytes) -> bytes:
    document = Document(pdf, revisions_of(pdf))
    number = document.trailer["Size"]
    at = document.offsets[document.trailer["Root"].number]
    body = pdf[pdf.index(b"obj", at) + 3 : pdf.index(b"endobj", at)]
    changed = raw_addition(pdf, {number: body})
    root = b"/Root %d 0 R" % document.trailer["Root"].number
    return changed[: len(pdf)] + changed[len(pdf) :].replace(root, b"/Root %d 0 R" % number)


@_addition()
def a_table_that_hides_in_a_stream(pdf: bytes) -> bytes:
    """A hybrid file (ISO 32000-1, 7.5.8.4): some readers see the table, others the stream."""
    return raw_addition(pdf, {}, b"/XRefStm 10")


# ---- envelopes ----


@_envelope(says="report-verify-hex")
def small_digits_in_place_of_great_ones(pdf: bytes) -> bytes:
    begin, end = hole(pdf)
    return pdf[:begin] + pdf[begin:end].lower() + pdf[end:]


@_envelope(says="report-verify-hex")
def one_small_digit(pdf: bytes) -> bytes:
    begin, _ = hole(pdf)
    at = re.compile(rb"[A-F]").search(pdf, begin).start()  # type: ignore[union-attr]
    return pdf[:at] + pdf[at : at + 1].lower() + pdf[at + 1 :]


@_envelope()
def blanks_among_the_digits(pdf: bytes) -> bytes:
    _, end = hole(pdf)
    return pdf[: end - 3] + b"  " + pdf[end - 1 :]


@_envelope(says="report-verify-padding")
def words_in_the_padding(pdf: bytes) -> bytes:
    _, end = hole(pdf)
    words = b"all repaired".hex().upper().encode()
    return pdf[: end - 1 - len(words)] + words + pdf[end - 1 :]


@_envelope(says="report-verify-padding")
def a_bit_in_the_padding(pdf: bytes) -> bytes:
    _, end = hole(pdf)
    return pdf[: end - 2] + b"1" + pdf[end - 1 :]


@_envelope()
def no_signature_in_the_hole(pdf: bytes) -> bytes:
    return with_envelope(pdf, b"")


def _certificates(pdf: bytes, *ders: bytes) -> bytes:
    """The envelope with other certificates in its bag."""
    content = cms.ContentInfo.load(envelope(pdf))
    content["content"]["certificates"] = cms.CertificateSet(
        [cms.CertificateChoices("certificate", x509.Certificate.load(der)) for der in ders]
    )
    return with_envelope(pdf, content.dump(force=True))


def _own(pdf: bytes) -> bytes:
    content = cms.ContentInfo.load(envelope(pdf))["content"]
    return bytes(content["certificates"][0].chosen.dump())


@_envelope(says="report-verify-spare-certificate")
def a_bit_of_the_spare_certificate_flipped(pdf: bytes) -> bytes:
    """The same certificate twice in the envelope, as some programs write it; one is asked for."""
    spare = bytearray(_own(pdf))
    spare[spare.index(b"\x06\x03\x55\x04\x03") + 8] ^= 1
    return _certificates(pdf, bytes(spare), _own(pdf))


@_envelope(says="report-verify-spare-certificate")
def a_strangers_certificate_beside_the_shops(pdf: bytes) -> bytes:
    return _certificates(pdf, _own(pdf), signer().signing_cert.dump())


@_envelope()
def a_strangers_certificate_in_place_of_the_shops(pdf: bytes) -> bytes:
    return _certificates(pdf, signer().signing_cert.dump())


@_envelope()
def no_certificate_at_all(pdf: bytes) -> bytes:
    return _certificates(pdf)


@_envelope()
def the_envelope_without_a_stated_length(pdf: bytes) -> bytes:
    """BER's indefinite form (X.690, 8.1.3.6) of the outermost value."""
    der = envelope(pdf)
    return with_envelope(pdf, b"\x30\x80" + der[4:] + b"\0\0")


@_envelope()
def a_length_written_longer_than_need_be(pdf: bytes) -> bytes:
    der = envelope(pdf)
    return with_envelope(pdf, b"\x30\x83\x00" + der[2:])


def _field(pdf: bytes, change: Any) -> bytes:
    content = cms.ContentInfo.load(envelope(pdf))
    change(content["content"])
    return with_envelope(pdf, content.dump(force=True))


@_envelope(says="report-verify-envelope")
def another_version_of_the_envelope(pdf: bytes) -> bytes:
    return _field(pdf, lambda signed: signed.__setitem__("version", "v3"))


@_envelope(says="report-verify-envelope")
def another_digest_named_outside(pdf: bytes) -> bytes:
    return _field(
        pdf, lambda signed: signed.__setitem__("digest_algorithms", [{"algorithm": "sha512"}])
    )


@_envelope()
def another_algorithm_named_beside_the_signature(pdf: bytes) -> bytes:
    return _field(
        pdf,
        lambda signed: signed["signer_infos"][0]["signature_algorithm"].__setitem__(
            "algorithm", "sha512_ecdsa"
        ),
    )


@_envelope()
def another_signer_named_beside_the_signature(pdf: bytes) -> bytes:
    def change(signed: Any) -> None:
        sid = signed["signer_infos"][0]["sid"].chosen
        sid["serial_number"] = 7

    return _field(pdf, change)


@_envelope()
def an_attribute_that_nobody_signs(pdf: bytes) -> bytes:
    def change(signed: Any) -> None:
        signed["signer_infos"][0]["unsigned_attrs"] = cms.CMSAttributes(
            [{"type": "1.2.3.4.5", "values": [core.OctetString(b"all repaired")]}]
        )

    return _field(pdf, change)


@_envelope()
def the_same_signer_twice(pdf: bytes) -> bytes:
    def change(signed: Any) -> None:
        one = signed["signer_infos"][0]
        signed["signer_infos"] = [one, one.copy()]

    return _field(pdf, change)


@_envelope(says="report-verify-not-valid")
def another_number_in_place_of_the_signature(pdf: bytes) -> bytes:
    def change(signed: Any) -> None:
        one = signed["signer_infos"][0]
        r, s = decode_dss_signature(one["signature"].native)
        one["signature"] = encode_dss_signature(r, s ^ 1)

    return _field(pdf, change)


@_envelope()
def a_blank_between_the_signatures_numbers(pdf: bytes) -> bytes:
    """An integer with a leading zero that it does not need: BER, not DER."""

    def change(signed: Any) -> None:
        one = signed["signer_infos"][0]
        raw = bytes(one["signature"].native)
        size = raw[3]
        one["signature"] = (
            b"\x30" + bytes([raw[1] + 1]) + b"\x02" + bytes([size + 1]) + b"\0" + raw[4:]
        )

    return _field(pdf, change)


@_envelope()
def an_envelope_of_the_attackers_own(pdf: bytes) -> bytes:
    """Signed by another key over the right bytes, in the shop's hole."""
    begin, end = hole(pdf)
    digest = hashlib.sha256(pdf[:begin] + pdf[end:]).digest()
    made = asyncio.run(signer().async_sign(digest, "sha256", use_pades=True))
    return with_envelope(pdf, made.dump())


@_envelope(says="report-verify-not-intact")
def the_shops_signature_copied_onto_another_file(pdf: bytes) -> bytes:
    return with_envelope(reissued(pdf), envelope(pdf))
