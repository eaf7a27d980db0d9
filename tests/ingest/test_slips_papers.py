"""Packing slips as workbooks, web pages, Word files and e-mails, and the wordings of their columns."""

from pathlib import Path
from typing import Any

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.graph.kits.received import Received
from benchleaf.ingest.lists.slips import is_slip, read_slip, slip_of
from papers_made import mail, word, workbook

HEAD = ("Description", "Part No.", "Ordered", "Shipped")
LINES = (("friction disc", "0044155-5", "6", "4"), ("steel disc", "0044155-6", "5", "5"))
CAME = (Received("friction disc", 4, "0044155-5"), Received("steel disc", 5, "0044155-6"))


def as_page() -> str:
    cells = "".join(f"<tr>{''.join(f'<td>{c}</td>' for c in row)}</tr>" for row in (HEAD, *LINES))
    return f"<html><body><h1>Packing slip 88</h1><table>{cells}</table></body></html>"


def fill_word(document: Any) -> None:
    document.add_heading("Packing slip 88")
    table = document.add_table(3, 4)
    for i, row in enumerate((HEAD, *LINES)):
        for j, text in enumerate(row):
            table.cell(i, j).text = text


def fill_workbook(book: Any) -> None:
    book.active.append(["Packing slip 88"])
    book.active.append(list(HEAD))
    book.active.append(["friction disc", 441555, 6, 4.0])
    book.active["B3"].number_format = '0000000"-"0'
    book.active.append(["steel disc", "0044155-6", 5, 5])


def as_workbook() -> bytes:
    def build(book: Any) -> None:
        book.active.append(["Thank you for your order."])
        fill_workbook(Two(book))

    return workbook(build)


class Two:
    """A workbook whose second worksheet is filled."""

    def __init__(self, book: Any) -> None:
        self.active = book.create_sheet("Slip")


def in_mail_text() -> bytes:
    message = mail("Your order")
    message.set_content("see page")
    message.add_alternative(as_page(), subtype="html")
    return bytes(message.as_bytes())


def in_enclosure() -> bytes:
    message = mail("Your order")
    message.set_content("Please find our papers enclosed.")
    message.add_attachment(b"%PDF-1.4 torn", maintype="application", subtype="pdf", filename="invoice.pdf")
    message.add_attachment(b"Name,Town\nA,B\n", maintype="text", subtype="csv", filename="address.csv")
    csv = "\n".join(",".join(row) for row in (HEAD, *LINES))
    message.add_attachment(csv.encode(), maintype="text", subtype="csv", filename="slip.csv")
    return bytes(message.as_bytes())


def in_enclosed_mail() -> bytes:
    message = mail("Fwd: your order")
    message.set_content("See below.")
    inner = mail("Your order")
    inner.set_content(as_page(), subtype="html")
    message.add_attachment(inner)
    return bytes(message.as_bytes())


MADE = {
    "slip.html": lambda: as_page().encode(),
    "slip.docx": lambda: word(fill_word),
    "slip.xlsx": as_workbook,
    "text.eml": in_mail_text,
    "enclosed.eml": in_enclosure,
    "forwarded.eml": in_enclosed_mail,
}


@pytest.mark.parametrize("name", MADE)
def test_a_slip_in_every_kind_of_paper(name: str, tmp_path: Path) -> None:
    """What was shipped is read from any paper, in the text of a mail or in its first slip enclosed."""
    file = tmp_path / name
    file.write_bytes(MADE[name]())
    assert read_slip(file, "44712-10").lines == CAME


def test_a_mail_without_a_slip_is_refused(tmp_path: Path) -> None:
    """Nothing is guessed from a mail that tells no quantities."""
    message = mail("Your order")
    message.set_content("Your six discs are on their way.")
    file = tmp_path / "a.eml"
    file.write_bytes(message.as_bytes())
    with pytest.raises(RefusedFile, match="no table"):
        read_slip(file, "44712-10")


def test_a_workbook_is_a_slip_by_one_of_its_worksheets() -> None:
    """A workbook with a slip in it is told as a slip; one without is not."""
    assert is_slip(as_workbook())
    assert not is_slip(workbook(lambda book: book.active.append(["Fit six discs."])))


def one(head: str, line: str) -> Received | None:
    """The line that a slip of one line reads as; both are cells parted by bars."""
    slip = slip_of([[c.strip() for c in row.split("|")] for row in (head, line)], "1")
    return slip.lines[0] if slip is not None and slip.lines else None


# Headings as suppliers word them: common practice, no source.
@pytest.mark.parametrize(
    ("head", "line"),
    [
        ("Qty | Part no | Description", "6 | 44-100 | disc"),
        ("Description | Quantity | P/N", "disc | 6 | 44-100"),
        ("Item | Item No. | Description | Qty Shipped", "1 | 44-100 | disc | 6"),
        ("Pos | Artikel-Nr. | Bezeichnung | Menge", "1 | 44-100 | disc | 6 Stk"),
        ("Teile-Nr. | Benennung | bestellt | geliefert", "44-100 | disc | 9 | 6"),
        ("Référence | Désignation | Qté commandée | Qté livrée", "44-100 | disc | 9 | 6"),
        ("Codice | Descrizione | Quantità", "44-100 | disc | 6"),
        ("Código | Descripción | Cantidad", "44-100 | disc | 6"),
        ("Stock code | Details | Req'd | Despatched", "44-100 | disc | 9 | 6"),
        ("SKU | Title | Qty ordered | Qty", "44-100 | disc | 9 | 6 pcs"),
        (
            "Part Number | Description | Shipped via | Date shipped | Shipped",
            "44-100 | disc | road | 3 May | 6",
        ),
        ("Line | Part # | Description | Previously shipped | This shipment", "10 | 44-100 | disc | 2 | 6"),
        ("Part no | Description | U/M | Qty", "44-100 | disc | EA | 6"),
        ("Part no | Description | Qty | Pack size", "44-100 | disc | 6 | 1"),
        ("Part no | Description | Packs | Pack size", "44-100 | disc | 3 | 2"),
        ("Part no | Description | Qty", "44-100 | disc | 2 x 3"),
        ("Part no | Description | Qty", "44-100 | disc | 3 packs of 2"),
    ],
)
def test_columns_in_any_order_and_wording(head: str, line: str) -> None:
    """Six discs came, whatever the columns are called and wherever they stand."""
    assert one(head, line) == Received("disc", 6, "44-100")


