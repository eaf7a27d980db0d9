"""The models that notes and their statements name, found without looking at every one of these."""

import json
from collections.abc import Iterator

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.db.tables import FIRST_MODELS


class ModelsNamed(OpenStore):
    """Skips through the indexes of the lists of models: there are few lists, however many notes name them."""

    def first_models(self, table: str, where: str) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Each beginning of an applicability as the index has it, with the models that it names; `table` is
        note or statement, `where` the condition of its index."""
        sql = f"SELECT min({FIRST_MODELS}) AS first FROM {table} INDEXED BY {table}_models WHERE {where}"
        row = self._row(sql)
        while row is not None and row["first"] is not None:
            first = str(row["first"])
            yield first, self._models_of(first, table, where)
            row = self._row(f"{sql} AND {FIRST_MODELS} > ?", first)

    def _models_of(self, first: str, table: str, where: str) -> tuple[str, ...]:
        try:
            return tuple(json.loads(f"{first}}}")["models"])
        except ValueError:  # a bracket within a name: the text breaks off there
            sql = f"SELECT DISTINCT applies FROM {table} WHERE {where} AND {FIRST_MODELS} = ?"
            whole = [json.loads(row["applies"])["models"] for row in self._rows(sql, first)]
            return tuple(dict.fromkeys(model for models in whole for model in models))
