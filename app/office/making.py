"""Record and handover package as files: asked for on the link page, made in the background, fetched by who asked."""

from __future__ import annotations

from typing import Any

from flask import Response, abort, current_app, redirect, render_template, request, send_file, url_for
from werkzeug.wrappers import Response as AnyResponse

from app.office import blueprint, jobs, orders
from app.office.asking import asked
from app.office.jobs import Job, Jobs
from app.sync import context

# So long a button waits for its file; what takes longer shows its progress.
_AT_ONCE_SECONDS = 1.5


def all_jobs() -> Jobs:
    """The jobs of this server."""
    held: Jobs = current_app.extensions["spanbook_jobs"]
    return held


def _owner() -> str:
    """Whose jobs the person of this request may see."""
    person = context.person()
    assert person
    return f"person {person.id}"


@blueprint.post("/links/<book>/<link>/make")
def make_file(book: str, link: str) -> AnyResponse | tuple[str, int]:
    """Begin a record or a package: a short one comes at once, a long one shows its progress."""
    what, paper = request.form.get("what"), request.form.get("paper", "a4")
    if what not in ("record", "package") or paper not in orders.PAPERS:
        abort(404)
    view = asked(book, lambda core: core("link", link=link))
    if what == "package":
        order = orders.package(book, view, paper)
    else:
        order = orders.record(book, view, paper, request.form.get("working") == "yes")
    try:
        job = all_jobs().start(_owner(), order)
    except jobs.Busy as busy:
        return render_template("office/busy.html", message=str(busy), book=book, link=link), 429
    job.back = url_for("office.link_page", book=book, link=link)
    job.ended.wait(_AT_ONCE_SECONDS)
    return redirect(url_for("office.job_file" if job.state == jobs.DONE else "office.job_page", id=job.id), 303)


def _own(id: str) -> Job:
    return all_jobs().find(_owner(), id) or abort(404)


@blueprint.get("/jobs/<id>")
def job_page(id: str) -> str:
    """How far a job is; loaded anew every two seconds where scripts are off."""
    job = _own(id)
    size = job.path.stat().st_size if job.state == jobs.DONE else 0
    return render_template("office/job.html", job=job, size=size)


@blueprint.get("/jobs/<id>/state")
def job_state(id: str) -> dict[str, Any]:
    """The same for the page's script."""
    job = _own(id)
    return {"open": job.is_open, "state": job.state, "words": job.words, "done": job.done, "total": job.total}


@blueprint.get("/jobs/<id>/file")
def job_file(id: str) -> Response:
    """What was made, to be kept as a file."""
    job = _own(id)
    if job.state != jobs.DONE:
        abort(404)
    response = send_file(job.path, job.order.media_type, as_attachment=True, download_name=job.order.file_name, etag=False)
    response.headers["Cache-Control"] = "no-store"
    return response


@blueprint.post("/jobs/<id>/stop")
def stop_job(id: str) -> AnyResponse:
    """End a job."""
    job = _own(id)
    all_jobs().stop(job)
    return redirect(job.back or url_for("office.links"), 303)
