// A new site with its two buildings, in one go: a link needs both, and this is where the person stands.

import { html, nothing } from "lit-html";
import * as forms from "../form.js";
import { fieldInput } from "../parts/fields.js";

const SITE_FIELDS = ["name", "client", "place", "job", "installer"];
const BUILDING_FIELDS = ["name", "position", "earthing"];
const BUILDINGS = [
  ["near", "Near building"],
  ["far", "Far building"],
];

export async function load(_params, app) {
  const { kinds } = app.describe;
  const form = await forms.openForm({ key: "new-book" }, app);
  return {
    form,
    groups: [
      { id: "site", kind: "site", title: "", fields: named(kinds.site, SITE_FIELDS) },
      ...BUILDINGS.map(([id, title]) => ({ id, kind: "building", title, fields: building(kinds.building, title) })),
    ],
  };
}

function named(fields, names) {
  return names.map((name) => fields.find((field) => field.name === name)).filter(Boolean);
}

/** The name's label says which of the two buildings it is of, so that each can be told apart. */
function building(fields, title) {
  return named(fields, BUILDING_FIELDS).map((field) => ({
    ...field,
    label: field.name === "name" ? title : `${field.label}, ${title.toLowerCase()}`,
  }));
}

export function view(model, app) {
  const { form, groups } = model;
  return html`<form class="page form" novalidate @submit=${(event) => submit(event, model, app)}>
    <h1>New site</h1>
    ${form.errors[""] ? html`<p class="field-error" role="alert">${form.errors[""]}</p>` : nothing}
    ${groups.map((group) => groupView(group, form, app))}
    <div class="actions">
      <button type="button" class="second-action" @click=${app.back}>Back</button>
      <button class="main-action" ?disabled=${form.saving}>Save site</button>
    </div>
  </form>`;
}

function groupView(group, form, app) {
  return html`<section class="form-group">
    ${group.title ? html`<h2>${group.title}</h2>` : nothing}
    ${keyed(group).map((field) =>
      fieldInput({
        field,
        value: forms.valueOf(form, field.name),
        onChange: (value) => forms.touch(form, field.name, value, app),
        error: form.errors[field.name],
        id: `field-${field.name}`,
      }),
    )}
  </section>`;
}

/** The form holds all three things side by side, so their fields go by "near.name". */
function keyed({ id, fields }) {
  return fields.map((field) => ({ ...field, name: `${id}.${field.name}` }));
}

async function submit(event, model, app) {
  event.preventDefault();
  const { form, groups } = model;
  form.errors = forms.missing(form, groups.flatMap(keyed));
  if (Object.keys(form.errors).length > 0) return showErrors(app);
  form.saving = true;
  app.redraw();
  const book = app.newId();
  try {
    await app.writeAll(
      book,
      groups.map((group) => entryOf(group, form, book)),
    );
  } catch (error) {
    form.errors = { [owner(error, model)]: forms.worded(error, null) };
    form.saving = false;
    return showErrors(app);
  }
  await forms.dropDraft(form, app);
  app.say("Site saved on this phone", "good");
  return app.replace(`/book/${book}`);
}

function entryOf({ id, kind, fields }, form, book) {
  const found = forms.changes(form, keyed({ id, fields }));
  const body = Object.fromEntries(Object.entries(found).map(([name, value]) => [name.slice(id.length + 1), value]));
  return { kind, body: kind === "site" ? { subject: book, ...body } : body };
}

/** Core names a field, not which of the three things it is of: the first one that has it filled in is shown. */
function owner(error, { form, groups }) {
  for (const { id, fields } of groups) {
    const name = forms.fieldOf(error, fields);
    if (name && `${id}.${name}` in form.touched) return `${id}.${name}`;
  }
  return "";
}

function showErrors(app) {
  app.redraw();
  forms.focusFirstError();
}
