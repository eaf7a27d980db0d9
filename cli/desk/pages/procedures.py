"""The procedure in force for a unit, the kits at hand and a date."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.cli.desk.show import DeskStore, again, asked, day_asked, desk, download, store
from benchleaf.cli.sheets.files import file_name
from benchleaf.cli.sheets.procedureview import procedure_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.graph.keys import key
from benchleaf.graph.procedure import ProcedureAnswer, ProcedureQuestion, procedure_answer
from flask import Blueprint, render_template
from werkzeug.wrappers import Response as AnyResponse

blueprint = Blueprint("procedures", __name__)
FIELDS = ("publication", "page", "section", "model", "serial", "kits", "on", "built", "pictures")
_KITS = re.compile(r"[,;\n]")


def question_asked() -> ProcedureQuestion:
    """The question as the form has it; without a date the papers as they stand today."""
    kits = tuple(k.strip() for k in _KITS.split(asked("kits") or "") if k.strip())
    return ProcedureQuestion(
        publication=asked("publication"),
        page=asked("page"),
        section=asked("section"),
        model=asked("model"),
        serial=asked("serial"),
        kits=kits,
        on=day_asked("on") or desk().today(),
        built=day_asked("built"),
    )


def in_one_book(held: DeskStore, question: ProcedureQuestion) -> ProcedureQuestion:
    """The same question with the publication named, where just one covers the model, in every edition held:
    the others need not be opened then."""
    if question.publication is not None or question.model is None:
        return question
    books: dict[str, list[bool]] = {}
    for number, models in held.covered():
        books.setdefault(number, []).append(key(question.model) in {key(m) for m in models})
    covering = [number for number, covers in books.items() if any(covers)]
    if len(covering) == 1 and all(books[covering[0]]):
        return replace(question, publication=covering[0])
    return question


@blueprint.get("/procedure")
def procedure() -> str:
    """The form, and beneath it the steps in force."""
    held = store()
    question = question_asked()
    pictures = asked("pictures") is not None
    view = None
    if question.publication or question.model:
        view = procedure_view(held, procedure_answer(held, in_one_book(held, question)), pictures=pictures)
    return render_template(
        "procedure_desk.html",
        q=question,
        on=asked("on"),
        pictures=pictures,
        publications=tuple(dict.fromkeys(b.number for b in held.book_heads())),
        models=held.models_held(),
        procedure=view,
        sheet_at=again("procedures.procedure_sheet", *FIELDS),
    )


@blueprint.get("/sheet/procedure")
def procedure_sheet() -> AnyResponse:
    """The same as a sheet to work by: one file, whole in itself."""
    held, question = store(), question_asked()
    answer = procedure_answer(held, in_one_book(held, question))
    view = procedure_view(held, answer, pictures=asked("pictures") is not None)
    made = stamp(held, considered(answer), desk().today())
    named = ("procedure", question.model, question.serial, question.publication, question.page)
    name = file_name(" ".join(w for w in (*named, question.section) if w))
    return download(sheet("procedure.html", stamp=made, procedure=view), name)


def considered(answer: ProcedureAnswer) -> Sequence[str]:
    """The notes that were considered: those that changed a step, and those left out."""
    return [n for s in answer.steps for n in s.changed_by] + [n.note for n in answer.left_out]
