"""The people page, for those who work as office."""

from __future__ import annotations

from flask import abort, flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from app.office import blueprint
from app.office.forms import PasswordForm, PersonForm
from app.store import keys, people
from app.store.people import Person, PersonRefused
from app.sync import context


def _office_only() -> None:
    person = context.person()
    if person is None or person.role != "office":
        abort(403, "Only people who work as office may see and change people.")


def _person(number: int) -> Person:
    found = people.by_id(context.database(), number)
    return found or abort(404)


def _page(form: PersonForm, status: int = 200) -> tuple[str, int]:
    listed = people.everyone(context.database())
    held = keys.listed(context.database())
    password_form = PasswordForm(formdata=None)
    return render_template("office/people.html", people=listed, keys=held, form=form, password_form=password_form), status


@blueprint.get("/people")
def people_page() -> tuple[str, int]:
    """Who may sign in."""
    _office_only()
    return _page(PersonForm())


@blueprint.post("/people")
def add_person() -> tuple[str, int] | Response:
    """Add a person."""
    _office_only()
    form = PersonForm()
    if not form.validate_on_submit():
        return _page(form, 400)
    try:
        added = people.add(context.database(), form.name.data or "", form.password.data or "", form.role.data)
    except PersonRefused as refused:
        form.name.errors = [*form.name.errors, str(refused)]
        return _page(form, 400)
    flash(f"{added.name} may sign in now.")
    return redirect(url_for("office.people_page"))


@blueprint.post("/people/<int:number>/password")
def change_password(number: int) -> Response:
    """Give a person a new password; their old sessions end."""
    _office_only()
    person, form = _person(number), PasswordForm()
    if form.validate_on_submit():
        people.set_password(context.database(), person, form.password.data or "")
        flash(f"{person.name} has a new password and must sign in again.")
    else:
        flash(f"The password of {person.name} was not changed: {' '.join(form.password.errors)}")
    return redirect(url_for("office.people_page"))


@blueprint.post("/people/<int:number>/access/<word>")
def change_access(number: int, word: str) -> Response:
    """Stop or allow a person's access."""
    _office_only()
    if word not in ("stop", "allow"):
        abort(404)
    person = _person(number)
    try:
        people.set_active(context.database(), person, word == "allow")
        flash(f"{person.name} may {'sign in' if word == 'allow' else 'no longer sign in'}.")
    except PersonRefused as refused:
        flash(str(refused))
    return redirect(url_for("office.people_page"))


@blueprint.post("/people/keys/<thumbprint>/lost")
def report_key_lost(thumbprint: str) -> Response:
    """The phone that holds this key is lost: said beside every seal by it from now on."""
    _office_only()
    if not keys.report_lost(context.database(), thumbprint):
        abort(404)
    flash("The key is reported lost. Seals by it stay, and say so.")
    return redirect(url_for("office.people_page") + "#keys")
