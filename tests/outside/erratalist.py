"""Published errata lists, read from their TeX source with no help of the product.

Sources, all in Debian's package texlive-latex-base-doc (`usr/share/doc` of the unpacked package is named by
the environment variable BENCHLEAF_DEBIAN_DOCS; nothing of it is kept here):

- Leslie Lamport, errata to "LaTeX: A Document Preparation System", second edition (lamport-manual.err);
- Frank Mittelbach and Michel Goossens, errata to "The LaTeX Companion", second edition (tlc2.err), and to its
  German edition "Der LaTeX-Begleiter" (lb2.err);
- Michel Goossens, Frank Mittelbach, Sebastian Rahtz, Denis Roegel and Herbert Voß, errata to "The LaTeX
  Graphics Companion", second edition (lgc2.err).
"""

import gzip
import os
import re
from dataclasses import dataclass, replace
from pathlib import Path

VARIABLE = "BENCHLEAF_DEBIAN_DOCS"
BASE = Path("texlive-doc") / "latex" / "base"
LISTS = {"lamport-manual": "LDPS 2", "tlc2": "TLC 2", "lgc2": "LGC 2", "lb2": "LB 2"}  # our short numbers


@dataclass(frozen=True)
class Erratum:
    """One entry: the list it stands in, printed page, place on it, printing it was corrected in, its text as
    plain words; `form` is the wording's class, `old` and `new` the words it speaks of."""

    book: str
    page: str
    place: str
    printing: str
    text: str
    form: str = "other"
    old: str | None = None
    new: str | None = None


def docs() -> Path | None:
    """The folder of the package's base documentation; None where the variable does not lead to it."""
    named = os.environ.get(VARIABLE)
    folder = Path(named) / BASE if named else None
    return folder if folder and folder.is_dir() else None


def errata(folder: Path) -> list[Erratum]:
    """Every entry of the four lists that names one page, in the lists' order."""
    found: list[Erratum] = []
    for name in LISTS:
        source = gzip.decompress((folder / f"{name}.err.gz").read_bytes()).decode("utf-8")
        entries = _lamport(source) if name == "lamport-manual" else _companion(source)
        found.extend(_classed(Erratum(name, *entry)) for entry in entries)
    return [e for e in found if re.fullmatch(r"[0-9]+|[ivxlc]+", e.page)]


def _body(source: str) -> str:
    """What follows the preamble, without comment lines and what is switched off."""
    start = r"(?m)^\\begin\{erratalist\}" if r"\begin{erratalist}" in source else r"\\begin\{document\}"
    source = re.split(start, source, maxsplit=1)[1]
    source = re.sub(r"(?m)^[ \t]*%.*\n", "", source)
    source = re.sub(r"(?ms)^\\iffalse.*?\\fi\b", "", source)
    return re.split(r"(?m)^\\end\{(?:erratalist|document)\}", source)[0]


def _companion(source: str) -> list[tuple[str, str, str, str]]:
    head = re.compile(r"\\(?:serious)?erroronpage((?:\s*\{(?:[^{}]|\{[^{}]*\})*\}){5})")
    pieces = head.split(re.sub(r"\\CHAPTER\{[^}]*\}", "", _body(source)))
    found = []
    for fields, text in zip(pieces[1::2], pieces[2::2], strict=True):
        page, place, _, _, printing = re.findall(r"\{((?:[^{}]|\{[^{}]*\})*)\}", fields)
        found.append((page.strip(), plain(place), printing or "none", plain(text)))
    return found


def _lamport(source: str) -> list[tuple[str, str, str, str]]:
    found = []
    chapters = re.split(r"\\subsection\*\{(.*?)\}\n", _body(source))
    for heading, chapter in zip(chapters[1::2], chapters[2::2], strict=True):
        for entry in re.split(r"\\erratum(?=\{)", chapter)[1:]:
            place, text = _group(entry)
            text = re.split(r"\\reportedby", text)[0]
            page, _, rest = plain(place).removeprefix("page ").partition(",")
            found.append((page.split()[0], rest.strip(), plain(heading).split()[-2], plain(text)))
    return found


def _group(text: str) -> tuple[str, str]:
    """The first brace group's content, and what follows it."""
    depth = 0
    for place, sign in enumerate(text):
        depth += (sign == "{") - (sign == "}")
        if depth == 0:
            return text[1:place], text[place + 1 :]
    raise ValueError("unbalanced braces in " + text[:60])


# -- TeX markup to plain words

_ACCENTS = {'"a': "ä", '"o': "ö", '"u': "ü", "'e": "é", "`e": "è", "'a": "á", "'o": "ó", "~n": "ñ"}
_SIGNS = {
    r"\>": " → ", r"\dots": "…", r"\ldots": "…", r"\LaTeXe": "LaTeX2e", r"\LaTeX": "LaTeX", r"\TeX": "TeX",
    r"\BibTeX": "BibTeX", r"\ss": "ß", r"\S": "§", r"\%": "%", r"\&": "&", r"\_": "_", r"\#": "#", r"\$": "$",
    r"\{": "{", r"\}": "}", r"\textbackslash": "\\", r"\textbraceleft": "{", r"\textbraceright": "}",
    r"\ ": " ", r"\,": " ", r"\\": " ", r"\slash": "/", r"\-": "", r"\/": "", r"\bs": "\\", r"\geq": "≥",
    r"\leq": "≤", r"\quad": " ",
}  # fmt: skip
_VERB = re.compile(r"\\verb\*?([^A-Za-z\s*])(.*?)\1|\|([^|\n]*)\|", re.DOTALL)
_HIDDEN = re.compile("[\ue000-\uf8ff]")


