/** The page of a file that is being made: shows how far it is, and fetches the file once it is there. */

const EVERY_MS = 700;
const PATIENCE_MS = 4000;
const WANTED = "spanbook-wanted-file";

const { open, state: address, file } = document.getElementById("job").dataset;
const words = document.getElementById("words");
const bar = document.getElementById("progress");

if (open === "yes") look();
else fetchOnce();

async function look() {
  try {
    const answer = await fetch(address, { cache: "no-store" });
    const job = answer.ok && !answer.redirected ? await answer.json() : { open: false };
    if (!job.open) return finish(job);
    show(job);
    setTimeout(look, EVERY_MS);
  } catch {
    say("No answer from the server. This page goes on asking.");
    setTimeout(look, PATIENCE_MS);
  }
}

function show(job) {
  say(job.words);
  if (!job.total) return bar.removeAttribute("value");
  bar.max = job.total;
  bar.value = job.done;
}

/** Read out by screen readers, hence only when it changes. */
function say(text) {
  if (words.textContent !== text) words.textContent = text;
}

/** The page is loaded anew, so that it says how it ended, and fetches the file from there. */
function finish(job) {
  if (job.state === "done") sessionStorage.setItem(WANTED, file);
  location.reload();
}

function fetchOnce() {
  if (sessionStorage.getItem(WANTED) !== file) return;
  sessionStorage.removeItem(WANTED);
  location.assign(file);
}
