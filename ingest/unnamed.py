"""Notes that named no units when they came, read again once a manual tells which words are models."""

from collections.abc import Collection

from benchleaf.graph.keys import key
from benchleaf.graph.store import HeldFile, Store
from benchleaf.ingest.reread import reread_files
from benchleaf.ingest.workers.ahead import Ahead


def name_units(store: Store, manuals: Collection[str], ahead: Ahead) -> int:
    """Read again the notes without models whose words hold a model of these manuals; how many changed.

    The order in which papers come must not matter: a bulletin is often added before the manual.
    """
    numbers = {key(n) for n in manuals}
    models = {key(m) for number, covered in store.covered() if key(number) in numbers for m in covered} - {""}
    unnamed = [n for n in store.notes() if n.file and not n.applies.models]
    files = {f.sha256: f for n in unnamed for f in store.files_of(n.number)}
    again = [f for f in files.values() if f.kind == "note" and _speaks_of(store, f, models)]
    return sum(told.outcome == "changed" for told in reread_files(ahead, again))


def _speaks_of(store: Store, file: HeldFile, models: Collection[str]) -> bool:
    document = store.document(file.sha256)
    words = key(" ".join(s.text for s in document.sheets)) if document else ""
    return any(model in words for model in models)
