/** Where a limit comes from, and how sure that is. */

const SEEN_WORDS = {
  "2+": "seen in two or more public places",
  1: "seen in one public place",
  memory: "from memory, check your edition",
  practice: "common practice",
  typed: "typed in for this link",
};

/** "ISO/IEC 14763-3:2024, clause 5 (seen in one public place)"; empty without a source. */
export function sourceLine(source) {
  if (!source) return "";
  const { document: name, edition, clause, seen } = source;
  const dated = edition && !name.includes(edition) ? `${name}${/^\d+$/.test(edition) ? ":" : " "}${edition}` : name;
  const words = SEEN_WORDS[seen] ?? seen;
  const place = [dated, clause].filter(Boolean).join(", ");
  return place ? `${place} (${words})` : words;
}
