// Files that leave the phone: by the share sheet where the browser has one that takes them, else as downloads.

import { make } from "./dom.js";

const HELD_MS = 60000;

/**
 * Gives files away. Resolves to whether they went: the person may put the share sheet away again.
 * @param {File[]} files @param {string} title
 */
export async function giveFiles(files, title) {
  if (navigator.canShare?.({ files })) {
    try {
      await navigator.share({ files, title });
      return true;
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") return false;
    } // a browser may still refuse a kind of file: then they are saved
  }
  for (const file of files) save(file);
  return true;
}

/** @param {File} file */
function save(file) {
  const address = URL.createObjectURL(file);
  make("a", { href: address, download: file.name }).click();
  setTimeout(() => URL.revokeObjectURL(address), HELD_MS);
}
