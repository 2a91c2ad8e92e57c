// What kind of picture bytes are, told by the bytes themselves.

/** The ending by the first bytes, as the office tells it. */
export function endingOf(bytes) {
  const start = String.fromCharCode(...bytes.subarray(0, 12)); // the browser's "latin1" is windows-1252
  if (start.startsWith("\xff\xd8\xff")) return "jpg";
  if (start.startsWith("\x89PNG\r\n\x1a\n")) return "png";
  if (start.startsWith("RIFF") && start.slice(8) === "WEBP") return "webp";
  return /^....ftyp(heic|heix|heim|heis|hevc|hevx|mif1|msf1)/s.test(start) ? "heic" : "bin";
}
