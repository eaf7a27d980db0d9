"""Clauses that limit the units beyond models and serial numbers: kits, options, work done before."""

import re

PART = r"(?:[A-Z]{1,5}[ .-]?)?[0-9][0-9A-Z]{0,14}(?:[ ./-](?=[0-9A-Z]{0,8}[0-9])[0-9A-Z]{1,9}){0,4}"
_KIT = re.compile(
    r"(?i:,?\s?\b(?:but\s)?(?:only\s)?(?:when|if|where|with|using|having|incorporating|(?:that"
    r"|which)\s(?:have|has)|(?:fitted|equipped|rebuilt|repaired|overhauled)\swith|for)\s"
    r"(?:the\s|a\s|an\s|new\s|old\s|repair\s|overhaul\s|service\s|conversion\s|rebuild\s|plate\s|disc\s"
    r"|gasket\s|seal\s){0,4}kits?\s(?:(?:part\s)?(?:numbers?|nos?\.?)\s|p/n\s?|no\.\s?)?)"
    rf"(?P<parts>{PART}(?:(?:\s?,\s|\s(?:or|and)\s)(?:kit\s)?{PART}){{0,5}})"
    r"(?i:\s(?:(?:is|are|was|were|has\sbeen|have\sbeen|being)\s)?(?:fitted|installed|used|incorporated"
    r"|present|in\suse))?"
)
_OPTION = re.compile(r"\bwith or without\b[^,;.()]{0,60}", re.IGNORECASE)
_FURTHER = re.compile(
    r"[\s,]{0,2}(?:\b(?:not\sall|some\sof|some|certain|selected|a\snumber\sof|several|part\sof)\s(?:the\s"
    r"|of\sthe\s)?(?:units|models|machines|pumps|gearboxes|transmissions|clutches|brakes"
    r"|serials?(?:\snumbers)?|vehicles)\b[^;.()]{0,60}"
    r"|\b(?:within|in)\s(?:the|this)\srange,?\s(?:but\s)?not\sall[^;.]{0,60}|\bnot\sall\b[^;.()]{0,60}"
    r"|\b(?:(?:if|when|where|only|and|or|that\sare|which\sare|units)\s){0,2}(?:equipped|fitted|provided"
    r"|supplied)\swith\b[^,;()]{1,80}?(?=[,;()]|\sfrom\s|\sup\sto\s|\sprior\sto\s|\sbefore\s|\sserial"
    r"|\.\s|\.?$)"
    r"|\b(?:(?:that|which|units)\s){0,2}(?:(?:have|has|having"
    r"|had)\s)?(?:been\s)?(?:not\s(?:yet\s)?)?(?:incorporat(?:ed|ing)|modified|converted|updated|reworked"
    r"|complied)\b[^;()]{0,80}?(?=[;()]|\.\s|\.?$)"
    r"|(?<!starting\s)(?<!beginning\s)(?<!commencing\s)(?<!ending\s)(?<!och\s)(?<!und\s)\b(?:with|without|w/o|mit|ohne|avec"
    r"|sans)\s(?!(?:the\s)?(?:exception|serial|s/?n\b|numbers?|unit\snumber"
    r"|machine\sn|following|models?\b|types?\b))[^,;.()]{1,80}?(?=[,;.()]|\sfrom\s|\sserial|$))",
    re.IGNORECASE,
)
EXCEPT = re.compile(
    r"[\s,;(]{0,3}\b(?:except(?:ing|ed)?(?:\sfor)?|excluding|excl\.|but\snot|not\sincluding|other\sthan|leaving\sout|omitting"
    r"|not(?=\s(?:for\s|nos?\.?\s|s/n\s|serial\s(?:nos?\.?\s|numbers?\s)?)?(?:[A-Z]{1,3}[ -]?)?[0-9])"
    r"|with\sthe\sexception\sof|außer|ausgenommen|sauf|eccetto|esclus[oaie]|salvo|excepto|utom|förutom|undantaget)\b:?\s{0,3}",
    re.IGNORECASE,
)


def kits_named(text: str) -> tuple[str, tuple[str, ...]]:
    """The text without its kit clauses, and the kits they name."""
    kits: list[str] = []
    for m in _KIT.finditer(text):
        kits += [p.strip() for p in re.split(r",\s|\s(?:or|and)\s(?:kit\s)?", m["parts"])]
    return _KIT.sub(" ; ", text), tuple(dict.fromkeys(kits))


def further_limits(text: str) -> tuple[str, tuple[str, ...]]:
    """The text without clauses such as `equipped with …`, and those clauses as doubts."""
    plain = _OPTION.sub(" ; ", text)
    limits = tuple(f"the units are limited further: “{m[0].strip(' ,')}”" for m in _FURTHER.finditer(plain))
    return _FURTHER.sub(" ; ", plain), limits
