/* Search without a server. A page opened from a folder or a USB stick (file://) may not start a Worker, so here its
   script runs in a hidden frame instead, which is allowed. Pages from a server are left alone.

   Messages go both ways as they would with a Worker: `postMessage` in, `message` events out, in order, and those sent
   before the script is there wait for it. */
(() => {
  "use strict";
  if (location.protocol !== "file:") return;

  /* What the script finds around it in the frame: the few names of a Worker that it needs. */
  const surroundings = (number) => `
    const answer = parent.IFrameWorker.open.get(${number});
    self.postMessage = (data) => answer.said(data);
    self.importScripts = (...addresses) => addresses.reduce((before, address) => before.then(() => new Promise((loaded, failed) => {
      const script = document.createElement("script");
      script.src = address;
      script.onload = () => loaded();
      script.onerror = () => failed(new Error("This script could not be read: " + address));
      document.head.append(script);
    })), Promise.resolve());
    addEventListener("error", (event) => answer.failed(event.message));
    addEventListener("unhandledrejection", (event) => answer.failed(String(event.reason)));
  `;

  class IFrameWorker extends EventTarget {
    /** Workers that run, by number: how a frame finds the one it belongs to. */
    static open = new Map();
    static #count = 0;

    #number = IFrameWorker.#count++;
    #frame = document.createElement("iframe");
    #waiting = [];
    #isReady = false;

    onmessage = null;
    onerror = null;

    constructor(address) {
      super();
      const absolute = new URL(address, document.baseURI).href;
      IFrameWorker.open.set(this.#number, {
        said: (data) => this.#tell(new MessageEvent("message", { data })),
        failed: (message) => this.#tell(new ErrorEvent("error", { message })),
      });
      this.#frame.hidden = true;
      this.#frame.title = "Search";
      this.#frame.srcdoc = "<!doctype html><title>Search</title>";
      this.#frame.addEventListener("load", () => this.#run(absolute), { once: true });
      document.documentElement.append(this.#frame);
    }

    postMessage(data) {
      if (this.#isReady) this.#hand(data);
      else this.#waiting.push(data);
    }

    terminate() {
      IFrameWorker.open.delete(this.#number);
      this.#frame.remove();
      this.#waiting = [];
      this.#isReady = false;
    }

    #run(address) {
      const inside = this.#frame.contentDocument;
      const first = inside.createElement("script");
      first.textContent = surroundings(this.#number);
      const script = inside.createElement("script");
      script.src = address;
      script.addEventListener("load", () => {
        this.#isReady = true;
        this.#waiting.splice(0).forEach((data) => this.#hand(data));
      });
      script.addEventListener("error", () => {
        this.#tell(new ErrorEvent("error", { message: `This script could not be read: ${address}` }));
      });
      inside.head.append(first, script);
    }

    #hand(data) {
      const view = this.#frame.contentWindow;
      view.dispatchEvent(new view.MessageEvent("message", { data }));
    }

    /* Never at once: whoever sends a message does not expect the answer before its own next line. */
    #tell(event) {
      queueMicrotask(() => {
        this.dispatchEvent(event);
        this[`on${event.type}`]?.call(this, event);
      });
    }
  }

  window.IFrameWorker = IFrameWorker;
  window.Worker = IFrameWorker;
})();
