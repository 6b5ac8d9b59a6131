"""The application, put together: the only module that knows every part."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

from fastapi import APIRouter, FastAPI
from fastapi.responses import RedirectResponse, Response

from bradawl import __version__
from bradawl.about.routes import router as about_router
from bradawl.access.core.models import desk_device
from bradawl.access.routes import desk_router as access_desk_router
from bradawl.access.routes import router as access_router
from bradawl.access.web.context import Parts as AccessParts
from bradawl.access.web.onboarding import check_router
from bradawl.common import errors, resources
from bradawl.common.reading import ReaderOfRequest
from bradawl.common.settings import Settings
from bradawl.desk.model.visits.summaries import Summaries
from bradawl.desk.routes import router as desk_router
from bradawl.desk.web.context import Desk
from bradawl.desk.web.rendering import error_page
from bradawl.inspection.snapshot import Snapshot
from bradawl.language import current
from bradawl.language.checklist_texts import texts_for
from bradawl.log.routes import router as log_router
from bradawl.operations.requests import RequestLog
from bradawl.report.jobs import ReportJobs
from bradawl.report.routes import ReportDesk
from bradawl.report.routes import router as report_router
from bradawl.serving import build_cache, offline, report_api
from bradawl.serving.app_files import AppFiles
from bradawl.serving.backups.health import standing_of
from bradawl.serving.check_page import router as check_page_router
from bradawl.serving.core import REPORTS, Bradawl, today
from bradawl.serving.gateway import APP

if TYPE_CHECKING:
    from bradawl.access.lan import Lan  # its libraries are slow to load


def _desk(core: Bradawl) -> Desk:
    """The desk over this server's collaborators."""
    photos_missing = core.log.photos.not_arrived

    def snapshot(visit: str) -> Snapshot:
        return core.snapshot(visit, lambda currency: summaries.experience().shifts(currency))

    summaries = Summaries(core.log, snapshot, today, photos_missing, cache=core.summary_cache())
    core.on_erased.append(summaries.forget)
    return Desk(
        snapshots=snapshot,
        log=core.log,
        summaries=summaries,
        person=core.access.person,
        owner=core.access.confirmed_owner,
        is_owner=lambda person: person.role == "owner",
        device_of=lambda person: desk_device(person.id),
        name_of=lambda device: core.access.name_of_device(core.log.stands_for(device)),
        verify=core.verify,
        photos_missing=photos_missing,
        checklists=core.adapted_checklists,
        note=core.access.note_act,
        health=lambda: standing_of(core.settings),
        waiting=core.waiting,
        bundle=lambda: texts_for(core.checklists_in_use().shared_value, current().locale).bundle,
        today=today,
    )


def create_app(settings: Settings, lan: Lan | None = None) -> FastAPI:
    """The web application over one data folder, guarded; `lan` in a workshop's network."""
    app = assemble(settings, lan)
    app.state.core.access.guard(app)
    app.add_middleware(RequestLog)
    app.add_middleware(ReaderOfRequest, region=lambda: settings.now().region)
    return app


def assemble(settings: Settings, lan: Lan | None = None) -> FastAPI:
    """The same behind `serving/gateway.py`, which has the guard around it. Raises StartError."""
    core = Bradawl(settings, lan)

    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        yield
        jobs.close()
        core.close()

    app = FastAPI(
        title="Bradawl",
        version=__version__,
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/v1/openapi.json",
        # What access answers before any route is reached.
        responses=errors.documented(403, 413, 421),
    )
    app.state.core = core
    errors.install(app, error_page)
    jobs = ReportJobs(settings.data / REPORTS, ordered=core.log.ordered)
    core.on_erased.append(jobs.forget)
    for router in _routers(core, jobs, lan):
        app.include_router(router)
    app.mount(APP, AppFiles(resources.path_of("web")), name="app")

    @app.get("/", include_in_schema=False)
    def front() -> Response:
        return RedirectResponse("/desk/")

    core.access.limit_bodies(app)
    return app


def _routers(core: Bradawl, jobs: ReportJobs, lan: Lan | None) -> Iterator[APIRouter]:
    """The routes of every part, over this server's collaborators."""
    yield access_router(core.access)
    yield access_desk_router(
        AccessParts(
            core.access,
            title_of=core.title_of,
            report=core.shared_report,
            forgetting=core.forgetting,
            held=core.log.held,
            backup=core.backups.download,
            backup_state=core.backups.state,
            health=lambda: standing_of(core.settings),
            signers=core.signers,
            keys=core.settings.keys,
            settings=core.settings,
            phones_begin=lambda: (
                (lan.first_address, lan.standing.authority.fingerprint) if lan else ("", "")
            ),
            # a sample has none of its own
            sample=None if os.environ.get("BRADAWL_SAMPLE_OF") else core.sample,
            letterhead=lambda: core.letterhead().as_value(),
            keep_letterhead=core.keep_letterhead,
        )
    )
    yield check_page_router(core.check_page())
    yield check_router(lan)
    yield log_router(core.log, core.access.device)
    judge = build_cache.judge(core.settings.data / build_cache.FOLDER)
    yield offline.router(
        offline.Documents(judge, core.checklists_in_use, core.log.bundle, core.checklists)
    )
    yield report_api.router(core.snapshot, core.write_report, core.access.person)
    yield report_router(
        ReportDesk(
            core.snapshot,
            core.write_report,
            report_api.file_name,
            core.signer,
            core.verify,
            jobs,
            core.access.person,
        )
    )
    yield desk_router(_desk(core))
    yield about_router()
