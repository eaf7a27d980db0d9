"""pdfminer's document, which takes only the objects that are asked for out of a packed stream of them.

By itself pdfminer reads all objects of such a stream for one of them; its head tells where each begins (ISO
32000-1, 7.5.7). Whatever is not as the standard has it is left to pdfminer's own way.
"""

from pdfminer.pdfdocument import PDFDocument
from pdfminer.pdfparser import PDFStreamParser
from pdfminer.pdftypes import PDFStream


class QuickDocument(PDFDocument):
    """A document whose sheets are counted quickly. An opened PDFDocument becomes one by its `__class__`."""

    def _getobj_objstm(self, stream: PDFStream, index: int, objid: int) -> object:
        piece = _piece(stream, index, objid)
        if piece is None:
            return super()._getobj_objstm(stream, index, objid)
        parser = PDFStreamParser(piece)
        parser.set_document(self)
        return parser.nextobject()[1]


def _piece(stream: PDFStream, index: int, objid: int) -> bytes | None:
    """The bytes of one object of a packed stream, if it is a dictionary that ends where the next begins."""
    count, first = stream.get("N"), stream.get("First")
    if not isinstance(count, int) or not isinstance(first, int):
        return None
    data = stream.get_data()
    head = data[:first].split()
    if len(head) != 2 * count or not 0 <= index < count or not all(map(bytes.isdigit, head)):
        return None
    start = first + int(head[2 * index + 1])
    after = first + int(head[2 * index + 3]) if index + 1 < count else len(data)
    piece = data[start:after].strip()
    sound = int(head[2 * index]) == objid and piece.startswith(b"<<") and piece.endswith(b">>")
    return piece + b"\n" if sound else None
