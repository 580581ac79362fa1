// In place of app/keep/site.js: a file keeps its takes when it is moved to another folder, so its stores are named by its
// catalog alone.

/** @param {Document} page @returns {import("../../app/keep/site.js").Site} */
export function siteOf(page) {
  const { catalog = "" } = page.documentElement.dataset;
  return { root: new URL("./", page.location.href), catalog, prefix: `fieldsheet|file|${catalog}|` };
}
