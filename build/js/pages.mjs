// What html-validate holds the pages to: all that it recommends for whole documents, but for what stands here with its reason.

export default {
  root: true,
  extends: ["html-validate:recommended", "html-validate:document"],
  rules: {
    // Ways of writing that HTML allows (13.1.2), and that spare the phone's bytes.
    "attr-quotes": "off",
    "doctype-style": "off",
    "no-implicit-close": "off",
    "prefer-tbody": "off",
    // Every th of a table is in one row or one column: what it heads follows from its place (HTML, 4.9.12).
    "wcag/h63": "off",
    // The titles of shots and catalogs are their authors'.
    "long-title": "off",
    // All comes from the page's own origin, and the worker keeps a version by the sums in its list.
    "require-sri": "off",
    // The page that opens a plan has two states, of which one is hidden: their mains and h1 are never there together,
    // and headings have their words before they are shown.
    "empty-heading": "off",
    "heading-level": ["error", { allowMultipleH1: true }],
    "unique-landmark": "off",
  },
};
