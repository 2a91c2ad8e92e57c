// A label was scanned: the browser opened /L/<code>, and the server or the kept app answered with the start page.

const SCANNED = /^\/L\/([0-9A-Fa-f]{12})$/;

/** Turns such an address into the screen that finds the link, so that going on and back works as from anywhere else. */
export function takeScannedAddress() {
  const [, code] = SCANNED.exec(location.pathname) ?? [];
  if (code) history.replaceState(null, "", `/#/l/${code}`);
}
