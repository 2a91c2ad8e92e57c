/** Evidence -> core's report. The device keys' signatures are checked by the browser, everything else by core. */

import { checked, known } from "../key.js";

/**
 * @param {import("./evidence.js").Evidence} evidence
 * @param {{core: (op: string, payload: object) => Promise<any>}} app
 */
export async function report(evidence, app) {
  const seals = await app.core("seals", { texts: evidence.texts.map(([text]) => text) });
  const signatures = await checked(seals);
  const { texts, photos, problems, photos_expected, limits, notes } = evidence;
  const given = { texts, photos, problems, photos_expected, signatures, notes, keys: await known() };
  return app.core("verify", limits ? { ...given, limits } : given);
}
