// Finds a thing in what core shows of a book, and says how an entry about it names it.

/** @param {{fields: Record<string, {value: any}>}} thing */
export function nameOf(thing) {
  return thing.fields.name?.value ?? "";
}

/** What core shows of a book with the state of its links, which has to be worked out; an address can name a book not here. */
export const findBook = (book, app) => found("book", book, app);

/** The same without the links: for forms, which need names and corners only. */
export const findSite = (book, app) => found("site", book, app);

async function found(op, book, app) {
  const view = await app.core(op, { book });
  if (view.entries === 0) throw new Error("This site is not on this phone. Sign in to fetch it, or go back to the sites.");
  return view;
}

/**
 * @param {{book: string, kind: string, subject: string, link: string}} place `subject` is "new" for one that does not exist yet
 * @param {object} app
 * @returns {Promise<{site: object, link: object | null, thing: object | null}>}
 */
export async function findThing({ book, kind, subject, link: linkId }, app) {
  const site = await findSite(book, app);
  const ofLink = !["site", "building", "corner"].includes(kind);
  const link = ofLink ? await findLink({ book, kind, subject, linkId, site }, app) : null;
  const thing = subject === "new" ? null : pick({ kind, subject, site, link });
  if (!thing && subject !== "new") throw new Error("This is not in the book, or it was taken off. Go back and choose again.");
  return { site, link, thing };
}

async function findLink({ book, kind, subject, linkId, site }, app) {
  if (linkId) return app.core("link", { book, link: linkId });
  if (kind === "link") return null;
  const { links } = await findBook(book, app);
  for (const { id } of links) {
    const link = await app.core("link", { book, link: id });
    if (pick({ kind, subject, site, link })) return link;
  }
  throw new Error("The link that this belongs to is not in the book. Go back and open it from its link.");
}

function pick({ kind, subject, site, link }) {
  const among = {
    site: () => [site.site],
    building: () => site.buildings,
    corner: () => site.corners,
    link: () => [link],
    end: () => [link.ends.near, link.ends.far],
    station: () => link.stations,
    bond: () => link.bonds,
    protector: () => link.protectors,
    limit: () => [...link.limits, ...link.limits_taken_off, emptyLimit(subject)],
    load: () => link.loads,
    identifier: () => link.identifiers,
  };
  return among[kind]().find((thing) => thing?.subject === subject) ?? null;
}

/** A link has one limit of its own of a kind, so it has a place before it is typed. */
const emptyLimit = (subject) => ({ subject, kind: "limit", fields: {}, heads: [], created: null, withdrawn: null });

/**
 * What an entry about a thing carries besides its fields. A new thing is known by the id of its first entry: `write` fills it in.
 * @param {{kind: string, book: string, subject: string, link: string}} place
 */
export function identity({ kind, book, subject, link }) {
  if (kind === "site") return { subject: book };
  if (kind === "limit") return { subject, link, what: subject.slice(subject.lastIndexOf(":") + 1) };
  if (kind === "identifier") return { subject, link, what: subject.slice(subject.indexOf(":identifier:") + 12) };
  if (kind === "end") return { subject, link, side: subject.slice(subject.lastIndexOf(":") + 1) };
  const named = subject === "new" ? {} : { subject };
  return ["station", "bond", "protector", "load"].includes(kind) ? { ...named, link } : named;
}
