// Complete versions of the site in the browser's caches, one cache a version, named by the hash of its list.
// A pointer, in a cache of its own, names the version that worker.js serves.

import { packed, unpacked } from "./packed.js";

export const LIST = "version.json";
const LANES = 4;
const MOST_FILES = 20000;
const MOST_LIST_BYTES = 4000000;
const PATH = /^(?!\/)(?!.*(^|\/)\.{1,2}(\/|$))[A-Za-z0-9._/-]{1,200}$/;
const CARD = /^(cards|sheets)\/[^/]+\.pdf$/;
const HASH = /^sha256-[A-Za-z0-9+/]{43}=$/;
const VERSION = /^[0-9a-f]{64}$/;

/**
 * @typedef {import("./site.js").Site} Site
 * @typedef {{path: string, hash: string, size: number}} Entry
 * @typedef {Entry & {until: number}} Card a PDF beside the version; until: when its shot ends, s UTC
 * @typedef {{version: string, entries: Entry[], cards: Card[]}} Listing
 */

/** @param {string} path */
const fetchProblem = (path) => new Error(`${path} did not arrive as listed`);

/**
 * The list that the host gives now; rejects where there is no network or the list does not agree with its name.
 * @param {Site} site
 * @returns {Promise<Listing>}
 */
export async function fetchListing(site) {
  const response = await fetch(new URL(LIST, site.root), {
    cache: "no-cache",
    headers: { "fieldsheet-fetch": "list" },
  });
  if (!response.ok) throw fetchProblem(LIST);
  return parseListing(await response.text());
}

/**
 * Size first, then the known keys, then their ranges, then the version as the hash of all its files. The cards
 * stand outside of the version.
 * @param {string} text
 * @returns {Promise<Listing>}
 */
export async function parseListing(text) {
  if (text.length > MOST_LIST_BYTES) throw fetchProblem(LIST);
  const { version, files, cards: listed = {} } = JSON.parse(text);
  const entries = Object.keys(files)
    .sort()
    .map((path) => entryOf(path, files[path]));
  const cards = Object.keys(listed).map((path) => ({
    ...entryOf(path, listed[path]),
    until: Number(listed[path].until),
  }));
  const sound =
    entries.every(isSound) && cards.every((card) => isSound(card) && CARD.test(card.path) && card.until >= 0);
  if (!VERSION.test(version) || entries.length + cards.length > MOST_FILES || !sound) throw fetchProblem(LIST);
  const lines = entries.map(({ path, hash, size }) => `${path} ${hash} ${size}\n`).join("");
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(lines));
  const hex = Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (hex !== version) throw fetchProblem(LIST);
  return { version, entries, cards };
}

/** @param {string} path @param {*} listed @returns {Entry} */
function entryOf(path, listed) {
  return { path, hash: String(listed.hash), size: Number(listed.size) };
}

/** @param {Entry} entry */
function isSound({ path, hash, size }) {
  return PATH.test(path) && HASH.test(hash) && Number.isSafeInteger(size) && size >= 0;
}

/**
 * The version that a mark names, or "": "serving" is the one that worker.js serves, "offered" the one that is
 * whole and waits for consent. Before scripts were packed the mark of the first was "pointer": a worker of then
 * finds none for what it cannot read, and asks the host.
 * @param {Site} site @param {"serving" | "offered"} mark
 */
export async function readMark(site, mark) {
  let stored = await storedAt(site, "pointer", mark);
  if (!stored && mark === "serving") stored = await storedAt(site, "pointer", "pointer");
  const version = stored ? await stored.text() : "";
  return VERSION.test(version) ? version : "";
}

/** @param {Site} site @param {"serving" | "offered"} mark @param {string} version */
export async function setMark(site, mark, version) {
  const cache = await caches.open(site.prefix + "pointer");
  await cache.put(new URL(mark, site.root), new Response(version));
}

/** The list of a stored version, or null. @param {Site} site @param {string} version */
export async function storedListing(site, version) {
  const stored = await storedAt(site, version, LIST);
  return stored ? parseListing(await stored.text()).catch(() => null) : null;
}

/**
 * Reads every file of a stored version again and compares its hash.
 * @param {Site} site @param {string} version
 * @returns {Promise<{listing: Listing | null, missing: string[], files: number, bytes: number}>}
 */
export async function verify(site, version) {
  const listing = await storedListing(site, version);
  if (!listing || listing.version !== version) return { listing: null, missing: [LIST], files: 0, bytes: 0 };
  const missing = [];
  let bytes = 0;
  for (const entry of listing.entries) {
    if (await bytesOf(site, version, entry)) bytes += entry.size;
    else missing.push(entry.path);
  }
  return { listing, missing, files: listing.entries.length - missing.length, bytes };
}

