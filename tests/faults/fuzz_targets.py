"""What is fuzzed: for each reader the papers to start from, how an input is read, and what must hold of it.

A reader may refuse with one of benchleaf's own errors; any other exception, a hang, or a check that does not
hold is a finding.
"""

import io
import math
import random
import re
import tempfile
import unicodedata
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape

from benchleaf.cli.clean import clean, one_line
from benchleaf.cli.csv_week import cell
from benchleaf.graph.keys import folded, key, natural
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.mentions import runs
from benchleaf.graph.quantities.amount import read_amount
from benchleaf.graph.quantities.reading import read_quantities
from benchleaf.ingest.head.dates import find_dates, read_date
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.kind import kind_of
from benchleaf.ingest.lists.lists import is_list, read_list
from benchleaf.ingest.lists.slips import is_slip, slip_of
from benchleaf.ingest.papers.enclosures import safe_name
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.phrasebook import load
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.text import read_text
from fuzz_mutations import Mutations, spoilt_bytes

_STEERING = {"Cc", "Cs"}
_PHRASES = """
[[phrase]]
name = "goes over to"
type = "supersession"
patterns = ['{old} [now|also] (goes over|passes) to {new}']
yes = [{ say = "318 604 22 goes over to 318 604 57.", old = ["318 604 22"], new = ["318 604 57"] }]
no = ["318 604 22 never goes over to 318 604 57."]

[words]
be = "is|are|was|has been"
"""
_HEADS = (
    "SERVICE BULLETIN\nNo. RB 17/98\nDate: 12 November 1998\nSubject: Clutch pack\nModels: VR 30, VR 32\n"
    "Serial nos. 5200 through 5310, except 5244\nSupersedes: RB 11/97\n\nKit 4410-207 becomes 4410-209.\n",
    "Bulletin RB 18          Issued 05/06/2016          Page 1 of 2\nUnits built 3/98 to 9/98\n"
    "Effectivity: S/N 5200 and up, prior to 6000\nRevision B\n\nReplaces item 3 on page 4-12 of VM-30.\n",
    "To: all workshops\nFrom: Technical Service\nRe: Return spring\nThis letter cancels RB 12.\n",
)
_DATES = (
    *("12 November 1999", "November 12, 1999", "8/1/2014", "10.06.1990", "1999-03-12", "05/06/2016"),
    *("Nov 78", "3/78", "20030514", "week 14 of 1987", "KW 14/87", "12.XI.1999", "l2.O3.1999"),
    *("den 3. März 1988", "3 de marzo de 1988", "le 1er août 1990", "between 3 and 5 May 2001", "30-4-63"),
)
_LISTS = (
    "old number;new number;date;remarks\n4410-1;4410-2;3.5.1998;use up old stock\n4410-3;;;NLA\n",
    "Old No.,New No.,Remarks\nAB 100,AB 101 + AB 102,both ways\n7-May,8-Jun,\n1.2E+05,44-1,\n",
    'superseded\tby\n\'00441\t="00442"\n44-5\t44-6 or 44-7\n\n',
)
_SLIPS = (
    "Pos;Part number;Description;Qty\n1;4410-5;friction disc;10\n2;4410-6;steel disc;11\n",
    "Qty,Unit,Item,Kit\n2 x 10,pcs,friction disc,77-1\n1,set,seal ring,77-1\n",
)
_MAILS = (
    "From: Service <a@b.example>\nTo: c@d.example\nSubject: =?utf-8?q?RB_17?=\nDate: Tue, 24 Nov 1998 10:"
    "00:00 +0100\nMIME-Version: 1.0\nContent-Type: multipart/mixed; boundary=XX\n\n--XX\nContent-Type: "
    "text/plain; charset=utf-8; format=flowed\n\nKit 4410-207 becomes 4410-209.\n\n> earlier words\n--XX\n"
    'Content-Type: text/csv; name="../../l.csv"\nContent-Disposition: attachment; '
    "filename*=utf-8''..%2fl.csv\n"
    "\nold number;new number\n44-1;44-2\n--XX--\n",
    "From: a@b.example\nSubject: Re: discs\nContent-Type: text/html\nContent-Transfer-Encoding: quoted-"
    "printable\n\n<p>Item 3 on page 4-12 of VM-30 is <s>kept</s> deleted.</p><blockquote>old</blockquote>\n",
    'From: a@b.example\nContent-Type: message/rfc822\nContent-Disposition: attachment; filename="CON.eml"\n\n'
    "From: c@d.example\nSubject: inner\n\ninner words\n",
)
_PAGES = (
    "<html><head><style>.x{display:none} li::before{content:counter(a)}</style></head><body><h1>RB 17</h1>"
    "<table><tr><th>Old number<th>New number</tr><tr><td rowspan=2>44-1<td>44-2</tr><tr><td>44-3</table>"
    "<ol start=3 type=a><li>Fit.<li value=9>Press.</ol><p style='text-decoration:line-through'>gone</p>"
    "<ins>new</ins><del>old</del><pre>a\n b</pre></body></html>",
    "<p>Item&nbsp;3 on page 4&#8209;12<br>is <sup>2</sup> &lt;deleted&gt;<div hidden>no</div><details>x",
)
_VALUES = (
    *("Tighten to 80 ... 95 N·m (59–70 lbf·ft).", "clearance 1.2 to 1.6 mm", "2.50 ±0.05 mm", "3 1/2 in"),
    *("0.05 mm (0.002 in) max.", "29 Nm + 90°", "not more than 1,5 bar / 22 psi", "1.000,5 kPa", "5 °C"),
)
_GOT = ("10 friction disc, 11 steel disc", "AB 4410-21 6 pcs; seal: none", "2 packs of 5 x ring", "ten discs")
_NUMBERS = ("TH 6573-575", "4410-207", "04.115.561 H", "922 305 42", "55-20-03", "4-62", "A 123 456 78 01")


