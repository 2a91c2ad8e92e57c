// Starts everything. The two imports are late ones on purpose: a module that doesn't load (a torn download, an old browser) is then told, too.

import("./app.js")
  .then(({ start }) => start())
  .catch(tell);

async function tell(error) {
  console.error(error);
  try {
    const { showFault } = await import("./fault.js");
    showFault(error);
  } catch {
    document.getElementById("app").textContent =
      "Spanbook could not start, and what is missing could not be loaded. Open it again with a connection. What was saved is still on this phone.";
  }
}
