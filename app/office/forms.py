"""The office's forms. Each carries its write token."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import HiddenField, PasswordField, SelectField, StringField, SubmitField
from wtforms.fields import SelectChoice
from wtforms.validators import InputRequired, Length

from app.config import PASSWORD_LEAST_CHARACTERS, SHARE_NOTE_LONGEST

_ROLES = [SelectChoice("installer", "Installer"), SelectChoice("office", "Office: may also add people")]
_FILL_IN = InputRequired("Fill this in.")
_NEW_PASSWORD = Length(PASSWORD_LEAST_CHARACTERS, 200, f"Use {PASSWORD_LEAST_CHARACTERS} to 200 characters.")


class SignInForm(FlaskForm):
    """Name and password."""

    name = StringField("Name", [_FILL_IN, Length(max=200)], render_kw={"autocomplete": "username", "autocapitalize": "none"})
    password = PasswordField("Password", [_FILL_IN, Length(max=500)], render_kw={"autocomplete": "current-password"})
    next = HiddenField()
    submit = SubmitField("Sign in")


class PersonForm(FlaskForm):
    """A new person."""

    name = StringField("Name", [_FILL_IN, Length(1, 80, "Use up to 80 letters.")], render_kw={"autocomplete": "off"})
    password = PasswordField("First password", [_FILL_IN, _NEW_PASSWORD], render_kw={"autocomplete": "new-password"})
    role = SelectField("Works as", choices=_ROLES)
    submit = SubmitField("Add person")


class PasswordForm(FlaskForm):
    """A new password for someone."""

    password = PasswordField("New password", [_FILL_IN, _NEW_PASSWORD], render_kw={"autocomplete": "new-password"})
    submit = SubmitField("Change password")


class ShareForm(FlaskForm):
    """A link for a client."""

    for_whom = StringField(
        "For whom (a note for the office)", [Length(max=SHARE_NOTE_LONGEST)], render_kw={"autocomplete": "off"}
    )
    last_day = StringField("Last day (empty: until revoked)", [Length(max=40)], render_kw={"type": "date"})
    submit = SubmitField("Make a link for the client")


class WriteForm(FlaskForm):
    """A button that changes something, without fields of its own."""
