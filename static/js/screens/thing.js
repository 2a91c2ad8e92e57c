// The form of any thing: site, building, corner, link, end, station, bond, protector. Made from core's description of its fields.

import { html, nothing } from "lit-html";
import * as forms from "../form.js";
import { caution, cautionsFor } from "../parts/cautions.js";
import { fieldInput, resolveField } from "../parts/fields.js";
import { divided } from "../parts/groups.js";
import { choiceAbout, choicesOf } from "../parts/limit_choice.js";
import { limitAbout } from "../parts/own_limits.js";
import { settling, showSettling } from "../parts/settling.js";
import { withdrawing } from "../parts/withdrawing.js";
import { findThing, identity, nameOf } from "../things.js";

const TITLES = {
  site: "Site",
  building: "Building",
  corner: "Corner for ties",
  link: "Link",
  end: "End of the link",
  station: "Station",
  bond: "Bond",
  protector: "Surge protector",
  limit: "Own limit",
  load: "Load",
  identifier: "Identifier",
};

export async function load({ book, kind, subject, link: linkId = "", then = "", at = "", ...defaults }, app) {
  const fields = app.describe.kinds[kind];
  if (!fields) throw new Error(`There is no form for "${kind}".`);
  const place = { book, kind, subject, link: linkId || (kind === "link" && subject !== "new" ? subject : "") };
  const { site, link, thing } = await findThing(place, app);
  const given = thing ? {} : startValues({ kind, fields, defaults, site, app });
  const key = keyOf({ book, kind, subject, linkId, defaults });
  const form = await forms.openForm({ key, stored: thing?.fields, defaults: given }, app);
  if (at) showSettling(at);
  return {
    ...place,
    link: link?.id ?? "",
    side: defaults.side,
    then,
    site,
    linkView: link,
    choices: await choicesOf(kind, app),
    thing,
    fields,
    form,
    title: kind === "limit" ? `Own limit: ${limitAbout(subject, app)?.label ?? ""}` : titleOf(kind, thing, defaults),
  };
}

/** A new thing's draft belongs to its place: what was begun at one side, or between two stations, doesn't turn up at another. */
function keyOf({ book, kind, subject, linkId, defaults }) {
  if (kind === "station" && subject === "new") return forms.newStationKey(book, linkId, defaults.order ?? "");
  return `thing:${book}:${kind}:${subject}:${linkId}:${kind === "end" ? "" : (defaults.side ?? defaults.type ?? "")}`;
}

function titleOf(kind, thing, { side }) {
  if (kind === "end") return side === "far" || thing?.subject.endsWith(":far") ? "Far end" : "Near end";
  if (kind === "identifier") return "Identifier on a label";
  return thing ? `${TITLES[kind]}: ${nameOf(thing) || "without a name"}` : `New ${TITLES[kind].toLowerCase()}`;
}

/** What the address gives, and what can be told beforehand: two buildings are the link's two ends. */
function startValues({ kind, fields, defaults, site, app }) {
  const names = fields.map(({ name }) => name);
  const given = Object.fromEntries(Object.entries(defaults).filter(([name]) => names.includes(name)));
  if (kind === "link" && site.buildings.length === 2) {
    const [near_building, far_building] = site.buildings.map((building) => building.subject);
    Object.assign(given, { near_building, far_building, ...given });
  }
  return kind === "link" ? withLimits(given, given.medium, app) : given;
}

/** A link is judged by an edition that is named in it from the start; the first of its kind is the default. */
function withLimits(values, medium, app) {
  const [first] = app.describe.words.limit_sets?.[medium] ?? [];
  return first ? { ...values, limit_set: first[0] } : values;
}

export function view(model, app) {
  const { form } = model;
  const value = (name) => forms.valueOf(form, name);
  return html`<form class="page form" novalidate @submit=${(event) => submit(event, model, app)}>
    <h1>${model.title}</h1>
    ${caution(cautionsFor(model.kind, { type: value("type"), medium: mediumOf(model), laying: value("laying"), feeding: value("feeding") }))}
    ${form.errors[""] ? html`<p class="field-error" role="alert">${form.errors[""]}</p>` : nothing}
    ${divided(model.kind, shownFields(model, app)).map(([title, fields]) => group(title, fields, model, app))}
    ${model.thing && model.thing.created ? withdrawing(model, () => withdraw(model, app), app) : nothing}
    <div class="actions">
      <button type="button" class="second-action" @click=${app.back}>Back</button>
      <button class="main-action" ?disabled=${form.saving}>Save ${TITLES[model.kind].toLowerCase()}</button>
    </div>
  </form>`;
}