@dataclass(frozen=True)
class Target:
    """One reader: what it starts from, how it is called, and the longest input in letters."""

    papers: Callable[[], tuple[str, ...]]
    read: Callable[[str], None]
    most: int = 1500


@cache
def _sentences() -> tuple[str, ...]:
    said = [e.say for p in load().phrases for e in p.yes] + [n for g in load().guards for n in g.yes]
    return (*said, *(f"{a} {b}" for a, b in zip(said[::2], said[1::2], strict=False)))


def phrases(text: str) -> None:
    """Statements from running text: no number is settled that does not stand in the text."""
    found = read_statements(header_of(text), "note")
    plain = key(text)
    for one in found.statements:
        if one.standing == "settled" and hasattr(one, "old"):
            for number in (*one.old, *one.new):
                assert key(number) in plain, f"{number!r} was made up"
    _storable(repr(found))


def head(text: str) -> None:
    """A note's head from a typed sheet, and what kind of paper it is."""
    laid = lay_out(read_text(text.encode("utf-8", "replace")))
    kind_of(laid)
    header = read_header(laid, "note")
    assert header.number is None or key(header.number), f"an empty number {header.number!r}"
    _storable(repr(header))


def dates(text: str) -> None:
    """Dates stand within the text and are of our times."""
    for first in (None, True, False):
        for day in (read_date(text, first), *find_dates(text, first)):
            assert 0 <= day.span[0] <= day.span[1] <= len(text), day
            assert day.date is None or 1800 <= day.date.year <= 2099, day


def lists(text: str) -> None:
    """A list's numbers stand in it; rows that cannot be read are told."""
    data = text.encode("utf-8", "surrogatepass" if len(text) % 2 else "replace")
    is_list(data)
    reading = read_list(data, "list.csv")
    plain = key(data.decode("utf-8", "replace")) + key(data.decode("cp1252", "replace"))
    for row in reading.rows:
        for number in (*row.old, *row.new) if hasattr(row, "old") else (row.part,):
            assert key(number) and key(number) in plain, f"{number!r} was made up"


def slips(text: str) -> None:
    """What came: every line has a count or says why not."""
    from benchleaf.ingest.lists import slips as module

    data = text.encode("utf-8", "replace")
    is_slip(data)
    slip = slip_of(module._csv_rows(data), "77-1")
    for line in slip.lines if slip is not None else ():
        assert line.quantity is None or 0 <= line.quantity <= 99_999 * 9_999, line


