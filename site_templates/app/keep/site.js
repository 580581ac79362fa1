// Which site this page belongs to: the folder it is served from, and the catalog's id.

/**
 * @typedef {{root: URL, catalog: string, prefix: string}} Site
 * root ends in "/"; prefix begins the name of everything this site stores, because other sites may share the origin.
 */

/**
 * Reads the site from <html data-root="../../" data-catalog="saltings">.
 * @param {Document} page
 * @returns {Site}
 */
export function siteOf(page) {
  const { root = "./", catalog = "" } = page.documentElement.dataset;
  const url = new URL(root, page.location.href);
  url.search = "";
  url.hash = "";
  return { root: url, catalog, prefix: `fieldsheet|${url.pathname}|${catalog}|` };
}
