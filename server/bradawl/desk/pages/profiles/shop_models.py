"""The models that the shop remembers: a list, an editor, one begun from a visit, and a file."""

# No postponed annotations here: FastAPI reads those of the dependencies.
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request, Response

from bradawl.desk.model.profiles import shop_models as models
from bradawl.desk.model.profiles.figures import groups
from bradawl.desk.model.typed_values import Problems
from bradawl.desk.web import forms
from bradawl.desk.web.context import Desk, DeskHere, Writer
from bradawl.desk.web.inputs.shop_model import MORE_ROWS, model_typed
from bradawl.desk.web.rendering import render
from bradawl.desk.web.visit_page import VisitForm
from bradawl.judge.record.profile import WHERE
from bradawl.judge.record.shop_models import CHANCES, PATH
from bradawl.language import text

pages = APIRouter(prefix="/models")
taking = APIRouter(prefix="/visits/{visit}/profile")
NEW = "new"


@pages.get("")
def list_models(request: Request, desk: DeskHere) -> Response:
    return _list(request, desk, Problems())


@pages.get("/export")
def export_models(desk: DeskHere) -> Response:
    headers = {"Content-Disposition": 'attachment; filename="bradawl-models.json"'}
    return Response(models.exported(desk.log), media_type="application/json", headers=headers)


@pages.post("/import")
def import_models(request: Request, desk: DeskHere, form: forms.Posted, writer: Writer) -> Response:
    problems = Problems()
    puts: list[tuple[str, str, Any]] = []
    with problems.of("file"):
        puts = models.imported(desk.log, *forms.uploaded(form, "file"))
    if problems:
        return _list(request, desk, problems)
    if puts:
        desk.log.append_in(writer, puts)
    return forms.back("/desk/models")


@pages.get("/{name}")
def show_model(request: Request, desk: DeskHere, name: str, visit: str = "") -> Response:
    return _editor(request, desk, name, _standing(desk, name, visit), Problems())


@pages.post("/{name}")
def save_model(
    request: Request, desk: DeskHere, form: forms.Posted, writer: Writer, name: str
) -> Response:
    standing = _standing(desk, name, forms.text(form, "visit", 32))
    bundle = desk.bundle()
    shown = groups(bundle, standing.get("facts") or {})
    asked = {field.name for group in shown for field in group.fields}
    facts = standing.get("facts") or {}
    kept = {fact: value for fact, value in facts.items() if fact not in asked}
    problems = Problems()
    value = model_typed(form, shown, kept, _titles(bundle), problems)
    if not problems:
        with problems.of("make"):
            model = models.plain(models.checked(value))
            target = models.new_id() if name == NEW else name
            desk.log.append_in(writer, [(models.SHOP, PATH + target, model)])
            return forms.back("/desk/models")
    return _editor(request, desk, name, standing, problems, form)


@pages.post("/{name}/remove")
def remove_model(desk: DeskHere, writer: Writer, name: str) -> Response:
    """No visit loses what it took from the model."""
    if name not in models.models_of(desk.log):
        raise models.gone()
    desk.log.append_in(writer, [(models.SHOP, PATH + name, None)])
    return forms.back("/desk/models")


@taking.post("/take")
def take_model(posted: VisitForm) -> Response:
    found = models.fitting(posted.desk.log, posted.snapshot)
    if found is None:
        raise models.gone()
    return posted.record(models.taken(posted.snapshot, *found), "profile")


def _standing(desk: Desk, name: str, visit: str) -> Mapping[str, Any]:
    """The model as it stands; a new one is empty, or as the visit's car has it."""
    if name == NEW:
        if not visit:
            return {}
        asked = [f.name for group in groups(desk.bundle(), {}) for f in group.fields]
        return models.of_visit(desk.snapshot(visit), asked)
    found = models.models_of(desk.log).get(name)
    if found is None:
        raise models.gone()
    return models.plain(found)


def _titles(bundle: Mapping[str, Any]) -> dict[str, str]:
    return {item["id"]: item["title"] for item in bundle["items"]}


def _list(request: Request, desk: Desk, problems: Problems) -> Response:
    found = models.models_of(desk.log)
    return render(
        request,
        "profiles/models.html",
        status=422 if problems else 200,
        problems=problems,
        models=[(name, models.title(model), models.plain(model)) for name, model in found.items()],
    )


def _editor(
    request: Request,
    desk: Desk,
    name: str,
    standing: Mapping[str, Any],
    problems: Problems,
    typed: Mapping[str, Any] | None = None,
) -> Response:
    bundle = desk.bundle()
    titles = _titles(bundle)
    look = standing.get("look") or []
    empty = {"title": "", "note": "", "chance": None, "percent": None}
    rows = [{**empty, **row, "title": titles.get(row["item"], row["item"])} for row in look]
    rows += [{**empty, "chance": "sometimes"}] * MORE_ROWS
    called = f"{standing.get('make', '')} {standing.get('model', '')}".strip()
    return render(
        request,
        "profiles/model.html",
        status=422 if problems else 200,
        problems=problems,
        typed=typed or {},
        name=name,
        visit=request.query_params.get("visit") or (typed or {}).get("visit") or "",
        model=standing,
        called=called or text("desk-models-new"),
        groups=groups(bundle, standing.get("facts") or {}),
        where=WHERE,
        rows=rows,
        chances=list(CHANCES),
        titles=sorted(titles.values()),
    )
