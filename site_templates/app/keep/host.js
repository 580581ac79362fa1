// What a page asks of the place that it was served from, and how other phones find it there. A page that lies in a
// file of its own has all this inside: site_templates/pocket/keep/host.js.

/** A file of the site; null where there is none. @param {URL} root @param {string} path @returns {Promise<ArrayBuffer | null>} */
export async function arrived(root, path) {
  const response = await fetch(new URL(path, root));
  return response.ok ? response.arrayBuffer() : null;
}

/** Whether the site has that shot. @param {URL} root @param {string} shot */
export async function hasShot(root, shot) {
  const list = await fetch(new URL("index.html", root)).then(
    (answer) => answer.text(),
    () => "",
  );
  return list.includes(`"shots/${shot}/"`);
}

/** The address at which another phone has the page of that shot: the one that is shown. @param {string} _shot */
export function pageAddress(_shot) {
  return `${location.origin}${location.pathname}`;
}
