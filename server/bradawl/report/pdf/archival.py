"""From laid-out pages to an archival file: attachments, XMP and output intent.

The structure follows ISO 19005-3 (PDF/A-3, level B). A validator found no fault in files made in
this way (the README says which); in every run of the tests another approves what it knows of them.
"""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from typing import IO, Any, BinaryIO

from bradawl.report.pdf import color_profile
from bradawl.report.pdf.assembly import bind
from bradawl.report.pdf.photos import Shelf

RECORD_NAME = "record.json"
MANIFEST_NAME = "manifest.json"


@dataclass(frozen=True)
class Description:
    """What the file says about itself; `made` is an ISO 8601 time with zone."""

    title: str
    author: str
    subject: str
    made: str
    language: str = "en"


def finish(
    laid_out: BinaryIO,
    out: IO[bytes],
    *,
    shelf: Shelf,
    record: bytes,
    manifest: Mapping[str, Any],
    description: Description,
) -> dict[str, Any]:
    """Complete the unsigned archival file in `out`, which begins with the shelf's photos.

    Returns the manifest as it was attached.

    The manifest is completed with the digests of every page's content, of the attached record
    and of every printed photo, so that the parts can be held against each other later.
    """
    import pikepdf
    from pikepdf import Array, Dictionary, Name, String

    with pikepdf.open(laid_out) as pdf:
        pages = []
        for page in pdf.pages:
            for empty in (Name.Trans, Name.Rotate):
                if empty in page.obj:
                    del page.obj[empty]
            for note in page.obj.get(Name.Annots, []):
                note.F = 4  # printed; ISO 19005-3, 6.3.2
            pages.append(hashlib.sha256(page.obj.Contents.read_raw_bytes()).hexdigest())
        complete = {
            **manifest,
            "record_sha256": hashlib.sha256(record).hexdigest(),
            "pages": pages,
            "photos": shelf.digests(),
        }
        listing = json.dumps(complete, ensure_ascii=False, indent=1, sort_keys=True).encode()
        attached = Array()
        named = Array()
        for name, data, relation, about in (
            (MANIFEST_NAME, listing, Name.Data, "Digests of the pages, the record and the photos"),
            (RECORD_NAME, record, Name.Source, "The record that these pages were printed from"),
        ):
            file = pdf.make_stream(
                data,
                Type=Name.EmbeddedFile,
                Subtype=Name("/application/json"),
                Params=Dictionary(
                    Size=len(data),
                    ModDate=String(_pdf_date(description.made)),
                    CheckSum=String(hashlib.md5(data, usedforsecurity=False).digest()),
                ),
            )
            entry = pdf.make_indirect(
                Dictionary(
                    Type=Name.Filespec,
                    F=String(name),
                    UF=String(name),
                    Desc=String(about),
                    AFRelationship=relation,
                    EF=Dictionary(F=file, UF=file),
                )
            )
            attached.append(entry)
            named.extend([String(name), entry])
        pdf.Root.AF = attached
        names = pdf.Root.get(Name.Names, None)
        if names is None:
            names = pdf.Root.Names = Dictionary()
        names.EmbeddedFiles = Dictionary(Names=named)
        pdf.Root.Lang = String(description.language)
        pdf.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
        pdf.Root.OutputIntents = Array(
            [
                Dictionary(
                    Type=Name.OutputIntent,
                    S=Name.GTS_PDFA1,
                    OutputConditionIdentifier=String("sRGB"),
                    Info=String("sRGB, IEC 61966-2-1"),
                    DestOutputProfile=pdf.make_stream(color_profile.profile(), N=3),
                )
            ]
        )
        pdf.Root.Metadata = pdf.make_stream(_xmp(description), Type=Name.Metadata, Subtype=Name.XML)
        pdf.trailer.Info = pdf.make_indirect(
            Dictionary(
                Title=String(description.title),
                Author=String(description.author),
                Subject=String(description.subject),
                Creator=String("Bradawl"),
                Producer=String("Bradawl"),
                CreationDate=String(_pdf_date(description.made)),
                ModDate=String(_pdf_date(description.made)),
            )
        )
        complete_pages = io.BytesIO()
        pdf.save(
            complete_pages,
            min_version="1.7",
            stream_decode_level=pikepdf.StreamDecodeLevel.none,
            compress_streams=False,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
    bind(complete_pages.getvalue(), out, shelf)
    return complete


def _pdf_date(made: str) -> str:
    """`2026-11-25T09:30:00+01:00` as PDF writes it: `D:20261125093000+01'00'`."""
    stamp, zone = made[:19], made[19:]
    digits = "".join(character for character in stamp if character.isdigit())
    if zone in ("Z", "+00:00", ""):
        return f"D:{digits}Z"
    return f"D:{digits}{zone[0]}{zone[1:3]}'{zone[4:6]}'"


def _xmp(description: Description) -> bytes:
    title, author, subject = (
        escape(text, quote=False)
        for text in (description.title, description.author, description.subject)
    )
    made = escape(description.made, quote=False)
    return f"""<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about=""
    xmlns:dc="http://purl.org/dc/elements/1.1/"
    xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
    xmlns:xmp="http://ns.adobe.com/xap/1.0/"
    xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
   <dc:format>application/pdf</dc:format>
   <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
   <dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
   <dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt>
   </dc:description>
   <dc:language><rdf:Bag><rdf:li>{description.language}</rdf:li></rdf:Bag></dc:language>
   <pdf:Producer>Bradawl</pdf:Producer>
   <xmp:CreatorTool>Bradawl</xmp:CreatorTool>
   <xmp:CreateDate>{made}</xmp:CreateDate>
   <xmp:ModifyDate>{made}</xmp:ModifyDate>
   <pdfaid:part>3</pdfaid:part>
   <pdfaid:conformance>B</pdfaid:conformance>
  </rdf:Description>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>""".encode()