@pytest.mark.parametrize(
    ("head", "line"),
    [
        ("Part no | Description | Qty", "44-100 | disc | -6"),
        ("Part no | Description | Qty", "44-100 | disc | 6/7"),
        ("Part no | Description | Qty", "44-100 | disc | 6 of 7"),
        ("Part no | Description | Qty", "44-100 | disc | 6 or so"),
    ],
)
def test_what_is_no_count_is_not_read(head: str, line: str) -> None:
    """A quantity that is none is guessed by nobody: the line is named as unread."""
    slip = slip_of([[c.strip() for c in row.split("|")] for row in (head, line)], "1")
    assert slip is not None and slip.lines == () and len(slip.unread) == 1


@pytest.mark.parametrize(
    ("head", "line"),
    [
        ("Part no | Description | Qty | Pack size", "44-100 | disc | 6 | 10"),
        ("Part no | Description | Qty", "44-100 | disc | 6 packs"),
        ("Part no | Description | Qty", "44-100 | disc | 6 PK"),
        ("Part no | Description | Packs", "44-100 | disc | 6"),
        ("Part no | Description | U/M | Qty", "44-100 | disc | PK | 6"),
        ("Part no | Description | U/M | Qty", "44-100 | disc | SET | 6"),
        ("Part no | Description | U/M | Qty", "44-100 | disc | kg | 6"),
        ("Part no | Description | U/M | Qty", "44-100 | disc | EA | 6 PR"),
        ("Part no | Description | U/M | Qty", "44-100 | disc (pair) | EA | 6"),
        ("Part no | Description | U/M | Qty", "44-100 | disc, pack of 4 | PR | 6"),
        ("Part no | Description | Qty", "44-100 | disc, per side | 6"),
    ],
)
def test_counts_that_may_be_of_packs_are_not_counted(head: str, line: str) -> None:
    """Six packs are not six pieces: the line came, its count is open, and why is told."""
    came = one(head, line)
    assert came is not None and came.quantity is None and came.told


# Units of issue as suppliers print them: common practice, no source.
@pytest.mark.parametrize(
    ("head", "line", "pieces"),
    [
        ("Part no | Description | U/M | Qty", "44-100 | disc | PR | 6", 12),
        ("Part no | Description | Unit | Qty", "44-100 | disc | pair | 6", 12),
        ("Part no | Description | Qty", "44-100 | disc | 6 PR", 12),
        ("Part no | Description | U/M | Qty", "44-100 | disc | DZ | 2", 24),
        ("Part no | Description | U/M | Qty", "44-100 | disc | PK10 | 2", 20),
        ("Part no | Description | Qty", "44-100 | disc | 2 PK10", 20),
        ("Part no | Description | U/M | Qty | Pack size", "44-100 | disc | PK | 2 | 10", 20),
        ("Part no | Description | U/M | Qty", "44-100 | disc (pack of 10) | PK | 2", 20),
        ("Part no | Description | U/M | Qty", "44-100 | disc (pair) | PR | 2", 4),
        ("Part no | Description | U/M | Qty", "44-100 | disc (pack of 10) | EA | 1", 10),
        ("Part no | Description | Qty", "44-100 | pair of discs | 3", 6),
    ],
)
def test_units_of_packing(head: str, line: str, pieces: int) -> None:
    """Pairs, dozens and packs of a known size are counted in pieces, once and not twice."""
    came = one(head, line)
    assert came is not None and came.quantity == pieces and came.told


def test_the_kit_s_own_line_is_no_part() -> None:
    """One line for the kit itself above its contents is none of its parts; two kits are not one."""
    head = ["Part no", "Description", "Qty"]
    slip = slip_of([head, ["44-7", "Disc kit", "1"], ["44-100", "disc", "6"]], "447")
    assert slip is not None and [line.part for line in slip.lines] == ["44-100"]
    twice = slip_of([head, ["44-7", "Disc kit", "2"], ["44-100", "disc", "6"]], "447")
    assert twice is not None and [line.quantity for line in twice.lines] == [2, 6]


def test_item_may_head_numbers_words_or_positions() -> None:
    """What stands below the heading `Item` tells which it is."""
    assert one("Item | Qty", "44-100 | 6") == Received("44-100", 6, "44-100")
    assert one("Item | Qty", "friction disc | 6") == Received("friction disc", 6, None)
    slip = slip_of([["Item no", "Description", "Qty"], ["1", "disc", "6"], ["2", "ring", "5"]], "1")
    assert slip is not None and [line.part for line in slip.lines] == [None, None]


def test_a_heading_of_two_rows() -> None:
    """`Quantity` over `ordered` and `shipped`: what was shipped counts."""
    head = (["Part no", "Description", "Quantity", ""], ["", "", "ordered", "shipped"])
    slip = slip_of([*head, ["44-100", "disc", "6", "4"]], "1")
    assert slip is not None and slip.lines == (Received("disc", 4, "44-100"),)
