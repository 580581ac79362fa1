// As much of IndexedDB as the log and what hangs on it use, in memory. Source: W3C, Indexed Database API 3.0.

/** @typedef {Object<string, [string, *][]>} Rows of each store: the key as JSON, and the value */

/**
 * @param {(base: *) => void} make makes the stores @param {Rows} rows that they begin with
 * @param {(rows: Rows) => void} kept told what the stores hold after every change
 */
export function makeBase(make, rows, kept) {
  /** @type {Map<string, {keyPath: string[] | null, rows: Map<string, *>}>} */
  const stores = new Map();
  make({
    createObjectStore(/** @type {string} */ name, { keyPath = null } = {}) {
      stores.set(name, { keyPath, rows: new Map(rows[name] ?? []) });
      return { createIndex() {} }; // an index is looked through
    },
  });
  const dump = () => Object.fromEntries([...stores].map(([name, store]) => [name, [...store.rows]]));
  return {
    close() {},
    transaction() {
      const before = dump();
      const work = {
        error: null,
        objectStore: (/** @type {string} */ name) => storeOf(/** @type {*} */ (stores.get(name)), work),
        abort() {
          for (const [name, store] of stores) store.rows = new Map(before[name]);
        },
        /** All is done when somebody asks whether it is. @param {() => void} done */
        set oncomplete(done) {
          kept(dump());
          queueMicrotask(done);
        },
      };
      return work;
    },
  };
}

/** @param {{keyPath: string[] | null, rows: Map<string, *>}} store @param {object} work */
function storeOf(store, work) {
  const keyOf = (/** @type {*} */ value, /** @type {*} */ key) =>
    JSON.stringify(key ?? store.keyPath?.map((path) => value[path]));
  const under = (/** @type {*} */ query) => [...store.rows].filter(([key]) => covers(query, key));
  return {
    transaction: work,
    add(/** @type {*} */ value, /** @type {*} */ key) {
      if (store.rows.has(keyOf(value, key))) throw new DOMException("it is there", "ConstraintError");
      return this.put(value, key);
    },
    put(/** @type {*} */ value, /** @type {*} */ key) {
      const name = keyOf(value, key);
      store.rows.set(name, structuredClone(value));
      return answer(JSON.parse(name));
    },
    delete(/** @type {*} */ query) {
      for (const [key] of under(query)) store.rows.delete(key);
      return answer(undefined);
    },
    get: (/** @type {*} */ query) => answer(under(query)[0]?.[1]),
    getKey: (/** @type {*} */ query) => answer(under(query).map(([key]) => JSON.parse(key))[0]),
    getAll: (/** @type {*} */ query) => answer(under(query).map(([, value]) => value)),
    getAllKeys: (/** @type {*} */ query) => answer(under(query).map(([key]) => JSON.parse(key))),
    count: (/** @type {*} */ query) => answer(under(query).length),
    index: (/** @type {string} */ name) => ({
      getAll: (/** @type {*} */ wanted) => answer([...store.rows.values()].filter((value) => value[name] === wanted)),
    }),
  };
}

/** @param {*} query a key, a range, or undefined for all @param {string} key as JSON */
function covers(query, key) {
  if (query instanceof IDBKeyRange) return query.includes(JSON.parse(key));
  return query === undefined || JSON.stringify(query) === key;
}

/** A request that has succeeded. @param {*} result */
function answer(result) {
  const copy = structuredClone(result);
  return {
    result: copy,
    /** @param {() => void} done */
    set onsuccess(done) {
      queueMicrotask(done);
    },
  };
}
