"""What a workbook's cell shows: its value in its number format, as far as parts and measures need it.

Number formats are those of ISO/IEC 29500-1, clause 18.8.31: padding zeros, decimals, percent, words in
quotes. No thousands are parted, since 1,000 may be one or a thousand.
"""

import datetime as dt
import re
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import NamedTuple

_ASIDE = re.compile(r"\[[^\]]{0,60}\]|_.|\*.")  # colours and conditions, widths, fillings
_TOKEN = re.compile(r'"([^"]{0,200})"|\\(.)|([0#?](?:[0#?,.]*[0#?])?)|(.)', re.S)
_MOST_FIGURES = 40


class Form(NamedTuple):
    """A number format taken apart: words before, fields of figures with words between, words after."""

    parts: tuple[str, ...]  # literal, field, literal, field … literal
    percent: bool


def shown(value: object, form: str) -> str:
    """A cell's value as text: dates as ISO, whole numbers without `.0`, zeros as the format pads them.

    >>> shown(1234.0, "000000"), shown(12.0, "General"), shown(2.4, '0.00" mm"')
    ('001234', '12', '2.40 mm')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, int | float):
        return _number(value, form)
    if isinstance(value, dt.datetime):
        return (
            value.date().isoformat() if not (value.hour or value.minute) else value.isoformat(" ", "minutes")
        )
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, dt.time):
        return value.isoformat("minutes")
    return str(value).replace("\r\n", "\n").replace("_x000D_", "").strip()


def _number(value: float, form: str) -> str:
    if isinstance(value, float) and (value != value or abs(value) >= 1e18):
        return str(value)
    known = _form(form)
    if known is None:
        return plain(value)
    if known.percent:
        value = round(value * 100, 10)
    fields = known.parts[1::2]
    if len(fields) > 1:
        return _spread(value, known)
    figures = _field(abs(value), fields[0])
    return f"{'-' if value < 0 else ''}{known.parts[0]}{figures}{known.parts[2]}".strip()


def plain(value: float) -> str:
    """A number without exponent or needless zeros; spreadsheets keep 15 figures.

    >>> plain(0.1 + 0.2), plain(12.0)
    ('0.3', '12')
    """
    if isinstance(value, int) or value == int(value):
        return str(int(value))
    text = f"{Decimal(f'{value:.15g}'):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _field(value: float, field: str) -> str:
    whole, _, rest = field.replace(",", "").partition(".")
    least, most = rest.count("0"), len(rest)
    text = f"{Decimal(plain(value)).quantize(Decimal(1).scaleb(-most), ROUND_HALF_UP):f}"
    figures, _, decimals = text.partition(".")
    figures = figures.rjust(whole.count("0"), "0") or "0"
    while len(decimals) > least and decimals.endswith("0"):
        decimals = decimals[:-1]
    return f"{figures}.{decimals}" if decimals else figures


def _spread(value: float, form: Form) -> str:
    """The figures of a whole number over several fields, from the last one on: `000-000`."""
    fields, words = form.parts[1::2], form.parts[0::2]
    if value != int(value) or value < 0 or any("." in f or "?" in f for f in fields):
        return plain(value)
    figures = str(int(value)).rjust(sum(f.count("0") for f in fields), "0")
    told = words[-1]
    for at in range(len(fields) - 1, -1, -1):
        size = len(figures) if at == 0 else len(fields[at])
        figures, own = figures[: len(figures) - size], figures[len(figures) - size :]
        told = f"{words[at]}{own}{told}"
    return told.strip()


@lru_cache(maxsize=512)
def _form(form: str) -> Form | None:
    """A format taken apart; None for one that shows the number as it is, and for those not followed."""
    first = _ASIDE.sub("", form.split(";")[0][:200])
    if first.strip().lower() in ("", "general", "@") or re.search(r"[eE][+-]|[/:]|[dmyhs]{2}", _bare(first)):
        return None
    parts = [""]
    for quoted, escaped, field, other in _TOKEN.findall(first):
        if field and len(parts) % 2:
            parts.append(field)
        elif len(parts) % 2 == 0:
            parts.append(quoted or escaped or other)
        else:
            parts[-1] += quoted or escaped or other
    if len(parts) % 2 == 0:
        parts.append("")
    fields = parts[1::2]
    if not fields or sum(map(len, fields)) > _MOST_FIGURES:
        return None
    return Form(tuple(parts), "%" in _bare(first))


def _bare(form: str) -> str:
    """A format without the words in quotes."""
    return re.sub(r'"[^"]{0,200}"|\\.', "", form)
