"""Writes the archival file: attachments, XMP and output intent round laid-out pages.

The structure follows ISO 19005-3 (PDF/A-3, level A) and ISO 14289-1 (PDF/UA-1). A validator
found no fault in files made in this way (the README says which); in every run of the tests another
approves what it knows of them.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import IO, TYPE_CHECKING, Any, BinaryIO, TypedDict

from bradawl.common.display_text import as_json
from bradawl.language import text
from bradawl.report.pdf import color_profile
from bradawl.report.pdf.assembly import append_pages
from bradawl.report.pdf.form_fields import EmptyField, add_fields
from bradawl.report.pdf.photos import EmbeddedPhotos
from bradawl.report.pdf.structure import Element, write_structure

if TYPE_CHECKING:
    from pikepdf import Pdf

    from bradawl.report.model.rebuild.circumstances import Circumstances

__all__ = ["MANIFEST_NAME", "RECORD_NAME", "Description", "Manifest", "write_archival_file"]

RECORD_NAME = "record.json"
MANIFEST_NAME = "manifest.json"


class Manifest(TypedDict, total=False):
    """What is attached beside the record; `made` is ISO 8601, `today` YYYY-MM-DD.

    `printed` is what else the pages are made of (model/rebuild/circumstances.py).

    `record_sha256`, `pages` (the digests of their contents, in order) and `photos` (the digest of
    each as it is printed, by that of its original) are filled in when the file is written.
    """

    format: int
    report: str
    edition: str
    visit: str
    made: str
    today: str
    replaces: str
    language: str
    units: str
    paper: str
    bradawl: str
    judge: str
    photo_gaps: dict[str, str]
    printed: Circumstances
    record_sha256: str
    pages: list[str]
    photos: dict[str, str]


@dataclass(frozen=True)
class Description:
    """What the file says about itself; `made` is an ISO 8601 time with zone."""

    title: str
    author: str
    subject: str
    made: str
    language: str


def write_archival_file(
    laid_out: BinaryIO,
    out: IO[bytes],
    *,
    photos: EmbeddedPhotos,
    record: bytes,
    manifest: Manifest,
    description: Description,
    structure: Element,
    links: Mapping[int, Sequence[Element]],
    fields: Sequence[EmptyField] = (),
) -> Manifest:
    """Complete the unsigned archival file in `out`, which begins with the embedded photos.

    Returns the manifest as it was attached: with the digests of every page's content, of the
    attached record and of every printed photo, so that the parts can be checked against each
    other later.
    """
    import pikepdf

    with pikepdf.open(laid_out) as pdf:
        complete: Manifest = {
            **manifest,
            "record_sha256": hashlib.sha256(record).hexdigest(),
            "pages": _page_digests(pdf),
            "photos": photos.digests(),
        }
        listing = as_json(complete, indent=1, sort_keys=True)
        _attach(pdf, listing, record, description.made)
        _describe(pdf, description)
        write_structure(pdf, structure, links, add_fields(pdf, fields))
        pages = io.BytesIO()
        pdf.save(
            pages,
            min_version="1.7",
            stream_decode_level=pikepdf.StreamDecodeLevel.none,
            compress_streams=False,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
    append_pages(pages.getvalue(), out, photos)
    return complete


def write_tagged_file(
    laid_out: BinaryIO,
    description: Description,
    structure: Element,
    links: Mapping[int, Sequence[Element]],
) -> bytes:
    """Pages without photos as a file that is tagged and described as a report is."""
    import pikepdf

    with pikepdf.open(laid_out) as pdf:
        _page_digests(pdf)
        _describe(pdf, description)
        write_structure(pdf, structure, links, [])
        out = io.BytesIO()
        pdf.save(out, min_version="1.7")
    return out.getvalue()


def _page_digests(pdf: Pdf) -> list[str]:
    """The SHA-256 of every page's content; pages are made fit for the archive on the way."""
    from pikepdf import Name

    digests = []
    for page in pdf.pages:
        for empty in (Name.Trans, Name.Rotate):
            if empty in page.obj:
                del page.obj[empty]
        for annotation in page.obj.get(Name.Annots, []):
            annotation.F = 4  # printed; ISO 19005-3, 6.3.2
        digests.append(hashlib.sha256(page.obj.Contents.read_raw_bytes()).hexdigest())
    return digests


