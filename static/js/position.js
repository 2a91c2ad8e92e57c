// A position averaged over some seconds. It is a hint beside photo and tape, and never claims to be better than it can be.

const LONGEST_MS = 25_000;
const ENOUGH_FIXES = 15;
const WORST_ACCURACY_M = 50;
const BEST_CLAIM_M = 3;
const DEGREE_STEPS = 10_000_000;

const REASONS = {
  1: "The browser may not read the position. Allow it in the phone's settings, or type the position by hand.",
  2: "No position could be found here. Step into the open and try again, or leave it out.",
  3: "No position came in time. Step into the open and try again, or leave it out.",
};

/**
 * @typedef {{latitude: number, longitude: number, accuracy: number}} Fix
 * @typedef {{lat: string, lon: string, accuracy: string, source: "gnss", fixes: string}} Position
 *
 * @param {(progress: {fixes: number, accuracy: string | null, rough: string | null}) => void} onProgress
 * @param {AbortSignal} [signal] stops early with what there is
 * @returns {Promise<Position>}
 */
export function read(onProgress = () => {}, signal = undefined) {
  if (!navigator.geolocation) return Promise.reject(new Error("This browser has no position. Type it by hand, or leave it out."));
  return new Promise((resolve, reject) => {
    /** @type {Fix[]} */
    const fixes = [];
    let rough = null;
    const watch = navigator.geolocation.watchPosition(onFix, onFault, {
      enableHighAccuracy: true,
      maximumAge: 0,
      timeout: LONGEST_MS,
    });
    const timer = setTimeout(end, LONGEST_MS);
    signal?.addEventListener("abort", end);

    function onFix({ coords }) {
      if (coords.accuracy <= WORST_ACCURACY_M) fixes.push(coords);
      else rough = wholeMetres(coords.accuracy);
      onProgress({ fixes: fixes.length, accuracy: fixes.length ? average(fixes).accuracy : null, rough });
      if (fixes.length >= ENOUGH_FIXES) end();
    }
    function onFault({ code }) {
      if (fixes.length === 0) finish(() => reject(new Error(REASONS[code] ?? REASONS[2])));
    }
    function end() {
      finish(() => (fixes.length > 0 ? resolve(average(fixes)) : reject(new Error(whyNone(rough, signal?.aborted)))));
    }
    function finish(then) {
      navigator.geolocation.clearWatch(watch);
      clearTimeout(timer);
      signal?.removeEventListener("abort", end);
      then();
    }
  });
}

function whyNone(rough, stopped) {
  if (rough)
    return `The phone only knew its place to about ${rough} m, too rough to be of use. Is precise location switched off?`;
  return stopped ? "Stopped before a position came." : REASONS[3];
}

/**
 * Mean of fixes weighted with 1/accuracy². Fixes of a few seconds share their errors, so the result claims no better than 3 m.
 * @param {Fix[]} fixes
 * @returns {Position}
 */
export function average(fixes) {
  let weights = 0;
  let lat = 0;
  let lon = 0;
  for (const fix of fixes) {
    const weight = 1 / Math.max(fix.accuracy, 1) ** 2;
    weights += weight;
    lat += weight * fix.latitude;
    lon += weight * fix.longitude;
  }
  const accuracy = wholeMetres(Math.max(BEST_CLAIM_M, 1 / Math.sqrt(weights)));
  return { lat: degrees(lat / weights), lon: degrees(lon / weights), accuracy, source: "gnss", fixes: String(fixes.length) };
}

function wholeMetres(length_m) {
  return String(Math.ceil(length_m));
}

/** Degrees as text with seven decimals (about a centimetre), built from a whole number of steps. */
function degrees(angle_deg) {
  const steps = Math.round(Math.abs(angle_deg) * DEGREE_STEPS);
  const whole = Math.floor(steps / DEGREE_STEPS);
  return `${angle_deg < 0 && steps > 0 ? "-" : ""}${whole}.${String(steps % DEGREE_STEPS).padStart(7, "0")}`;
}
