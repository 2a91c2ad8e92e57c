// Runs in the page before the app: notes when a key was pressed, when core was asked and answered, when the margin was drawn and shown.
// With `__mainThread` set, core runs on the page's own thread instead of in a worker.
(() => {
  const now = () => performance.now();
  const isDraft = (text) => text.includes('"draft"');
  let times = {};
  let finish = () => {};

  window.__probe = {
    arm() {
      times = { before: margin() };
      window.__result = new Promise((resolve) => (finish = resolve));
    },
  };

  const margin = () => document.querySelector(".trial-margin strong")?.textContent ?? "";

  addEventListener("keydown", (event) => (times.key ??= event.timeStamp), true);

  new MutationObserver(() => {
    if (times.answered === undefined || times.drawn !== undefined || margin() === times.before) return;
    times.drawn = now();
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => {
        times.shown = now();
        finish(times);
      };
      port2.postMessage(null);
    });
  }).observe(document, { subtree: true, childList: true, characterData: true, attributes: true });

  const Real = window.Worker;

  class Watched extends Real {
    constructor(...given) {
      super(...given);
      this.addEventListener("message", ({ data }) => this.asked === data.number && (times.answered ??= now()));
    }
    postMessage(data) {
      if (isDraft(data.text)) {
        times.asked ??= now();
        this.asked = data.number;
      }
      super.postMessage(data);
    }
  }

  class OnThisThread extends EventTarget {
    starting = import("/static/js/core-start.js").then((module) => module.startCore());
    async postMessage({ number, text }) {
      const call = await this.starting;
      if (isDraft(text)) times.asked ??= now();
      const answer = call(text);
      if (isDraft(text)) times.answered ??= now();
      this.dispatchEvent(new MessageEvent("message", { data: { number, text: answer } }));
    }
    terminate() {}
  }

  window.Worker = window.__mainThread ? OnThisThread : Watched;
})();