def _attach(pdf: Pdf, manifest: bytes, record: bytes, made: str) -> None:
    """Attach manifest and record as associated files (ISO 19005-3, 6.8)."""
    from pikepdf import Array, Dictionary, Name, String

    entries = {
        MANIFEST_NAME: _file_entry(
            pdf, MANIFEST_NAME, manifest, made, Name.Data,
            text("report-file-manifest"),
        ),
        RECORD_NAME: _file_entry(
            pdf, RECORD_NAME, record, made, Name.Source,
            text("report-file-record"),
        ),
    }  # fmt: skip
    pdf.Root.AF = Array(list(entries.values()))
    if Name.Names not in pdf.Root:
        pdf.Root.Names = Dictionary()
    names = [part for name, entry in entries.items() for part in (String(name), entry)]
    pdf.Root.Names.EmbeddedFiles = Dictionary(Names=Array(names))


def _file_entry(pdf: Pdf, name: str, data: bytes, made: str, relation: Any, about: str) -> Any:
    from pikepdf import Dictionary, Name, String

    file = pdf.make_stream(
        data,
        Type=Name.EmbeddedFile,
        Subtype=Name("/application/json"),
        Params=Dictionary(
            Size=len(data),
            ModDate=String(_pdf_date(made)),
            CheckSum=String(hashlib.md5(data, usedforsecurity=False).digest()),
        ),
    )
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Filespec,
            F=String(name),
            UF=String(name),
            Desc=String(about),
            AFRelationship=relation,
            EF=Dictionary(F=file, UF=file),
        )
    )


def _describe(pdf: Pdf, description: Description) -> None:
    """Language, output intent, and the same description as XMP and as information dictionary."""
    from pikepdf import Array, Dictionary, Name, String

    pdf.Root.Lang = String(description.language)
    pdf.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    intent = Dictionary(
        Type=Name.OutputIntent,
        S=Name.GTS_PDFA1,
        OutputConditionIdentifier=String("sRGB"),
        Info=String("sRGB, IEC 61966-2-1"),  # a standard's name: not shown
        DestOutputProfile=pdf.make_stream(color_profile.profile(), N=3),
    )
    pdf.Root.OutputIntents = Array([intent])
    pdf.Root.Metadata = pdf.make_stream(_xmp(description), Type=Name.Metadata, Subtype=Name.XML)
    made = String(_pdf_date(description.made))
    pdf.trailer.Info = pdf.make_indirect(
        Dictionary(
            Title=String(description.title),
            Author=String(description.author),
            Subject=String(description.subject),
            Creator=String("Bradawl"),
            Producer=String("Bradawl"),
            CreationDate=made,
            ModDate=made,
        )
    )


def _pdf_date(made: str) -> str:
    """`2026-11-25T09:30:00+01:00` as PDF writes it: `D:20261125093000+01'00'`."""
    stamp, zone = made[:19], made[19:]
    digits = "".join(character for character in stamp if character.isdigit())
    if zone in ("Z", "+00:00", ""):
        return f"D:{digits}Z"
    return f"D:{digits}{zone[0]}{zone[1:3]}'{zone[4:6]}'"


def _xmp(description: Description) -> bytes:
    title, author, subject = (
        escape(said, quote=False)
        for said in (description.title, description.author, description.subject)
    )
    made = escape(description.made, quote=False)
    return _XMP.format(
        title=title,
        author=author,
        subject=subject,
        made=made,
        language=description.language,
    ).encode()


_XMP = (
    ""  # what other programs read: not shown
    """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about=""
    xmlns:dc="http://purl.org/dc/elements/1.1/"
    xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
    xmlns:xmp="http://ns.adobe.com/xap/1.0/"
    xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"
    xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
   <dc:format>application/pdf</dc:format>
   <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
   <dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
   <dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt>
   </dc:description>
   <dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
   <pdf:Producer>Bradawl</pdf:Producer>
   <xmp:CreatorTool>Bradawl</xmp:CreatorTool>
   <xmp:CreateDate>{made}</xmp:CreateDate>
   <xmp:ModifyDate>{made}</xmp:ModifyDate>
   <pdfaid:part>3</pdfaid:part>
   <pdfaid:conformance>A</pdfaid:conformance>
   <pdfuaid:part>1</pdfuaid:part>
  </rdf:Description>
  <rdf:Description rdf:about=""
    xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
    xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
    xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
   <pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
    <pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
    <pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
    <pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
    <pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
     <pdfaProperty:name>part</pdfaProperty:name>
     <pdfaProperty:valueType>Integer</pdfaProperty:valueType>
     <pdfaProperty:category>internal</pdfaProperty:category>
     <pdfaProperty:description>Part of ISO 14289 that is followed</pdfaProperty:description>
    </rdf:li></rdf:Seq></pdfaSchema:property>
   </rdf:li></rdf:Bag></pdfaExtension:schemas>
  </rdf:Description>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>"""
)
