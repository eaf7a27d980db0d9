"""The names of a Word file's XML (ISO/IEC 29500-1, WordprocessingML) and small ways to ask for them."""

from collections.abc import Iterator
from typing import Any

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"

Element = Any
"""An lxml element; lxml carries no types."""


def name(one: Element) -> str:
    """A tag's name without its namespace; "" for comments."""
    tag = one.tag
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def val(one: Element | None, key: str = "val") -> str | None:
    """An attribute of an element, None where either is missing."""
    if one is None:
        return None
    found = one.get(W + key)
    return str(found) if found is not None else None


def child(one: Element | None, *path: str) -> Element | None:
    """The element at the end of a path of names."""
    for step in path:
        one = one.find(W + step) if one is not None else None
    return one


def flag(one: Element | None, key: str) -> bool | None:
    """A property that is on or off: None if it is not said."""
    found = child(one, key)
    return None if found is None else (val(found) or "true") not in ("0", "false", "off", "none")


def number(text: str | None) -> int | None:
    """A whole number, None for anything else."""
    try:
        return int(text) if text is not None and len(text) < 10 else None
    except ValueError:
        return None


def below(one: Element, *names: str) -> Iterator[Element]:
    """Elements of some names at any depth, in order."""
    return iter(one.iter(*(W + n for n in names)))


def part_of(document: Any, kind: str) -> Element | None:
    """The XML of a related part, by the end of its relation's type; None if there is none or it is bad."""
    from docx.oxml.parser import parse_xml
    from lxml.etree import XMLSyntaxError

    for relation in document.part.rels.values():
        if not relation.is_external and relation.reltype.endswith(f"/{kind}"):
            try:
                return parse_xml(relation.target_part.blob)
            except XMLSyntaxError:
                return None
    return None
