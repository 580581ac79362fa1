// Runs before a page's own scripts, and in its worker: what a browser runs in a later task comes later still, each
// kind by a time of its own, in the order in which it came. What a browser runs at once (click, input, a box that is
// ticked, MutationObserver) stays at once; so does `success` of a transaction that writes, which would end meanwhile.
(() => {
  if (globalThis.isTardy) return; // once is enough
  globalThis.isTardy = true;
  const wait = setTimeout.bind(globalThis); // the browser's: a test's clock will take its place
  const now = performance.now.bind(performance);
  const pause = (ms) => new Promise((done) => wait(done, ms));
  const isPage = "window" in globalThis;
  const given = new WeakSet();

  /** Listens before anybody else does, stops what comes, and gives it once more, later. */
  const hold = (place, kind, ms, isLate = () => true) =>
    place?.addEventListener(
      kind,
      (event) => {
        if (given.has(event) || !isLate(event)) return;
        event.stopImmediatePropagation();
        const again = new event.constructor(kind, event);
        given.add(again);
        const { target } = event;
        wait(() => target.dispatchEvent(again), ms);
      },
      { capture: true },
    );

  /** Promises of these functions, where this browser has them, settle late. */
  const answerLate = (owner, names, ms) => {
    for (const name of names.filter((one) => owner && Object.hasOwn(owner, one))) {
      const plain = owner[name];
      owner[name] = function (...asked) {
        const later = (settle) => pause(ms).then(settle);
        return plain.apply(this, asked).then(
          (value) => later(() => value),
          (error) =>
            later(() => {
              throw error;
            }),
        );
      };
    }
  };

  /** Functions that are given to these to be called back are called late. */
  const callLate = (owner, names, ms) => {
    for (const name of names.filter((one) => owner && Object.hasOwn(owner, one))) {
      const plain = owner[name];
      const late = (act) => (typeof act === "function" ? (...said) => pause(ms).then(() => act(...said)) : act);
      owner[name] = function (...asked) {
        return plain.apply(this, asked.map(late));
      };
    }
  };

  // A worker answers a page's every request from some caches, and so every dynamic import; a page looks into many.
  answerLate(globalThis.CacheStorage?.prototype, ["open", "match", "has", "keys", "delete"], isPage ? 8 : 25);
  answerLate(globalThis.Cache?.prototype, ["match", "matchAll", "put", "add", "addAll", "keys", "delete"], 8);
  if (!isPage) return;

  const isByHand = ({ target }) => target.matches?.("select, [type=file], [type=date], [type=time]");
  hold(globalThis, "toggle", 80);
  hold(globalThis, "close", 60); // of a dialog
  hold(globalThis, "change", 50, isByHand); // chosen outside the page, in a window of the phone's own
  for (const kind of ["storage", "message"]) hold(globalThis, kind, 100);
  hold(globalThis, "hashchange", 60); // popstate comes with the jump itself
  for (const kind of ["visibilitychange", "online", "offline"]) hold(globalThis, kind, 70);
  if (origin !== "null") hold(navigator.serviceWorker, "message", 100); // a sandbox may not even ask for it
  globalThis.BroadcastChannel = class extends BroadcastChannel {
    constructor(name) {
      super(name);
      hold(this, "message", 100);
    }
  };

  const look = matchMedia.bind(globalThis);
  globalThis.matchMedia = (query) => {
    const list = look(query);
    hold(list, "change", 70);
    return list;
  };

  // A transaction that writes is kept open, for longer than a page takes to go: what it has not waited for is lost.
  const transaction = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...asked) {
    const work = transaction.apply(this, asked);
    if (work.mode !== "readwrite") return work;
    const store = work.objectStore(work.objectStoreNames[0]);
    const until = now() + 250;
    const stay = () => {
      if (now() < until) store.getKey(0).addEventListener("success", stay);
    };
    stay();
    return work;
  };

  const reads = ({ target }) => target.transaction?.mode === "readonly" && !(target.result instanceof IDBCursor);
  const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (...asked) {
    const opening = open.apply(this, asked);
    const holdBase = () => {
      hold(opening.result, "complete", 60);
      hold(opening.result, "success", 50, reads);
    };
    opening.addEventListener("success", holdBase, { once: true });
    hold(opening, "success", 50);
    return opening;
  };

  answerLate(globalThis, ["fetch", "createImageBitmap"], 60);
  answerLate(globalThis.SubtleCrypto?.prototype, ["digest"], 2); // one for every file that is stored
  answerLate(Blob.prototype, ["text", "arrayBuffer"], 50);
  answerLate(Navigator.prototype, ["share"], 80);
  answerLate(globalThis.Clipboard?.prototype, ["writeText", "readText", "write", "read"], 80);
  answerLate(globalThis.WakeLock?.prototype, ["request"], 80);
  answerLate(globalThis.StorageManager?.prototype, ["persist", "persisted", "estimate"], 60);
  answerLate(globalThis.ServiceWorkerContainer?.prototype, ["register", "getRegistration"], 60);
  callLate(globalThis.LockManager?.prototype, ["request"], 50);
  callLate(globalThis.Geolocation?.prototype, ["getCurrentPosition"], 80);
  callLate(HTMLCanvasElement.prototype, ["toBlob"], 60);
  callLate(globalThis, ["requestIdleCallback"], 50);

  for (const name of ["ResizeObserver", "IntersectionObserver"]) {
    const Plain = globalThis[name];
    globalThis[name] = class extends Plain {
      constructor(act, ...how) {
        super((...said) => wait(() => act.apply(this, said), 60), ...how);
      }
    };
  }

  const [draw, cancel] = [requestAnimationFrame, cancelAnimationFrame];
  const waiting = new Set();
  globalThis.requestAnimationFrame = (act) => {
    const number = draw(() => wait(() => draw((at) => waiting.delete(number) && act(at)), 50));
    waiting.add(number);
    return number;
  };
  globalThis.cancelAnimationFrame = (number) => {
    waiting.delete(number);
    cancel(number);
  };
})();
