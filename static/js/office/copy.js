/** A button that copies what stands in a field. Without it the field can still be selected, hence it is there only with a script. */

for (const button of document.querySelectorAll("[data-copy]")) {
  const field = document.getElementById(button.dataset.copy);
  button.hidden = false;
  button.addEventListener("click", () => copy(field, button));
  field.addEventListener("focus", () => field.select());
}

async function copy(field, button) {
  field.select();
  try {
    await navigator.clipboard.writeText(field.value);
    button.textContent = "Copied";
  } catch {
    // Without https a browser has no clipboard for pages: the address is selected, and its own menu copies.
    button.textContent = "Selected: copy it now";
  }
}