function group(title, fields, model, app) {
  return html`<section class="form-group">
    ${title ? html`<h2>${title}</h2>` : nothing} ${fields.map((field) => oneField(field, model, app))}
  </section>`;
}

function oneField(described, model, app) {
  const { form } = model;
  const field = { ...resolveField(described, known(model, app)), addHref: addHref(described, model) };
  const onChange = (value) => change(field, value, model, app);
  const value = forms.valueOf(form, field.name);
  return html`${settling({ field, stored: form.stored[field.name], touched: field.name in form.touched, onChange })}
  ${fieldInput({ field, value, onChange, error: form.errors[field.name], id: `field-${field.name}` })}
  ${choiceAbout(field, value, model.choices)}`;
}

function change(field, value, model, app) {
  if (field.name === "medium") Object.assign(model.form.touched, withLimits({}, value, app));
  forms.touch(model.form, field.name, value, app);
}

function known({ site, form, subject, ...model }, app) {
  const pairs = (things) => things.map((thing) => [thing.subject, nameOf(thing) || "without a name"]);
  const { corners, buildings } = site;
  return {
    words: app.describe.words,
    medium: mediumOf({ form, ...model }),
    buildings: pairs(buildings),
    corners: pairs(corners),
    units: limitAbout(subject, app)?.units,
  };
}

function addHref({ type, of }, { book }) {
  const kind = type === "ties" ? "corner" : type === "reference" ? of : null;
  return kind ? `#/book/${book}/edit/${kind}/new?then=${encodeURIComponent(location.hash.slice(1))}` : null;
}

function mediumOf({ kind, form, linkView }) {
  return kind === "link" ? forms.valueOf(form, "medium") : linkView?.medium;
}

/** What is asked for this kind of link and this type of station. */
function shownFields(model, app) {
  const medium = mediumOf(model);
  const type = forms.valueOf(model.form, "type");
  return model.fields.filter(
    (field) =>
      !field.hidden &&
      (!field.media || field.media.includes(medium)) &&
      (!field.types || field.types.includes(type)) &&
      (!field.words_from || resolveField(field, { words: app.describe.words, medium }).words.length > 0),
  );
}

async function submit(event, model, app) {
  event.preventDefault();
  const { form } = model;
  const fields = shownFields(model, app);
  form.errors = forms.missing(form, fields);
  if (Object.keys(form.errors).length > 0) return showErrors(app);
  const hidden = model.fields.filter((field) => field.hidden);
  const body = { ...forms.changes(form, [...fields, ...hidden]), ...(model.thing?.withdrawn ? { withdrawn: null } : {}) };
  if (model.thing?.created && Object.keys(body).length === 0) return leave(model, model.subject, "Nothing was changed", app);
  return keep(model, body, { fields, sentence: "Saved on this phone" }, app);
}

async function keep(model, body, { fields, sentence }, app) {
  const { book, kind, form, thing } = model;
  form.saving = true;
  app.redraw();
  try {
    const id = await app.write(book, kind, { ...identity(model), ...body }, thing?.heads ?? []);
    await leave(model, body.withdrawn ? null : (thing?.subject ?? id), sentence, app);
  } catch (error) {
    const name = forms.fieldOf(error, fields);
    form.errors = { [name ?? ""]: forms.worded(error, name) };
    form.saving = false;
    showErrors(app);
  }
}

async function withdraw(model, app) {
  const reason = (model.form.reason ?? "").trim();
  if (!reason) {
    model.form.errors = { withdrawn: "Say why: the entry stays in the book and is read later." };
    return showErrors(app);
  }
  return keep(
    model,
    { withdrawn: reason },
    { fields: [{ name: "withdrawn", type: "lines" }], sentence: "Taken off; its entries stay in the book" },
    app,
  );
}

function showErrors(app) {
  app.redraw();
  forms.focusFirstError();
}

/** @param {string | null} subject what was saved, or null when it was taken off */
async function leave(model, subject, sentence, app) {
  const { book, kind, form, then } = model;
  app.say(sentence, "good");
  await forms.dropDraft(form, app);
  const link = kind === "link" ? subject : model.link;
  app.replace(then || (link ? `/book/${book}/link/${link}` : `/book/${book}`));
}
