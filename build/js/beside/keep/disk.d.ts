// What a file that is passed on calls the site's own idb.js, in whose place it has another (site/pocket.py).
export * from "../../../../site_templates/app/keep/idb.js";
