// Registers the service worker and offers a new version. It takes over only when the person says so.

/** @type {ServiceWorkerRegistration | null} */
let registration = null;
let asked = false;

/** @param {() => void} onReady told when a new version waits */
export async function watchForUpdates(onReady) {
  if (!navigator.serviceWorker) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => asked && location.reload());
  registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", () => isReady() && onReady());
  });
  if (isReady()) onReady();
}

/** A first install is no update: without a controller the page came from the network and is of that build. */
export function isReady() {
  return Boolean(registration?.waiting && navigator.serviceWorker.controller);
}

export function takeUpdate() {
  asked = true;
  registration?.waiting?.postMessage("take over");
}
