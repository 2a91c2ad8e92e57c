// Who is working here: signed in with the server, or for now just by name, so that a site without signal is no obstacle.

import { html, nothing } from "lit-html";
import * as net from "../net.js";

export async function load({ then = "/" }, app) {
  return { then, name: app.status.name, password: "", error: "", busy: false };
}

export function view(model, app) {
  const put = (name) => (event) => {
    model[name] = event.target.value;
  };
  return html`<form class="page form" novalidate @submit=${(event) => submit(event, model, app)}>
    <h1>Sign in</h1>
    <p>Your name goes into every entry that you make. Signing in lets this phone send them and fetch what others made.</p>
    ${model.error ? html`<p class="field-error" role="alert">${model.error}</p>` : nothing}
    <div class="field">
      <label for="name">Name</label>
      <input id="name" type="text" autocomplete="username" autocapitalize="words" .value=${model.name} @input=${put("name")} />
    </div>
    <div class="field">
      <label for="password">Password</label>
      <input id="password" type="password" autocomplete="current-password" .value=${model.password} @input=${put("password")} />
    </div>
    <div class="actions">
      <button type="button" class="second-action" @click=${() => goOn(model, app)}>Go on without signing in</button>
      <button class="main-action" ?disabled=${model.busy}>Sign in</button>
    </div>
  </form>`;
}

async function submit(event, model, app) {
  event.preventDefault();
  const name = model.name.trim();
  if (!name || !model.password) return refuse(model, "Name and password are both needed to sign in.", app);
  Object.assign(model, { busy: true, error: "" });
  app.redraw();
  try {
    const session = await net.signIn(name, model.password);
    Object.assign(app.status, { signedIn: true, online: true });
    await app.setName(session?.name ?? name);
  } catch (error) {
    model.busy = false;
    return refuse(model, reason(error), app);
  }
  app.sync.now();
  return app.replace(model.then);
}

function refuse(model, sentence, app) {
  model.error = sentence;
  app.redraw();
}

function reason(error) {
  if (error instanceof net.Offline)
    return `${error.message} You can go on without signing in; everything stays on this phone until you do.`;
  if (error.status === 401) return "Name and password don't belong together. Check both, and the capitals.";
  if (error.status === 429) return "Too many tries. Wait some minutes, then try again.";
  return error.message;
}

async function goOn(model, app) {
  const name = model.name.trim();
  if (!name) return refuse(model, "Write your name first: it goes into every entry that you make.", app);
  await app.setName(name);
  return app.replace(model.then);
}
