// The code on a label, as rows of 0 and 1; core draws it.

import { encode } from "uqr";

/** What the code says. All in capitals: such a text takes the fewest modules, so that they are large enough on narrow tape. */
export function linkAddress(code) {
  return `${location.origin}/L/${code}`.toUpperCase();
}

/** @param {string} text @returns {string[]} error level M or better, without the quiet zone, which core keeps free */
export function matrixOf(text) {
  const { data } = encode(text, { ecc: "M", boostEcc: true, border: 0 });
  return data.map((row) => row.map((dark) => (dark ? "1" : "0")).join(""));
}