/**
 * Brings a version's cache to completion: what is there and sound stays, what another version of this site
 * holds is copied, the rest is fetched. What the host gives otherwise than listed is left out, and this rejects.
 * @param {Site} site @param {Listing} listing @param {(done: number, of: number) => void} progress
 */
export async function complete(site, listing, progress) {
  const cache = await caches.open(site.prefix + listing.version);
  const { version, entries } = listing;
  const byPath = (/** @type {Entry[]} */ all) => Object.fromEntries(all.map(({ path, ...rest }) => [path, rest]));
  const list = { version, files: byPath(entries), cards: byPath(listing.cards) };
  await cache.put(new URL(LIST, site.root), new Response(JSON.stringify(list)));
  const elsewhere = await holdersByHash(site, version);
  const waiting = [...entries];
  let done = 0;
  const lane = async () => {
    for (let entry = waiting.shift(); entry; entry = waiting.shift()) {
      progress(done, entries.length);
      if (!(await bytesOf(site, version, entry))) {
        const copy = await copied(site, elsewhere.get(entry.hash) ?? [], entry);
        const whole = copy ?? (await fetched(site, entry));
        await cache.put(new URL(entry.path, site.root), await packed(entry.path, whole));
      }
      done += 1;
    }
  };
  const lanes = await Promise.allSettled(Array.from({ length: LANES }, lane));
  const failed = lanes.find(({ status }) => status === "rejected");
  if (failed) throw /** @type {PromiseRejectedResult} */ (failed).reason;
}

/**
 * Removes every version of this site but the ones named. Other sites on the origin are not touched.
 * @param {Site} site @param {string[]} kept
 */
export async function removeOthers(site, kept) {
  for (const version of await versions(site)) {
    if (!kept.includes(version)) await caches.delete(site.prefix + version);
  }
}

/** Stored versions of this site, complete or not. @param {Site} site */
async function versions(site) {
  const names = await caches.keys();
  const ends = names.filter((name) => name.startsWith(site.prefix)).map((name) => name.slice(site.prefix.length));
  return ends.filter((end) => VERSION.test(end));
}

/** caches.match, unlike caches.open, never makes a cache that was removed.
 *  @param {Site} site @param {string} version @param {string} path @returns {Promise<Response | undefined>} */
export async function storedAt(site, version, path) {
  const stored = caches.match(new URL(path, site.root), { cacheName: site.prefix + version });
  return stored.then(unpacked).catch(() => undefined);
}

/** The bytes of a stored file if they are the listed ones. @param {Site} site @param {string} version @param {Entry} entry */
export async function bytesOf(site, version, { path, hash }) {
  const stored = await storedAt(site, version, path);
  return stored ? listedBytes(stored, hash) : null;
}

/** @param {Response} stored @param {string} hash as listed */
async function listedBytes(stored, hash) {
  const bytes = await stored.arrayBuffer();
  return (await integrity(bytes)) === hash ? bytes : null;
}

/** Hash -> where other versions of this site hold it. @param {Site} site @param {string} version */
async function holdersByHash(site, version) {
  /** @type {Map<string, {version: string, path: string}[]>} */
  const holders = new Map();
  for (const other of await versions(site)) {
    const listing = other === version ? null : await storedListing(site, other);
    for (const { path, hash } of listing?.entries ?? []) {
      holders.set(hash, [...(holders.get(hash) ?? []), { version: other, path }]);
    }
  }
  return holders;
}

/** @param {Site} site @param {{version: string, path: string}[]} holders @param {Entry} entry */
async function copied(site, holders, { path, hash }) {
  for (const holder of holders.filter((one) => suffix(one.path) === suffix(path))) {
    const stored = await storedAt(site, holder.version, holder.path);
    const bytes = stored && (await listedBytes(stored, hash));
    if (stored && bytes) return response(bytes, stored.headers);
  }
  return null;
}

/** The answer is built anew from its bytes: a stored redirect would break navigation.
 *  @param {Site} site @param {Entry} entry */
export async function fetched(site, { path, hash }) {
  const request = new Request(new URL(path, site.root), {
    cache: "no-cache",
    integrity: hash,
    headers: { "fieldsheet-fetch": "file" },
  });
  const answer = await fetch(request).catch(() => Promise.reject(fetchProblem(path)));
  const bytes = await answer.arrayBuffer();
  if (!answer.ok || (await integrity(bytes)) !== hash) throw fetchProblem(path);
  return response(bytes, answer.headers);
}

/** @param {ArrayBuffer} bytes @param {Headers} headers */
function response(bytes, headers) {
  const type = headers.get("content-type") ?? "application/octet-stream";
  return new Response(bytes, { headers: { "content-type": type, "content-length": String(bytes.byteLength) } });
}

/** @param {string} path */
function suffix(path) {
  return path.slice(path.lastIndexOf("."));
}

/** @param {ArrayBuffer} bytes */
async function integrity(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return "sha256-" + btoa(String.fromCharCode(...digest));
}
