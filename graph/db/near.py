"""Near numbers: what may have been meant when a number is not held. They are offered, never taken.

Numbers are compared by their keys with look-alikes folded (O 0, I 1, S 5 …); the distance counts characters
left out, put in, mistaken, or swapped with their neighbour (optimal string alignment).
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Literal

from benchleaf.graph.db.modelsnamed import ModelsNamed
from benchleaf.graph.db.tables import HAS_MODELS, ODD_NUMBER, folded_by
from benchleaf.graph.keys import folded, key, natural

NumberKind = Literal["publication", "note", "page", "model"]

MOST = 10  # offers
SHORTEST = 4  # characters; shorter numbers are all near each other
LONG = 9  # characters from which two errors may still be the same number
MOST_CANDIDATES = 3000  # parts compared at two errors' distance
_SIGNS = "0123456789ACDEFHJKMNPRTUVWXY"  # what is left of letters and digits after folding


def one_error_away(number: str) -> frozenset[str]:
    """Every folded key that is one error away from a folded key, itself left out.

    >>> "441021" in one_error_away("44102"), "44012" in one_error_away("44102")
    (True, True)
    """
    cuts = [(number[:i], number[i:]) for i in range(len(number) + 1)]
    made = {a + b[1:] for a, b in cuts if b}
    made |= {a + b[1] + b[0] + b[2:] for a, b in cuts if len(b) > 1}
    made |= {a + sign + b[1:] for a, b in cuts if b for sign in _SIGNS}
    made |= {a + sign + b for a, b in cuts for sign in _SIGNS}
    return frozenset(made - {number})


class Near(ModelsNamed):
    """Offers numbers near to one that is not held."""

    def near_parts(self, part: str) -> tuple[str, ...]:
        """Part numbers, as printed, that may have been meant: look-alikes first, then those one error away,
        then those that the number as typed is a piece of, then (long numbers) those two errors away; ten at
        most."""
        asked = folded(part)
        if len(asked) < SHORTEST:
            return ()
        found: dict[str, str] = {}
        portions = (self._written({asked}), self._written(one_error_away(asked)), self._holding(asked))
        for portion in (*portions, self._two_errors_away(asked) if len(asked) >= LONG else {}):
            for joined, printed in sorted(portion.items(), key=lambda pair: natural(pair[1])):
                if joined != key(part):
                    found.setdefault(joined, printed)
        return tuple(found.values())[:MOST]

    def _written(self, numbers: Iterable[str]) -> dict[str, str]:
        """Key → as printed, of the parts with one of the folded keys; of mentions if no part has one."""
        wanted = json.dumps(sorted(numbers))
        sql = "SELECT part_key, printed FROM {} WHERE folded IN (SELECT value FROM json_each(?))"
        parts = {row["part_key"]: row["printed"] for row in self._rows(sql.format("part"), wanted)}
        items = self._rows(f"{sql.format('mention')} AND whole", wanted)
        return parts or {row["part_key"]: row["printed"] for row in items}

    def _holding(self, asked: str) -> dict[str, str]:
        """Key → as printed, of the parts that the folded key is a piece of, and of the numbers that hold it
        in an item."""
        sql = """SELECT part_key, printed FROM part WHERE id IN
                 (SELECT rowid FROM part_search WHERE folded MATCH ? LIMIT ?)"""
        found = self._rows(sql, f'"{asked}"', MOST)
        sql = """SELECT whole.part_key, whole.printed FROM mention AS piece
                 JOIN mention AS whole ON whole.item_id = piece.item_id AND whole.whole
                 WHERE piece.folded = ?1 AND instr(whole.folded, ?1) LIMIT ?2"""
        found += self._rows(sql, asked, MOST)
        return {row["part_key"]: row["printed"] for row in found}

    def _two_errors_away(self, asked: str) -> dict[str, str]:
        from rapidfuzz.distance import OSA

        pieces = self._rare_pieces(asked)
        if not pieces:
            return {}
        sql = """SELECT part_key, folded, printed FROM part WHERE id IN
                 (SELECT rowid FROM part_search WHERE folded MATCH ?)"""
        words = " OR ".join(f'"{piece}"' for piece in pieces)
        found = self._rows(sql, words)
        return {
            r["part_key"]: r["printed"]
            for r in found
            if OSA.distance(asked, r["folded"], score_cutoff=2) <= 2
        }

    def _rare_pieces(self, asked: str) -> list[str]:
        """The rarest three-character pieces of the number, as many as give a bounded number of candidates."""
        pieces = {asked[i : i + 3] for i in range(len(asked) - 2)}
        # the index holds its terms in lower case
        wanted = json.dumps(sorted(piece.lower() for piece in pieces))
        sql = "SELECT term, doc FROM part_terms WHERE term IN (SELECT value FROM json_each(?)) ORDER BY doc"
        kept: list[str] = []
        total = 0
        for row in self._rows(sql, wanted):
            total += row["doc"]
            if total > MOST_CANDIDATES:
                break
            kept.append(row["term"])
        return kept

    def near_numbers(self, kind: NumberKind, asked: str, within: str | None = None) -> tuple[str, ...]:
        """Held publication, note, page or model numbers near to the one asked, nearest first; ten at most.

        `within` is the publication whose pages are meant. A number that only lacks or adds separators, a
        prefix or a suffix is near too, and so are a page's neighbours in the publication.
        """
        if kind == "note" and len(folded(asked)) >= SHORTEST:
            return self._near_notes(folded(asked))
        held = sorted(dict.fromkeys(self._held_numbers(kind, within)), key=natural)
        ranks = {printed: _rank(folded(asked), folded(printed)) for printed in held}
        if kind == "page":
            ranks |= {printed: min(ranks[printed], 0.5) for printed in _neighbours(asked, held)}
        ranked = sorted((rank, natural(printed), printed) for printed, rank in ranks.items() if rank < _FAR)
        return tuple(printed for _, _, printed in ranked)[:MOST]

    def _near_notes(self, asked: str) -> tuple[str, ...]:
        """The same for notes, of which there may be a million: read along the index of their folded keys, the
        nearer ones first, until there are enough."""
        found: dict[str, float] = {}
        odd = self._odd_notes(asked)
        bound = 1 if len(asked) < LONG else 2
        for errors in range(bound + 1):
            for number in self._at(asked, errors):
                found.setdefault(number, float(errors))
            if len(found) >= MOST:
                return self._first(found, odd)
        pieces = {asked[i:j] for i in range(len(asked)) for j in range(i + 3, len(asked) + 1)}
        listed = f"SELECT DISTINCT {_FOLDED} FROM note INDEXED BY note_folded WHERE listing = 0 AND "
        inside = self._column(f"{listed} {_FOLDED} IN (SELECT value FROM json_each(?))", _json(pieces))
        around = self._column(f"{listed} instr({_FOLDED}, ?) LIMIT {_MOST_AROUND}", asked)
        for number in (*inside, *around):
            found.setdefault(number, bound + 1.0)
        return self._first(found, odd)

    def _at(self, asked: str, errors: int) -> Iterable[str]:
        """The folded keys of notes at so many errors, perhaps of nearer ones too: what is one error away is
        looked up, since there are only some hundred such keys."""
        if errors > 1:
            return self._within(asked, errors)
        return (near for near, _ in self._note_numbers(one_error_away(asked) if errors else (asked,)))

    def _within(self, asked: str, errors: int) -> Iterator[str]:
        """The folded keys of notes at no more than so many errors: from one that cannot become so, the index
        is entered again behind everything that begins like it."""
        at, trial = "", Trial(asked, errors)
        while (row := self._row(_NEXT_NOTE, at)) and row[0] is not None:
            dead = trial.dead_end(row[0])
            if dead is None:
                yield row[0]
            at = (
                row[0] + "\0"
                if dead is None or dead > len(row[0])
                else row[0][: dead - 1] + chr(ord(row[0][dead - 1]) + 1)
            )

    def _note_numbers(self, keys: Iterable[str]) -> list[tuple[str, str]]:
        """Folded key and number as printed, of the notes with one of the folded keys."""
        sql = f"""SELECT DISTINCT {_FOLDED} AS folded, number FROM note INDEXED BY note_folded
                  WHERE listing = 0 AND {_FOLDED} IN (SELECT value FROM json_each(?))"""
        return [(str(row["folded"]), str(row["number"])) for row in self._rows(sql, _json(keys))]

    def _first(self, found: Mapping[str, float], odd: dict[str, float]) -> tuple[str, ...]:
        ranks = {printed: found[near] for near, printed in self._note_numbers(found)} | odd
        ranked = sorted((rank, natural(printed), printed) for printed, rank in ranks.items())
        return tuple(printed for _, _, printed in ranked)[:MOST]

    def _odd_notes(self, asked: str) -> dict[str, float]:
        """The near notes with letters of other scripts in their numbers, which the index does not fold."""
        held = self._column(f"SELECT DISTINCT number FROM note WHERE listing = 0 AND {ODD_NUMBER}")
        ranks = {printed: _rank(asked, folded(printed)) for printed in held}
        return {printed: rank for printed, rank in ranks.items() if rank < _FAR}

    def _held_numbers(self, kind: NumberKind, within: str | None) -> Iterator[str]:
        match kind:
            case "publication":
                yield from self._column("SELECT DISTINCT number FROM publication")
            case "note":
                yield from self._column("SELECT DISTINCT number FROM note WHERE listing = 0")
            case "page":
                sql = """SELECT DISTINCT page FROM page JOIN publication ON publication.id = publication_id
                         WHERE ?1 IS NULL OR number_key = ?1"""
                yield from self._column(sql, None if within is None else key(within))
            case "model":
                yield from self._column("SELECT DISTINCT value FROM publication, json_each(models)")
                for table, where in (
                    ("note", HAS_MODELS),
                    ("statement", f"kind = 'override' AND {HAS_MODELS}"),
                ):
                    for _, models in self.first_models(table, where):
                        yield from models

    def _column(self, sql: str, *values: object) -> Iterator[str]:
        yield from (str(row[0]) for row in self._rows(sql, *values))


_FAR = 9.0
_MOST_AROUND = 100_000  # numbers that hold the one asked
_FOLDED = folded_by("number_key")
_NEXT_NOTE = f"SELECT min({_FOLDED}) FROM note INDEXED BY note_folded WHERE listing = 0 AND {_FOLDED} >= ?"


def _json(values: Iterable[str]) -> str:
    return json.dumps(sorted(values))


def dead_end(asked: str, held: str, errors: int) -> int | None:
    """None if `held` is at most so many errors from `asked`; else how many of its signs are enough to know
    that nothing that begins with them is, or more than it has signs, if something longer may be.

    >>> dead_end("44102", "44120", 1), dead_end("44102", "97000", 1), dead_end("44102", "441", 1)
    (None, 2, 4)
    """
    return Trial(asked, errors).dead_end(held)


class Trial:
    """One number tried against many in their order: what two of these begin with is worked out once."""

    def __init__(self, asked: str, errors: int) -> None:
        self.asked, self.errors, self.held = asked, errors, ""
        self.rows = [list(range(len(asked) + 1))]

    def dead_end(self, held: str) -> int | None:
        """As the function of that name."""
        at = 0
        while at < len(self.rows) - 1 and self.held[at : at + 1] == held[at : at + 1] != "":
            at += 1
        del self.rows[at + 1 :]
        self.held = held
        while at < len(held):
            at += 1
            self._add(at)
            if min(self.rows[at]) > self.errors and min(self.rows[at - 1]) + 1 > self.errors:
                return at
        return None if self.rows[-1][-1] <= self.errors else len(held) + 1

    def _add(self, at: int) -> None:
        """One row more of the distances: of so many signs held from each beginning of what is asked."""
        asked, held, row = self.asked, self.held, self.rows[-1]
        new, sign = [at], held[at - 1]
        for i, wanted in enumerate(asked):
            least = row[i] if sign == wanted else row[i] + 1
            least = min(least, row[i + 1] + 1, new[i] + 1)
            if at > 1 and i and sign == asked[i - 1] and held[at - 2] == wanted:
                least = min(least, self.rows[-2][i - 1] + 1)
            new.append(least)
        self.rows.append(new)


def _rank(asked: str, held: str) -> float:
    """How near two folded keys are: 0 the same but for look-alikes, `_FAR` or more not near at all."""
    from rapidfuzz.distance import OSA

    bound = 1 if len(asked) < LONG else 2
    distance = OSA.distance(asked, held, score_cutoff=bound)
    if distance <= bound:
        return float(distance)
    inside = bool(asked) and (asked in held or (len(held) > 2 and held in asked))
    return bound + 1.0 if inside else _FAR


def _neighbours(asked: str, held: list[str]) -> list[str]:
    """The page before and the page after the one asked, of the held pages in order."""
    before = [printed for printed in held if natural(printed) < natural(asked)][-1:]
    after = [printed for printed in held if natural(printed) > natural(asked)][:1]
    return before + after if asked.strip() else []