def mails(text: str) -> None:
    """A mail's sheets, and the names of what it encloses."""
    from benchleaf.ingest.papers.mail import read_mail

    mail = read_mail(text.encode("utf-8", "surrogatepass"))
    names = [file.name for file in mail.enclosures]
    assert len({name.casefold() for name in names}) == len(names), names
    for name in names:
        _harmless(name)
    _shown(mail.pages)


def names(text: str) -> None:
    """Names of enclosures are those of plain files; what is shown of any text steers nothing."""
    for ending in ("", ".pdf", ".eml"):
        _harmless(safe_name(text, ending))
    assert not [c for c in clean(text) if unicodedata.category(c) in ("Cc", "Cf", "Cs") and c != "\n"]
    assert "\n" not in one_line(text)
    assert not cell(text).startswith(("=", "+", "-", "@", "\t", "\r"))


def pages(text: str) -> None:
    """A web page's sheets."""
    from benchleaf.ingest.papers.web import html_reading

    _shown(html_reading(text.encode("utf-8", "surrogatepass")).pages)


def values(text: str) -> None:
    """Values with units: finite, in order, and within the text."""
    for value in read_quantities(text):
        bounds = [v for v in (value.low, value.high, value.nominal) if v is not None]
        assert bounds and all(math.isfinite(v) for v in bounds), value
        assert value.low is None or value.high is None or value.low <= value.high, value
        assert 0 <= value.start < value.end <= len(text), value
    read_amount(text)


def got(text: str) -> None:
    """What came, as a person types it: counts are no less than none."""
    for line in parse_got(text):
        assert line.quantity is None or line.quantity >= 0, line


def keys(text: str) -> None:
    """A key is its own key; near forms and runs never fail."""
    made = key(text)
    assert key(made) == made and folded(made) == folded(text)
    natural(text)
    for run in runs(text):
        assert run.key == key(run.printed)


def books(text: str) -> None:
    """A shop's own phrase book is taken or refused."""
    with tempfile.TemporaryDirectory() as folder:
        own = Path(folder, "phrases.toml")
        own.write_bytes(text.encode("utf-8", "surrogatepass"))
        load(own)


