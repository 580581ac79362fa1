// IndexedDB as promises: opening a base, one request, one transaction that has reached the disk.

/** Every write waits for the disk: a phone may die in the next second. @type {IDBTransactionOptions} */
export const ON_DISK = { durability: "strict" };

/**
 * @param {string} name @param {(base: IDBDatabase) => void} make makes the stores of a new base
 * @returns {Promise<IDBDatabase>}
 */
export async function openBase(name, make) {
  const opening = indexedDB.open(name, 1);
  opening.onupgradeneeded = () => make(opening.result);
  const base = await result(opening).catch(refused);
  base.onversionchange = () => base.close();
  return base;
}

/** A store that some browsers close in private windows is no store that another page has closed. @param {DOMException} error @returns {never} */
function refused(error) {
  throw error.name === "InvalidStateError" ? new DOMException(error.message, "NotAllowedError") : error;
}

/** @template T @param {IDBRequest<T>} request @returns {Promise<T>} */
export function result(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** @param {IDBTransaction} work @returns {Promise<void>} */
export function committed(work) {
  return new Promise((resolve, reject) => {
    work.oncomplete = () => resolve();
    work.onabort = () => reject(work.error ?? new DOMException("aborted", "AbortError"));
  });
}
