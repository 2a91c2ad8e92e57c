"""Signing in and out with a form; the same function as the phone's."""

from __future__ import annotations

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.office import blueprint
from app.office.forms import SignInForm
from app.sync import context, signing_in


def _after_sign_in(wanted: str | None) -> str:
    """Only to a page of the office itself, never to an address that someone put into a link."""
    if wanted and wanted.startswith("/office/") and not any(sign in wanted for sign in ("//", "\\", "\n", "\r")):
        return wanted
    return url_for("office.links")


@blueprint.route("/sign-in", methods=["GET", "POST"])
@signing_in.limited
def sign_in() -> str | Response | tuple[str, int]:
    """The sign-in page."""
    form = SignInForm()
    if request.method == "GET":
        form.next.data = request.args.get("next", "")
        if context.person():
            return redirect(url_for("office.links"))
        return render_template("office/sign_in.html", form=form, wrong=None)
    if not form.validate_on_submit():
        return render_template("office/sign_in.html", form=form, wrong=None), 400
    if signing_in.sign_in(form.name.data or "", form.password.data or "") is None:
        return render_template("office/sign_in.html", form=form, wrong=signing_in.WRONG), 401
    return redirect(_after_sign_in(form.next.data))


@blueprint.post("/sign-out")
def sign_out() -> Response:
    """End the session on this device."""
    signing_in.sign_out()
    return redirect(url_for("office.sign_in"))
