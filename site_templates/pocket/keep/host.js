// In place of app/keep/host.js: what the site's host would give lies in the page's head, and nothing is asked of anybody.

/** @param {URL} _root @param {string} path @returns {Promise<ArrayBuffer | null>} */
export async function arrived(_root, path) {
  const inside = document.querySelector(`script[data-file="${path}"]`);
  if (inside === null) return null;
  return Uint8Array.from(atob(inside.textContent ?? ""), (letter) => letter.charCodeAt(0)).buffer;
}

/** @param {URL} _root @param {string} shot */
export async function hasShot(_root, shot) {
  return (document.documentElement.dataset.shots ?? "").split(" ").includes(shot);
}

/** On the site, which the other phone may have. @param {string} shot */
export function pageAddress(shot) {
  return `${document.documentElement.dataset.base}shots/${shot}/`;
}