def plain(tex: str) -> str:
    """TeX source as the plain words it prints: quotation marks curly, markup dropped to its content."""
    kept: list[str] = []

    def hide(words: str) -> str:
        kept.append(words)
        return chr(0xE000 + len(kept) - 1)

    text = _VERB.sub(lambda m: hide(m[2] if m[2] is not None else m[3]), tex)
    text = re.sub(r"\\char`\\(.)", lambda m: hide(m[1]), text)
    text = re.sub(r"\\(?:begin|end)\{verbatim\}", "", text)
    text = re.sub(r"\\(?:index|cindex|hspace|vspace)\*?\{[^{}]*\}", "", text)
    text = re.sub(
        r"\\(?:begin|end)\{[a-z]+\}(?:\[[^\]]*\])?(?:\{[^{}]*\})?|\\item(?:\[([^\]]*)\])?", " ", text
    )
    text = re.sub(r"\\([\"'`~^])\{?([A-Za-z])\}?", lambda m: _ACCENTS.get(m[1] + m[2], m[2]), text)
    text = re.sub(r"\\(?:[A-Za-z]+|.)[ ]*", _command, text, flags=re.DOTALL)
    text = re.sub(r"(?<=[0-9a-z])_(?=[0-9])", "", re.sub("[{}$]", "", text)).replace("~", " ")
    text = text.replace('"`', "“").replace("\"'", "”").replace("``", "“").replace("''", "”")
    text = text.replace("`", "\u2018").replace("'", "’").replace("---", "—").replace("--", "–")
    text = _HIDDEN.sub(lambda m: kept[ord(m[0]) - 0xE000], text)
    return " ".join(text.split())


def _command(found: re.Match[str]) -> str:
    name = found[0].rstrip(" ")
    if name in _SIGNS or found[0] == "\\ ":
        return _SIGNS[name if name in _SIGNS else "\\ "]
    return "" if name[1:].isalpha() else name[1:]


# -- the wording's class, and its old and new words

_Q = r"“((?:[^“”]|“[^“”]*”){1,900})”"  # quotation marks may stand inside quotation marks
_FORMS = (
    ("replace by", rf"Replace:? {_Q},? (?:by|with|to):? {_Q}", "old new"),
    ("change to", rf"Change:? {_Q},? (?:by|with|to|into):? {_Q}", "old new"),
    ("should be", rf"{_Q} (?:should|must) (?:be|read):? {_Q}", "old new"),
    ("replace → ", rf"(?:Replace|Change)(?: words?)?:? {_Q},? → {_Q}", "old new"),
    ("“A” → “B”", rf"{_Q},? → {_Q}", "old new"),
    ("Ersetze: “A” → “B”", rf"Ersetze:? {_Q},? → {_Q}", "old new"),
    ("remark: “A” → “B”", rf"[A-Z][\w ,()/-]{{3,60}}: {_Q},? → {_Q}", "old new"),
    (
        "replace, no quotes",
        r"(?:Replace|Change):? ([^“”.:]{1,60}?) (?:by|with|to) ([^“”:]{1,60}?)\.?$",
        "old new",
    ),
    ("delete", rf"(?:Delete|Remove|Omit)(?: \w+)?:? {_Q}", "old"),
    ("add after", rf"(?:Add|Insert):? {_Q} after {_Q}", "new old"),
    ("after, add", rf"After {_Q},? (?:add|insert):? {_Q}", "old new"),
    ("add", rf"(?:Add|Insert|Append)(?: [\w ]{{1,50}})?:? {_Q}$", "new"),
)


PLAIN = ("replace by", "change to", "should be", "replace → ", "“A” → “B”")  # old and new words, both quoted
_LINK = r",?(?:[ ]\([^)]*\))? (?:by|with|to|into|→|(?:should|must) (?:be|read)):? "
_NEW = re.compile(
    rf"(?:with|as follows|by|to|paragraph|read|reads|[Aa]dd\b[^“:]{{0,60}}):? {_Q}"
    r"|(?:with|by|to|as follows): (.*)"
)


def changes(entry: Erratum) -> list[tuple[str | None, str]]:
    """Every pair of old and new words that the entry states, and words that it adds or wholly replaces (old
    is None); a change of one occurrence among several is left out."""
    text = re.sub(rf"occurrence of {_Q}{_LINK}{_Q}", "", entry.text)
    quoted = [(m[1], m[2]) for m in re.finditer(rf"(?=(?:^|(?<= )){_Q}{_LINK}{_Q})", text)]
    bare = [(m[1], m[2]) for m in re.finditer(r"([^\s“”]+) → ([^\s“”]+)", text)]
    phrase = [(m[1], m[2]) for m in re.finditer(r": ([^“”:]+?) → ([^“”→]+)", text)]
    whole = [(None, m[1] or m[2]) for m in _NEW.finditer(text)]
    return [*quoted, *bare, *phrase, *whole]


def _classed(entry: Erratum) -> Erratum:
    """The entry with its wording's class; where print alone differs (a font), it has none."""
    for form, wording, order in _FORMS:
        if (found := re.match(wording, entry.text)) is not None:
            words = dict(zip(order.split(), found.groups(), strict=True))
            if words.get("old") == words.get("new"):
                return entry
            return replace(entry, form=form, old=words.get("old"), new=words.get("new"))
    return entry