def _word_file() -> bytes:
    import docx

    document = docx.Document()
    document.add_heading("RB 17", 1)
    document.add_paragraph("Kit 4410-207 becomes 4410-209.", style="List Number")
    document.add_paragraph().add_run("gone").font.strike = True
    table = document.add_table(2, 2)
    for at, words in enumerate(("Old number", "New number", "44-1", "44-2")):
        table.cell(at // 2, at % 2).text = words
    return _saved(document)


def _workbook() -> bytes:
    import openpyxl

    book = openpyxl.Workbook()
    for row in (("Old number", "New number", "Qty"), ("44-1", "=1+1", 3), ("0044", 44.5, "x")):
        book.active.append(row)
    book.active.merge_cells("A4:C5")
    book.active["A4"] = "RB 17 dated 12 November 1998"
    return _saved(book)


def _saved(document: object) -> bytes:
    out = io.BytesIO()
    document.save(out)  # type: ignore[attr-defined]
    return out.getvalue()


@cache
def _office(kind: str) -> dict[str, bytes]:
    data = _word_file() if kind == "word" else _workbook()
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


_SPOILT = {
    "word": ("word/document.xml", "word/styles.xml", "word/numbering.xml", "[Content_Types].xml"),
    "workbook": ("xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/sharedStrings.xml", "xl/workbook.xml"),
}


def _office_file(kind: str, text: str) -> bytes:
    """An office file with one part spoilt, or the whole of it, as the text's letters decide."""
    pick = random.Random(text.encode("utf-8", "surrogatepass"))
    parts = dict(_office(kind))
    part = pick.choice([p for p in _SPOILT[kind] if p in parts])
    if pick.random() < 0.85:
        parts[part] = _swapped(parts[part].decode(), text, pick).encode("utf-8", "replace")
    else:
        parts[part] = spoilt_bytes(parts[part], pick)
    out = io.BytesIO()
    with zipfile.ZipFile(
        out, "w", zipfile.ZIP_DEFLATED if pick.random() < 0.5 else zipfile.ZIP_STORED
    ) as new:
        for name, data in parts.items():
            new.writestr(name, data)
    return spoilt_bytes(out.getvalue(), pick) if pick.random() < 0.04 else out.getvalue()


_PIECE = re.compile(r'(?<==")[^"]{0,200}(?=")|(?<=>)[^<>]{1,200}(?=<)|<[^<>]{1,300}/>')
_ODD = (
    "-1",
    "99999999",
    "",
    "A1:XFD1048576",
    "0.5",
    "true",
    "x" * 500,
    "&#x202e;",
    "&lt;script&gt;",
    "1e309",
)


def _swapped(xml: str, text: str, pick: random.Random) -> str:
    """The XML with values of attributes, words and lone elements put elsewhere; it stays well formed."""
    places = [m.span() for m in _PIECE.finditer(xml)]
    whole, chosen = xml, sorted(pick.sample(range(len(places)), min(len(places), pick.choice((1, 2, 6, 30)))))
    for at in reversed(chosen):
        start, end = places[at]
        was = xml[start:end]
        if was.startswith("<"):
            now = pick.choice(("", was * 2, was * 40))
        else:
            other = pick.choice([whole[a:b] for a, b in places if whole[a] != "<"])
            now = pick.choice((other, other, escape(text[:40], {'"': "&quot;"}), *_ODD))
        xml = xml[:start] + now + xml[end:]
    return xml


def words(text: str) -> None:
    """A Word file's sheets."""
    from benchleaf.ingest.papers.word import word_reading

    _shown(word_reading(_office_file("word", text)).pages)


def workbooks(text: str) -> None:
    """A workbook's sheets and lists."""
    from benchleaf.ingest.papers.workbook import workbook_lists, workbook_reading

    data = _office_file("workbook", text)
    _shown(workbook_reading(data).pages)
    for _, rows in workbook_lists(data):
        is_list(rows)


def _harmless(name: str) -> None:
    assert name and name not in (".", "..") and not set(name) & set('/\\\0<>:"|?*\n'), repr(name)
    assert len(name.encode("utf-8", "replace")) <= 255, repr(name)
    assert not name.startswith(".") and not name.endswith((".", " ")), repr(name)
    assert name.partition(".")[0].strip().upper() not in ("CON", "NUL", "AUX", "PRN", "COM1", "LPT1"), name
    assert not [c for c in name if unicodedata.category(c) in _STEERING], repr(name)


def _shown(found: tuple[Page, ...]) -> None:
    for page in lay_out(found):
        for one in flow(page):
            assert not hasattr(one, "text") or not [c for c in one.text if c in "\0\x1b"], one.text


def _storable(text: str) -> None:
    assert "Traceback" not in text


TARGETS: dict[str, Target] = {
    "phrases": Target(_sentences, phrases, 600),
    "head": Target(lambda: _HEADS, head, 700),
    "dates": Target(lambda: _DATES, dates, 120),
    "lists": Target(lambda: _LISTS, lists),
    "slips": Target(lambda: _SLIPS, slips),
    "mails": Target(lambda: _MAILS, mails, 3000),
    "names": Target(lambda: (*_NUMBERS, "../../etc/x.pdf", "CON.txt", "a:b?.docx", *_DATES), names, 300),
    "pages": Target(lambda: _PAGES, pages, 2000),
    "word": Target(lambda: _DATES + _NUMBERS, words, 200),
    "workbook": Target(lambda: _DATES + _NUMBERS, workbooks, 200),
    "values": Target(lambda: _VALUES, values, 300),
    "got": Target(lambda: _GOT, got, 200),
    "keys": Target(lambda: _NUMBERS, keys, 120),
    "books": Target(lambda: (_PHRASES,), books, 1200),
}


def texts(name: str, seed: int) -> Iterator[str]:
    """An endless run of inputs for a target."""
    target = TARGETS[name]
    return Mutations(target.papers(), seed, target.most).texts()
