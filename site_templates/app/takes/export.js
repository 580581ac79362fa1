// A take as files: the whole of it as JSON, and as a table and a text for people; its photos beside them. What has
// left the phone whole is remembered, because only that may be deleted here.

import { baseAtNeed } from "../keep/atneed.js";
import { committed, ON_DISK, result } from "../keep/idb.js";
import { merge, reduce } from "./added.js";
import { openPhotos } from "./photos.js";
import { csvOf } from "./takecsv.js";
import { planOf, writeTake } from "./takefile.js";
import { reportOf } from "./report.js";
import { giveFiles } from "../touch/share.js";

/**
 * @typedef {import("./added.js").LogEvent} LogEvent
 * @typedef {"json" | "csv" | "txt"} Kind
 * @typedef {{events: number, photos: string[]}} Saved how many events, and which photos, have left the phone
 */

/** @type {Record<Kind, {type: string, write: (events: LogEvent[]) => string}>} */
const KINDS = {
  json: { type: "application/json", write: writeTake },
  csv: { type: "text/csv", write: (events) => csvOf(events, planOf(events)) },
  txt: { type: "text/plain", write: (events) => reportOf(events, planOf(events)) },
};

/** A name that tells shot, night and take. @param {LogEvent[]} events */
function stemOf(events) {
  const { take, shot } = events[0];
  return `${shot}-${planOf(events)?.window?.night ?? "night"}-${take.slice(0, 8)}`;
}

/** @param {LogEvent[]} events @param {Kind} kind */
function fileOf(events, kind) {
  const { type, write } = KINDS[kind];
  return new File([write(events)], `${stemOf(events)}.${kind}`, { type });
}

/** Photos of a take that are on this phone, each by keyframe and by the event that kept it.
 *  @param {LogEvent[]} events @param {Map<number, ArrayBuffer>} kept */
function photosOf(events, kept) {
  const { photos } = reduce(events);
  return [...kept].map(([keyframe, bytes]) => ({ name: `${keyframe} ${photos.get(keyframe) ?? ""}`, keyframe, bytes }));
}

/** What leaves and is deleted of one site's takes. @param {import("../keep/site.js").Site} site @param {Promise<import("./log.js").Log>} log */
export function makeExport(site, log) {
  const photos = openPhotos(site);
  const opened = baseAtNeed(`${site.prefix}saved`, (made) => made.createObjectStore("saved"));

  /** @param {IDBTransactionMode} mode */
  async function store(mode) {
    return (await opened()).transaction("saved", mode, ON_DISK).objectStore("saved");
  }

  /** @param {string} take @returns {Promise<Saved>} */
  async function savedOf(take) {
    return (await result((await store("readonly")).get(take))) ?? { events: 0, photos: [] };
  }

  /** @param {string} take @param {Saved} saved */
  async function remember(take, saved) {
    try {
      const saves = await store("readwrite");
      saves.put(saved, take);
      await committed(saves.transaction);
    } catch {
      // The file has gone out all the same; only it cannot be deleted here before another one.
    }
  }

  /** @param {string} take */
  async function forget(take) {
    const saves = await store("readwrite");
    saves.delete(take);
    await committed(saves.transaction);
  }

  /** What of a take is on this phone, and whether all of that has left it as a file. @param {LogEvent[]} events */
  async function held(events) {
    const kept = await photos.of(events[0].take);
    const saved = await savedOf(events[0].take);
    const is_saved =
      saved.events === events.length && photosOf(events, kept).every((one) => saved.photos.includes(one.name));
    return { photos: kept, is_saved };
  }

  return {
    /** The log as a file; JSON is all of it, and is remembered. Resolves to whether it went.
     *  @param {LogEvent[]} found @param {Kind} kind */
    async give(found, kind) {
      const events = merge(found, []);
      const went = await giveFiles([fileOf(events, kind)], events[0].shot);
      const { take } = events[0];
      if (went && kind === "json") await remember(take, { ...(await savedOf(take)), events: events.length });
      return went;
    },
    /** The log and every photo of it that is on this phone. @param {LogEvent[]} found @param {Map<number, ArrayBuffer>} kept */
    async giveAll(found, kept) {
      const events = merge(found, []);
      const pictures = photosOf(events, kept);
      const files = pictures.map(({ keyframe, bytes }) => {
        return new File([bytes], `${stemOf(events)}-K${keyframe + 1}.jpg`, { type: "image/jpeg" });
      });
      const went = await giveFiles([fileOf(events, "json"), ...files], events[0].shot);
      if (went)
        await remember(events[0].take, { events: events.length, photos: pictures.map((picture) => picture.name) });
      return went;
    },
    held,
    /** Deletes a take that has left this phone, with its photos: the log in one go, and what hangs on it after it.
     *  Resolves to whether it did. @param {LogEvent[]} events */
    async remove(events) {
      const { take } = events[0];
      const { is_saved } = await held(events);
      if (!is_saved || !reduce(events).ended) return false;
      const is_gone = await (await log).remove(take, events.length);
      if (is_gone) await sweep();
      return is_gone;
    },
    sweep,
  };

  /** Forgets what hangs on takes that are no longer in the log: a phone may have died between the two. */
  async function sweep() {
    const hanging = new Set([...(await photos.takes()), ...(await result((await store("readonly")).getAllKeys()))]);
    if (hanging.size === 0) return;
    const known = new Set((await (await log).allTakes()).map(({ take }) => take)); // read last: a take begins before its photos
    for (const take of hanging) {
      if (known.has(String(take))) continue;
      await photos.forget(String(take));
      await forget(String(take));
    }
  }
}
