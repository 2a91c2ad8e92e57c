// Whether the browser may throw away what this phone keeps.

/**
 * Asks once to keep it for good. Never awaited on the way of a save: Firefox answers only when the person does.
 */
export function askToKeep() {
  navigator.storage?.persist?.().catch(() => {});
}

/** @returns {Promise<"kept" | "may be evicted" | "unknown">} */
export async function keeping() {
  if (!navigator.storage?.persisted) return "unknown";
  return (await navigator.storage.persisted()) ? "kept" : "may be evicted";
}

export const KEEPING_WORDS = {
  kept: "Kept for good on this phone.",
  "may be evicted":
    "The browser may clear this when the phone runs low on room. Installing the app on the home screen helps; sending is safest.",
  unknown: "This browser doesn't say how long it keeps things. Send what waits as soon as there is signal.",
};
